#include "told/markup.h"

namespace trammel {

std::string escaped(const std::string& text) {
  std::string out;
  for (const char c : text) {
    switch (c) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      case '"':
        out += "&quot;";
        break;
      default:
        // Markup has no room for these, not even written out.
        if ((static_cast<unsigned char>(c) < 0x20U && c != '\n' && c != '\t') || c == '\x7f')
          out += "\uFFFD";
        else out += c;
    }
  }
  return out;
}

}  // namespace trammel
