// Files: the only place of the program that touches them.
#pragma once

#include <optional>
#include <string>

namespace trammel {

// The whole file, or why not.
struct FileText {
  std::optional<std::string> text;
  std::string why;
};
FileText read_file(const std::string& path);

// Writes beside the file and renames over it, so that a car file is never half written. A link
// stays a link: the file it leads to is replaced. Empty when done, else why not.
std::string write_file(const std::string& path, const std::string& text);

}  // namespace trammel
