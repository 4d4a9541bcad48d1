// What a terminal shows as a QR code, read back by a decoder that is not ours: zbarimg (ZBar).
#pragma once

#include <array>
#include <cstdio>
#include <stdexcept>
#include <string>
#include <vector>

#include "app/temporary_folder.h"

namespace trammel::testing {

// The rows of modules that half blocks on a light ground show; true: dark. Lines end with \n or
// \r\n.
inline std::vector<std::vector<bool>> modules_of(const std::string& shown) {
  const std::string begin = "\x1b[38;5;16;48;5;231m", end = "\x1b[0m";
  std::vector<std::vector<bool>> rows;
  for (std::size_t at = 0; (at = shown.find(begin, at)) != std::string::npos;) {
    at += begin.size();
    std::vector<bool> upper, lower;
    while (shown.compare(at, end.size(), end) != 0) {
      if (at >= shown.size()) throw std::runtime_error("no end of a line");
      const auto sign = shown[at] == ' ' ? shown.substr(at, 1) : shown.substr(at, 3);
      at += sign.size();
      if (sign != " " && sign != "▀" && sign != "▄" && sign != "█")
        throw std::runtime_error("not a half block: " + sign);
      upper.push_back(sign == "▀" || sign == "█");
      lower.push_back(sign == "▄" || sign == "█");
    }
    rows.push_back(upper);
    rows.push_back(lower);
  }
  return rows;
}

inline std::string decoded(const std::vector<std::vector<bool>>& rows) {
  constexpr int scale = 4;
  const TemporaryFolder folder;
  std::string bitmap = "P1\n" + std::to_string(rows.at(0).size() * scale) + " " +
                       std::to_string(rows.size() * scale) + "\n";
  for (const auto& row : rows)
    for (int i = 0; i < scale; ++i) {
      for (const bool dark : row) bitmap += dark ? "1111" : "0000";
      bitmap += '\n';
    }
  folder.write("code.pbm", bitmap);
  const auto command = "zbarimg --nodbus --quiet --raw --oneshot " + (folder / "code.pbm");
  FILE* out = ::popen(command.c_str(), "r");
  std::string text;
  for (int c = 0; (c = std::fgetc(out)) != EOF;) text += static_cast<char>(c);
  ::pclose(out);
  while (!text.empty() && text.back() == '\n') text.pop_back();
  return text;
}

}  // namespace trammel::testing
