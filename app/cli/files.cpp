#include "cli/files.h"

#include <dirent.h>
#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <sys/xattr.h>
#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <cerrno>
#include <charconv>
#include <chrono>
#include <csignal>
#include <filesystem>
#include <functional>
#include <system_error>
#include <thread>
#include <vector>

namespace trammel {
namespace {

constexpr std::size_t largest_file = 4U << 20U;  // a car file is a few kilobytes
// Another program of ours holds a file for as long as a disk takes to write it.
constexpr std::chrono::seconds longest_wait{10};
constexpr std::chrono::milliseconds look_again{5};
constexpr const char* new_file_prefix = ".trammel-";

// What the system said, in brackets.
std::string reason() { return " (" + std::generic_category().message(errno) + ")"; }

// An open file, closed again.
class Handle {
 public:
  explicit Handle(int file) : file_(file) {}
  Handle(const Handle&) = delete;
  Handle& operator=(const Handle&) = delete;
  ~Handle() {
    if (file_ >= 0) ::close(file_);
  }
  int get() const { return file_; }
  explicit operator bool() const { return file_ >= 0; }

 private:
  int file_;
};

bool write_all(int file, const std::string& text) {
  for (std::size_t done = 0; done < text.size();) {
    const auto n = ::write(file, text.data() + done, text.size() - done);
    if (n < 0 && errno == EINTR) continue;
    if (n < 0) return false;
    done += static_cast<std::size_t>(n);
  }
  return true;
}

// A full disk may tell as late as that; not every disk has it.
bool on_the_disk(int file) { return ::fsync(file) == 0 || errno == EINVAL || errno == ENOSYS; }

// Names and values of a file's extended attributes, the access list among them.
std::vector<std::string> attribute_names(int file) {
  std::vector<std::string> names;
  const auto size = ::flistxattr(file, nullptr, 0);
  if (size <= 0) return names;
  std::string list(static_cast<std::size_t>(size), '\0');
  const auto got = ::flistxattr(file, list.data(), list.size());
  for (std::size_t at = 0; got > 0 && at < static_cast<std::size_t>(got);) {
    names.emplace_back(list.c_str() + at);
    at += names.back().size() + 1;
  }
  return names;
}

// False where an access list could not be given.
bool copy_attributes(int from, int to) {
  bool listed = true;
  for (const auto& name : attribute_names(from)) {
    const auto size = ::fgetxattr(from, name.c_str(), nullptr, 0);
    std::string value(size > 0 ? static_cast<std::size_t>(size) : 0, '\0');
    const auto got = size < 0 ? size : ::fgetxattr(from, name.c_str(), value.data(), value.size());
    const bool given = got >= 0 && ::fsetxattr(to, name.c_str(), value.data(),
                                               static_cast<std::size_t>(got), 0) == 0;
    if (!given && name == "system.posix_acl_access") listed = false;
  }
  errno = 0;
  return listed;
}

// A file under a name of its own, gone again unless it was renamed. It is locked while its program
// lives.
class NewFile {
 public:
  explicit NewFile(const std::filesystem::path& folder) {
    static std::atomic<unsigned> turn = 0;
    // A name that is taken was left behind by a program that was killed.
    for (int tries = 0; tries < 100 && file_ < 0; ++tries) {
      name_ =
          folder / (new_file_prefix + std::to_string(::getpid()) + "-" + std::to_string(turn++));
      file_ = ::open(name_.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
      if (file_ < 0 && errno != EEXIST) return;
    }
    if (file_ >= 0) ::flock(file_, LOCK_EX | LOCK_NB);
  }
  NewFile(const NewFile&) = delete;
  NewFile& operator=(const NewFile&) = delete;
  ~NewFile() {
    if (file_ < 0) return;
    ::close(file_);
    if (!name_.empty()) ::unlink(name_.c_str());
  }

  bool opened() const { return file_ >= 0; }
  // Owner, mode and attributes of the file that it replaces, as far as they may be given. What
  // cannot be given never lets anybody read who could not before.
  void take_over(int old_file, const struct stat& old) const {
    auto mode = old.st_mode & 07777U;
    if (::fchown(file_, old.st_uid, old.st_gid) != 0) {
      mode &= ~06000U;
      struct stat now {};
      // Another group has the rights of everybody.
      if (::fstat(file_, &now) == 0 && now.st_gid != old.st_gid)
        mode = (mode & ~070U) | ((mode & 07U) << 3U);
    }
    if (::fchmod(file_, mode) != 0) errno = 0;
    // With an access list the mode's group bits are the list's mask, not the group's own rights.
    if (!copy_attributes(old_file, file_) && ::fchmod(file_, mode & ~070U) != 0) errno = 0;
  }
  bool write(const std::string& text) const { return write_all(file_, text) && on_the_disk(file_); }
  bool rename_to(const std::filesystem::path& target) {
    if (::rename(name_.c_str(), target.c_str()) != 0) return false;
    name_.clear();
    return true;
  }
  // Leaves it where it is: the only whole text there is.
  void keep() { name_.clear(); }
  const std::filesystem::path& name() const { return name_; }

 private:
  int file_ = -1;
  std::filesystem::path name_;  // empty once renamed or kept
};

// Whether a file is one that a program of ours left behind when it was killed: its number is no
// program's, nobody holds it, and it is ours.
bool left_behind(const std::filesystem::path& file) {
  const auto number = file.filename().string().substr(std::string(new_file_prefix).size());
  pid_t program = 0;
  const auto* const end = number.data() + number.size();
  const auto read = std::from_chars(number.data(), end, program);
  if (read.ec != std::errc() || read.ptr == end || *read.ptr != '-' || program <= 1) return false;
  if (::kill(program, 0) == 0 || errno != ESRCH) return false;
  const Handle handle(::open(file.c_str(), O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC));
  struct stat at {};
  return handle && ::fstat(handle.get(), &at) == 0 && S_ISREG(at.st_mode) &&
         at.st_uid == ::geteuid() && ::flock(handle.get(), LOCK_EX | LOCK_NB) == 0;
}

void clear_left_behind(const std::filesystem::path& folder) {
  DIR* listing = ::opendir(folder.empty() ? "." : folder.c_str());
  if (!listing) return;
  while (const auto* entry = ::readdir(listing)) {
    const std::string name = entry->d_name;
    if (!name.starts_with(new_file_prefix)) continue;
    const auto file = folder / name;
    if (left_behind(file)) ::unlink(file.c_str());
  }
  ::closedir(listing);
}

std::filesystem::path target_of(const std::string& path) {
  std::error_code error;
  auto target = std::filesystem::canonical(path, error);
  return error ? std::filesystem::path(path) : target;  // not there yet
}

// A file of several names: the new text is whole beside it before the old one is written over.
std::string write_in_place(const std::filesystem::path& target, const std::string& text,
                           NewFile& beside) {
  const Handle file(::open(target.c_str(), O_WRONLY | O_CLOEXEC));
  if (!file) return "cannot be written" + reason();
  if (write_all(file.get(), text) &&
      ::ftruncate(file.get(), static_cast<off_t>(text.size())) == 0 && on_the_disk(file.get()))
    return {};
  auto why = "cannot be written in place" + reason() + "; the whole new text is in " +
             beside.name().string();
  beside.keep();
  return why;
}

// `still` looks at what stands there just before it is replaced: empty, or why not to.
std::string write_over(const std::string& path, const std::string& text,
                       const std::function<std::string()>& still) {
  const auto target = target_of(path);
  const Handle old_file(::open(target.c_str(), O_RDONLY | O_NONBLOCK | O_CLOEXEC));
  struct stat old {};
  const bool there = ::stat(target.c_str(), &old) == 0;
  if (there && !S_ISREG(old.st_mode)) return "cannot be written (it is no ordinary file)";
  // A rename asks the folder alone; a file protected against writing is meant to stay.
  if (there && ::faccessat(AT_FDCWD, target.c_str(), W_OK, AT_EACCESS) != 0)
    return "cannot be written" + reason();
  clear_left_behind(target.parent_path());
  NewFile beside(target.parent_path());
  if (!beside.opened()) return "cannot be written: its folder takes no new file" + reason();
  if (there) beside.take_over(old_file.get(), old);
  if (!beside.write(text)) return "cannot be written" + reason();
  if (auto why = still(); !why.empty()) return why;
  if (there && old.st_nlink > 1) return write_in_place(target, text, beside);
  if (!beside.rename_to(target)) return "cannot be replaced" + reason();
  return {};
}

FileText text_of(int file) {
  struct stat at {};
  if (::fstat(file, &at) != 0) return {{}, "cannot be read" + reason() + ", expected a car file"};
  if (S_ISDIR(at.st_mode)) return {{}, "is a folder, expected a car file"};
  if (!S_ISREG(at.st_mode)) return {{}, "is no ordinary file, expected a car file"};
  std::string text;
  // One byte more than there may be, so that a file that grows meanwhile is seen.
  text.resize(std::min(static_cast<std::size_t>(at.st_size), largest_file) + 1);
  std::size_t size = 0;
  while (size < text.size()) {
    const auto n = ::read(file, text.data() + size, text.size() - size);
    if (n < 0 && errno == EINTR) continue;
    if (n < 0) return {{}, "cannot be read" + reason() + ", expected a car file"};
    if (n == 0) break;
    size += static_cast<std::size_t>(n);
    if (size == text.size() && size <= largest_file)
      text.resize(std::min(2 * size, largest_file + 1));
  }
  if (size > largest_file) return {{}, "is larger than 4 MB, expected a car file"};
  text.resize(size);
  return {std::move(text), {}};
}

FileText cannot_be_opened() {
  return {{}, "cannot be opened" + reason() + ", expected a car file"};
}

bool same_file(int file, const std::string& path) {
  struct stat held {
  }, now{};
  return ::fstat(file, &held) == 0 && ::stat(path.c_str(), &now) == 0 &&
         held.st_dev == now.st_dev && held.st_ino == now.st_ino;
}

}  // namespace

FileText read_file(const std::string& path) {
  // Not to wait for a pipe's other end.
  const Handle file(::open(path.c_str(), O_RDONLY | O_NONBLOCK | O_CLOEXEC | O_NOCTTY));
  return file ? text_of(file.get()) : cannot_be_opened();
}

std::string write_file(const std::string& path, const std::string& text) {
  return write_over(path, text, [] { return std::string(); });
}

HeldFile::HeldFile(const std::string& path) : path_(path) {
  const auto until = std::chrono::steady_clock::now() + longest_wait;
  for (;;) {
    const int file = ::open(path_.c_str(), O_RDONLY | O_NONBLOCK | O_CLOEXEC | O_NOCTTY);
    if (file < 0) {
      read_ = cannot_be_opened();
      return;
    }
    const bool held = ::flock(file, LOCK_EX | LOCK_NB) == 0;
    // Not every disk has locks; the look before writing is then all there is.
    if (held || errno != EWOULDBLOCK) {
      // Whoever held it before may have put another file in its place.
      if (same_file(file, path_)) {
        lock_ = file;
        read_ = text_of(file);
        return;
      }
    }
    ::close(file);
    if (std::chrono::steady_clock::now() > until) {
      read_ = {{}, "is being written by another program, try again when it has ended"};
      return;
    }
    if (!held) std::this_thread::sleep_for(look_again);
  }
}

HeldFile::~HeldFile() {
  if (lock_ >= 0) ::close(lock_);
}

std::string HeldFile::replace(const std::string& text) {
  return write_over(path_, text, [this] {
    const auto now = read_file(path_);
    changed_ = !now.text || now.text != read_.text;
    return changed_ ? std::string(
                          "was changed by another program meanwhile and is left as it now "
                          "stands, look at it and try again")
                    : std::string();
  });
}

}  // namespace trammel
