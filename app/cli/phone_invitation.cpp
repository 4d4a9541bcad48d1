#include "cli/phone_invitation.h"

#include <fmt/format.h>

#include "cli/qr_code.h"

namespace trammel {

std::string phone_invitation(const std::string& link, const std::optional<std::string>& car,
                             const std::vector<std::string>& others, int columns) {
  auto words = fmt::format(
      "\n"
      "For one phone in the same network, until Ctrl-C:\n"
      "- The first phone that opens the link below has the page{}.\n"
      "  Every other one is refused; for another phone, end the program and start it again.\n"
      "- The way to it is plain http: whoever can listen in that network can {}.\n"
      "  Do this in your own network only.\n",
      car ? fmt::format(", reads {} and\n  may change it; no other file can be had", *car) : "",
      car ? "read the\n  car file as the phone does, and change it"
          : "see\n  the page; the phone keeps its cars in its own browser");
  if (!others.empty())
    words += fmt::format("- This machine has other addresses too (--address): {}.\n",
                         fmt::join(others, ", "));
  words += '\n';
  const auto code = qr_code(link);
  if (code && columns >= code->side()) words += in_half_blocks(*code);
  else if (code && columns > 0)
    words += fmt::format("(The code to scan needs a window of {} columns.)\n", code->side());
  return words + link + '\n';
}

}  // namespace trammel
