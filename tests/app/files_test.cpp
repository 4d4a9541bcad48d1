// Writing a file over: whole or not at all.
#include "cli/files.h"

#include <gtest/gtest.h>
#include <sys/resource.h>
#include <sys/stat.h>

#include <csignal>
#include <filesystem>

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

}  // namespace
}  // namespace trammel::testing
