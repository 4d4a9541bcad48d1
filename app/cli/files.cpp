#include "cli/files.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <atomic>
#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <system_error>

namespace trammel {
namespace {

constexpr std::uintmax_t largest_file = 4U << 20U;  // a car file is a few kilobytes

// What the system said, in brackets.
std::string reason() { return " (" + std::generic_category().message(errno) + ")"; }

// A file under a name of its own, gone again unless it was renamed.
class NewFile {
 public:
  explicit NewFile(const std::filesystem::path& folder) {
    static std::atomic<unsigned> turn = 0;
    // A name that is taken was left behind by a program that was killed.
    for (int tries = 0; tries < 100 && file_ < 0; ++tries) {
      name_ = folder / (".trammel-" + std::to_string(::getpid()) + "-" + std::to_string(turn++));
      file_ = ::open(name_.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
      if (file_ < 0 && errno != EEXIST) return;
    }
  }
  NewFile(const NewFile&) = delete;
  NewFile& operator=(const NewFile&) = delete;
  ~NewFile() {
    if (file_ < 0) return;
    ::close(file_);
    if (!name_.empty()) ::unlink(name_.c_str());
  }

  bool opened() const { return file_ >= 0; }
  // Owner and mode of the file that it replaces, as far as they may be given.
  void take_over(const struct stat& old) const {
    if (::fchown(file_, old.st_uid, old.st_gid) != 0) errno = 0;
    if (::fchmod(file_, old.st_mode & 07777U) != 0) errno = 0;
  }
  // All of it and on the disk: a full disk may tell as late as that.
  bool write(const std::string& text) const {
    for (std::size_t done = 0; done < text.size();) {
      const auto n = ::write(file_, text.data() + done, text.size() - done);
      if (n < 0 && errno == EINTR) continue;
      if (n < 0) return false;
      done += static_cast<std::size_t>(n);
    }
    return ::fsync(file_) == 0 || errno == EINVAL || errno == ENOSYS;  // not every disk has it
  }
  bool rename_to(const std::filesystem::path& target) {
    if (::rename(name_.c_str(), target.c_str()) != 0) return false;
    name_.clear();
    return true;
  }

 private:
  int file_ = -1;
  std::filesystem::path name_;  // empty once renamed
};

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
  std::error_code error;
  std::filesystem::path target = std::filesystem::canonical(path, error);
  if (error) target = path;  // not there yet
  struct stat old {};
  const bool there = ::stat(target.c_str(), &old) == 0;
  if (there && !S_ISREG(old.st_mode)) return "cannot be written (it is no ordinary file)";
  // A rename asks the folder alone; a file protected against writing is meant to stay.
  if (there && ::faccessat(AT_FDCWD, target.c_str(), W_OK, AT_EACCESS) != 0)
    return "cannot be written" + reason();
  NewFile beside(target.parent_path());
  if (!beside.opened()) return "cannot be written: its folder takes no new file" + reason();
  if (there) beside.take_over(old);
  if (!beside.write(text)) return "cannot be written" + reason();
  if (!beside.rename_to(target)) return "cannot be replaced" + reason();
  return {};
}

}  // namespace trammel
