// Writing a file over: whole or not at all.
#include "cli/files.h"

#include <fcntl.h>
#include <gtest/gtest.h>
#include <sys/file.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <sys/xattr.h>

#include <csignal>
#include <filesystem>
#include <thread>
#include <vector>

#include "app/temporary_folder.h"

namespace trammel::testing {
namespace {

TEST(WriteFile, ReplacesTheTextAndKeepsTheMode) {
  const TemporaryFolder folder;
  folder.write("car.toml", "old");
  std::filesystem::permissions(folder / "car.toml", std::filesystem::perms(0640));
  EXPECT_EQ(write_file(folder / "car.toml", "new"), "");
  EXPECT_EQ(folder.read("car.toml"), "new");
  EXPECT_EQ(std::filesystem::status(folder / "car.toml").permissions(),
            std::filesystem::perms(0640));
  EXPECT_EQ(folder.count(), 1);
}

TEST(WriteFile, MakesAFileThatIsNotThereWithTheUsualMode) {
  const TemporaryFolder folder;
  const auto mask = ::umask(022);
  EXPECT_EQ(write_file(folder / "sheet.html", "new"), "");
  ::umask(mask);
  EXPECT_EQ(folder.read("sheet.html"), "new");
  EXPECT_EQ(std::filesystem::status(folder / "sheet.html").permissions(),
            std::filesystem::perms(0644));
}

TEST(WriteFile, LeavesAFileOfTheSameNameWithNewBehindItAlone) {
  const TemporaryFolder folder;
  folder.write("car.toml", "old");
  folder.write("car.toml.new", "somebody's");
  EXPECT_EQ(write_file(folder / "car.toml", "new"), "");
  EXPECT_EQ(folder.read("car.toml.new"), "somebody's");
}

TEST(WriteFile, WritesThroughALink) {
  const TemporaryFolder folder;
  std::filesystem::create_directory(folder / "far");
  folder.write("far/car.toml", "old");
  std::filesystem::create_symlink("far/car.toml", folder / "link.toml");
  EXPECT_EQ(write_file(folder / "link.toml", "new"), "");
  EXPECT_TRUE(std::filesystem::is_symlink(folder / "link.toml"));
  EXPECT_EQ(folder.read("far/car.toml"), "new");
}

TEST(WriteFile, TakesANameAsLongAsThereMayBe) {
  const TemporaryFolder folder;
  const std::string name(255, 'c');
  folder.write(name, "old");
  EXPECT_EQ(write_file(folder / name, "new"), "");
  EXPECT_EQ(folder.read(name), "new");
}

TEST(WriteFile, KeepsTheOldTextWhereTheDiskIsFull) {
  const TemporaryFolder folder;
  folder.write("car.toml", "old");
  // A largest size for files stands in for the full disk: the write fails half way just so.
  struct rlimit before {};
  ASSERT_EQ(::getrlimit(RLIMIT_FSIZE, &before), 0);
  auto small = before;
  small.rlim_cur = 65536;
  const auto handler = std::signal(SIGXFSZ, SIG_IGN);
  ASSERT_EQ(::setrlimit(RLIMIT_FSIZE, &small), 0);
  const auto why = write_file(folder / "car.toml", std::string(200000, 'x'));
  ASSERT_EQ(::setrlimit(RLIMIT_FSIZE, &before), 0);
  std::signal(SIGXFSZ, handler);
  EXPECT_EQ(why, "cannot be written (File too large)");
  EXPECT_EQ(folder.read("car.toml"), "old");
  EXPECT_EQ(folder.count(), 1);
}

TEST(WriteFile, KeepsAFileThatIsProtected) {
  const TemporaryFolder folder;
  folder.write("car.toml", "old");
  std::filesystem::permissions(folder / "car.toml", std::filesystem::perms(0444));
  std::filesystem::permissions(folder.path(), std::filesystem::perms(0777));
  {
    const WithoutRights ordinary;
    EXPECT_EQ(write_file(folder / "car.toml", "new"), "cannot be written (Permission denied)");
  }
  EXPECT_EQ(folder.read("car.toml"), "old");
  EXPECT_EQ(folder.count(), 1);
}

TEST(WriteFile, SaysThatTheFolderTakesNoFile) {
  const TemporaryFolder folder;
  folder.write("car.toml", "old");
  std::filesystem::permissions(folder / "car.toml", std::filesystem::perms(0666));
  std::filesystem::permissions(folder.path(), std::filesystem::perms(0555));
  {
    const WithoutRights ordinary;
    EXPECT_EQ(write_file(folder / "car.toml", "new"),
              "cannot be written: its folder takes no new file (Permission denied)");
  }
  EXPECT_EQ(folder.read("car.toml"), "old");
}

TEST(WriteFile, WritesNoFolderAndNoDevice) {
  const TemporaryFolder folder;
  EXPECT_EQ(write_file(folder.path().string(), "new"),
            "cannot be written (it is no ordinary file)");
  EXPECT_EQ(write_file("/dev/full", "new"), "cannot be written (it is no ordinary file)");
}

TEST(WriteFile, KeepsExtendedAttributes) {
  const TemporaryFolder folder;
  folder.write("car.toml", "old");
  const std::string file = folder / "car.toml", value = "mine";
  if (::setxattr(file.c_str(), "user.owner", value.data(), value.size(), 0) != 0)
    GTEST_SKIP() << "this disk has no extended attributes";
  EXPECT_EQ(write_file(file, "new"), "");
  std::string kept(16, '\0');
  const auto size = ::getxattr(file.c_str(), "user.owner", kept.data(), kept.size());
  ASSERT_EQ(size, 4);
  EXPECT_EQ(kept.substr(0, 4), value);
}

// The list as Linux keeps it (acl(5), and posix_acl_xattr.h of the kernel): version 2, then tag,
// rights and number of each entry. Owner rw, user 1234 r, group nothing, mask r, others nothing: in
// the mode the group's bits show the mask.
TEST(WriteFile, AnAccessListStaysAndTheGroupGainsNothing) {
  const TemporaryFolder folder;
  folder.write("car.toml", "old");
  const std::string file = folder / "car.toml";
  std::string list("\2\0\0\0", 4);
  const auto entry = [&](int tag, int rights, unsigned id) {
    for (const int half : {tag, rights}) list += {static_cast<char>(half), '\0'};
    for (int i = 0; i < 4; ++i) list += static_cast<char>((id >> (8 * i)) & 0xFFU);
  };
  constexpr unsigned none = 0xFFFFFFFFU;
  entry(0x01, 6, none), entry(0x02, 4, 1234), entry(0x04, 0, none), entry(0x10, 4, none),
      entry(0x20, 0, none);
  constexpr const char* name = "system.posix_acl_access";
  if (::setxattr(file.c_str(), name, list.data(), list.size(), 0) != 0)
    GTEST_SKIP() << "this disk has no access lists";
  EXPECT_EQ(write_file(file, "new"), "");
  std::string kept(list.size() + 16, '\0');
  const auto size = ::getxattr(file.c_str(), name, kept.data(), kept.size());
  ASSERT_EQ(size, static_cast<ssize_t>(list.size()));
  EXPECT_EQ(kept.substr(0, list.size()), list);
}

TEST(WriteFile, AFileOfTwoNamesKeepsBoth) {
  const TemporaryFolder folder;
  folder.write("car.toml", "a long old text");
  std::filesystem::create_hard_link(folder / "car.toml", folder / "other.toml");
  EXPECT_EQ(write_file(folder / "car.toml", "new"), "");
  EXPECT_EQ(folder.read("car.toml"), "new");
  EXPECT_EQ(folder.read("other.toml"), "new");
  EXPECT_EQ(std::filesystem::hard_link_count(folder / "car.toml"), 2U);
  EXPECT_EQ(folder.count(), 2);
}

// What a killed program left behind goes, what a living one writes and what is somebody's stays.
TEST(WriteFile, ClearsWhatAKilledProgramLeftBehind) {
  const TemporaryFolder folder;
  const pid_t dead = ::fork();
  ASSERT_GE(dead, 0);
  if (dead == 0) ::_exit(0);
  ASSERT_EQ(::waitpid(dead, nullptr, 0), dead);
  const auto left = ".trammel-" + std::to_string(dead) + "-0";
  const auto living = ".trammel-" + std::to_string(::getppid()) + "-0";
  for (const std::string& name :
       {left, living, std::string(".trammel-notes"), ".trammel-" + std::to_string(dead) + "-1"})
    folder.write(name, "half");
  // Held: by a program on another machine, say.
  const int held = ::open((folder / (".trammel-" + std::to_string(dead) + "-1")).c_str(), O_RDONLY);
  ASSERT_EQ(::flock(held, LOCK_EX), 0);
  EXPECT_EQ(write_file(folder / "car.toml", "new"), "");
  ::close(held);
  EXPECT_FALSE(std::filesystem::exists(folder / left));
  EXPECT_EQ(folder.count(), 4);
}

TEST(ReadFile, ReadsOrdinaryFilesOnly) {
  const TemporaryFolder folder;
  ASSERT_EQ(::mkfifo((folder / "pipe").c_str(), 0600), 0);
  for (const std::string& path :
       {folder / "pipe", std::string("/dev/zero"), std::string("/dev/null")}) {
    const auto r = read_file(path);
    EXPECT_FALSE(r.text);
    EXPECT_EQ(r.why, "is no ordinary file, expected a car file") << path;
  }
  EXPECT_EQ(read_file(folder.path().string()).why, "is a folder, expected a car file");
  folder.write("large", std::string((4U << 20U) + 1, 'x'));
  EXPECT_EQ(read_file(folder / "large").why, "is larger than 4 MB, expected a car file");
  folder.write("just", std::string(4U << 20U, 'x'));
  EXPECT_EQ(read_file(folder / "just").text.value_or("").size(), 4U << 20U);
}

TEST(HeldFile, OneWriterWaitsForTheOther) {
  const TemporaryFolder folder;
  folder.write("car.toml", "0");
  constexpr int writers = 4, rounds = 25;
  std::vector<std::thread> all;
  for (int w = 0; w < writers; ++w)
    all.emplace_back([&] {
      for (int i = 0; i < rounds; ++i) {
        HeldFile held(folder / "car.toml");
        ASSERT_TRUE(held.read().text) << held.read().why;
        ASSERT_EQ(held.replace(std::to_string(std::stoi(*held.read().text) + 1)), "");
      }
    });
  for (auto& t : all) t.join();
  EXPECT_EQ(folder.read("car.toml"), std::to_string(writers * rounds));
}

TEST(HeldFile, WhatAnotherProgramWroteMeanwhileStays) {
  const TemporaryFolder folder;
  folder.write("car.toml", "old");
  HeldFile held(folder / "car.toml");
  folder.write("car.toml", "somebody's");  // an editor knows nothing of our locks
  EXPECT_NE(held.replace("new").find("was changed by another program meanwhile"),
            std::string::npos);
  EXPECT_TRUE(held.changed_meanwhile());
  EXPECT_EQ(folder.read("car.toml"), "somebody's");
  EXPECT_EQ(folder.count(), 1);
}

}  // namespace
}  // namespace trammel::testing
