// Files: the only place of the program that touches them.
#pragma once

#include <optional>
#include <string>

namespace trammel {

// The whole of an ordinary file, or why not. A pipe, a device or a folder is none.
struct FileText {
  std::optional<std::string> text;
  std::string why;
};
FileText read_file(const std::string& path);

// Writes beside the file and renames over it, so that a car file is never half written. A link
// stays a link: the file it leads to is replaced. Owner, mode, access list and extended attributes
// go over to the new file; a file of several names is written in place and keeps them. Empty when
// done, else why not.
std::string write_file(const std::string& path, const std::string& text);

// A file that is read, changed and written back. While it is held no other program of ours writes
// it; what any other program wrote meanwhile is never written over.
class HeldFile {
 public:
  explicit HeldFile(const std::string& path);
  HeldFile(const HeldFile&) = delete;
  HeldFile& operator=(const HeldFile&) = delete;
  ~HeldFile();

  // As it stood when it was taken, or why it cannot be had.
  const FileText& read() const { return read_; }
  // Empty when done, else why not. Only after a read that gave a text.
  std::string replace(const std::string& text);
  // Whether the last replace ended because somebody else had changed the file.
  bool changed_meanwhile() const { return changed_; }

 private:
  std::string path_;
  FileText read_;
  int lock_ = -1;
  bool changed_ = false;
};

}  // namespace trammel
