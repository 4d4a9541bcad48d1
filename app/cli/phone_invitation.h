// What the terminal shows so that a phone can open the page.
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace trammel {

// Who may connect, who else can read along, how it ends; the link as a code, where the terminal is
// wide enough for it, and as text. `car`: the car file, if any. `others`: further addresses that
// this machine has. `columns`: of the terminal; 0: it is none, and shows no code.
std::string phone_invitation(const std::string& link, const std::optional<std::string>& car,
                             const std::vector<std::string>& others, int columns);

}  // namespace trammel
