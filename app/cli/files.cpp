#include "cli/files.h"

#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <system_error>

namespace trammel {
namespace {

constexpr std::uintmax_t largest_file = 4U << 20U;  // a car file is a few kilobytes

}  // namespace

FileText read_file(const std::string& path) {
  std::error_code error;
  if (std::filesystem::is_directory(path, error)) return {{}, "is a folder, expected a car file"};
  const auto size = std::filesystem::file_size(path, error);
  if (!error && size > largest_file) return {{}, "is larger than 4 MB, expected a car file"};
  std::ifstream in(path, std::ios::binary);
  if (!in)
    return {{},
            std::string("cannot be opened (") + std::strerror(errno) + "), expected a car file"};
  std::string text{std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
  if (in.bad()) return {{}, "cannot be read, expected a car file"};
  return {std::move(text), {}};
}

std::string write_file(const std::string& path, const std::string& text) {
  const std::string beside = path + ".new";
  std::error_code error;
  {
    std::ofstream out(beside, std::ios::binary | std::ios::trunc);
    out << text;
    out.flush();
    if (!out) {
      std::filesystem::remove(beside, error);
      return "cannot be written";
    }
  }
  const auto status = std::filesystem::status(path, error);
  if (!error) std::filesystem::permissions(beside, status.permissions(), error);
  std::filesystem::rename(beside, path, error);
  if (error) {
    std::filesystem::remove(beside, error);
    return "cannot be replaced";
  }
  return {};
}

}  // namespace trammel
