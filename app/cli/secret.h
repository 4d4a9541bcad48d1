// Secrets for one run of the program.
#pragma once

#include <string>
#include <string_view>

namespace trammel {

// 26 signs of 5 bits each, 130 bits, from the system's random source: small letters and digits,
// none that are taken for each other (no l, o, 0, 1), so that it may stand in an address and be
// typed. Throws std::system_error where the system gives no random bytes.
std::string new_secret();

// Takes as long wherever the two differ, so that nobody finds a secret sign by sign. How long they
// are is no secret.
bool same_secret(std::string_view one, std::string_view other);

}  // namespace trammel
