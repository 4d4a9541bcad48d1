#include "cli/qr_code.h"

#include <qrencode.h>

#include <memory>

namespace trammel {

std::optional<QrCode> qr_code(std::string_view text) {
  const std::unique_ptr<QRcode, decltype(&QRcode_free)> made(
      QRcode_encodeData(static_cast<int>(text.size()),
                        reinterpret_cast<const unsigned char*>(text.data()), 0, QR_ECLEVEL_M),
      &QRcode_free);
  if (!made) return {};
  constexpr int quiet = 4;
  QrCode code;
  code.rows.resize(made->width + 2 * quiet, std::vector<bool>(made->width + 2 * quiet));
  for (int row = 0; row < made->width; ++row)
    for (int column = 0; column < made->width; ++column)
      code.rows[row + quiet][column + quiet] = (made->data[row * made->width + column] & 1U) != 0U;
  return code;
}

std::string in_half_blocks(const QrCode& code) {
  std::string lines;
  for (int row = 0; row < code.side(); row += 2) {
    lines += "\x1b[38;5;16;48;5;231m";
    for (int column = 0; column < code.side(); ++column) {
      const bool upper = code.at(row, column), lower = code.at(row + 1, column);
      lines += upper && lower ? "█" : upper ? "▀" : lower ? "▄" : " ";
    }
    lines += "\x1b[0m\n";
  }
  return lines;
}

}  // namespace trammel
