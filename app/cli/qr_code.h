// An address as a code that a phone's camera reads (QR, ISO/IEC 18004).
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace trammel {

// Square, with the quiet zone of 4 light modules around that the standard asks for.
struct QrCode {
  std::vector<std::vector<bool>> rows;                        // true: dark
  int side() const { return static_cast<int>(rows.size()); }  // modules, quiet zone and all
  bool at(int row, int column) const { return row < side() && rows[row][column]; }
};

// Of bytes, as small as it goes with 15 % of it allowed to be misread (level M); nothing where they
// are too many (2331).
std::optional<QrCode> qr_code(std::string_view text);

// For a terminal of at least `side` columns, two rows of modules a line. In black on white by
// number, whatever the terminal's own colours are: cameras do not read it the other way round.
std::string in_half_blocks(const QrCode& code);

}  // namespace trammel
