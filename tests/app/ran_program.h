// The program as somebody runs it, in a folder of its own: its status and what it said.
#pragma once

#include <sys/wait.h>

#include <cstdlib>
#include <string>

#include "app/temporary_folder.h"

namespace trammel::testing {

struct Ran {
  int status;
  std::string out, err;
};

class RanProgram : public ::testing::Test {
 protected:
  Ran run(const std::string& arguments) {
    const std::string line = "cd " + folder_.path().string() + " && " + TRAMMEL_PROGRAM + " " +
                             arguments + " >out 2>err </dev/null";
    const int status = std::system(line.c_str());
    return {WEXITSTATUS(status), read("out"), read("err")};
  }
  void write(const std::string& name, const std::string& text) const { folder_.write(name, text); }
  std::string read(const std::string& name) const { return folder_.read(name); }
  static std::string car(const std::string& name) { return std::string(CARS_FOLDER) + "/" + name; }

  TemporaryFolder folder_;
};

}  // namespace trammel::testing
