// `trammel page` from outside: started, asked over HTTP, ended.
#include <gtest/gtest.h>
#include <httplib.h>
#include <sys/wait.h>

#include <array>
#include <csignal>
#include <cstdio>
#include <fstream>
#include <vector>

#include "app/temporary_folder.h"

namespace trammel::testing {
namespace {

// The program, started; its output read line by line.
class Started {
 public:
  explicit Started(const std::vector<std::string>& words) {
    std::array<int, 2> pipe{};
    if (::pipe(pipe.data()) != 0) throw std::runtime_error("no pipe");
    std::vector<std::string> all{TRAMMEL_PROGRAM};
    all.insert(all.end(), words.begin(), words.end());
    std::vector<char*> argv;
    for (auto& word : all) argv.push_back(word.data());
    argv.push_back(nullptr);
    id_ = ::fork();
    if (id_ == 0) {
      ::dup2(pipe[1], 1);
      ::dup2(pipe[1], 2);
      ::close(pipe[0]);
      ::execv(TRAMMEL_PROGRAM, argv.data());
      ::_exit(127);
    }
    ::close(pipe[1]);
    out_ = ::fdopen(pipe[0], "r");
  }
  Started(const Started&) = delete;
  Started& operator=(const Started&) = delete;
  ~Started() {
    std::fclose(out_);
    if (!ended_) {
      ::kill(id_, SIGKILL);
      ::waitpid(id_, nullptr, 0);
    }
  }
  std::string line() {
    std::string text;
    for (int c = 0; (c = std::fgetc(out_)) != EOF;) {
      text += static_cast<char>(c);
      if (c == '\n') break;
    }
    return text;
  }
  // The exit status; -1 where a signal ended it.
  int end(int signal = 0) {
    if (signal != 0) ::kill(id_, signal);
    int status = 0;
    ::waitpid(id_, &status, 0);
    ended_ = true;
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
  }

 private:
  pid_t id_ = 0;
  FILE* out_ = nullptr;
  bool ended_ = false;
};

#ifdef TRAMMEL_PAGE_FILE

std::string page_file() {
  std::ifstream in(TRAMMEL_PAGE_FILE, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}

// The port in the line that tells the address; 0 where the line is another.
int port_told(const std::string& line) {
  int port = 0, length = 0;
  // NOLINTNEXTLINE(cert-err34-c): what follows the number is checked
  std::sscanf(line.c_str(), "The page is at http://127.0.0.1:%d/ - press Ctrl-C to end.\n%n", &port,
              &length);
  return static_cast<std::size_t>(length) == line.size() ? port : 0;
}

TEST(PageProgram, ServesUntilItIsEnded) {
  const TemporaryFolder folder;
  folder.write("car.toml", "broken = [\n");
  for (const int signal : {SIGTERM, SIGINT}) {
    Started program({"page", folder / "car.toml"});
    const auto line = program.line();
    const int port = port_told(line);
    ASSERT_NE(port, 0) << line;
    httplib::Client client("127.0.0.1", port);
    EXPECT_TRUE(client.Get("/")->body == page_file());
    EXPECT_EQ(client.Get("/car")->body, "broken = [\n");
    EXPECT_EQ(program.end(signal), 0);
    EXPECT_EQ(program.line(), "");
    EXPECT_FALSE(client.Get("/"));
  }
}

TEST(PageProgram, EndsWhereItIsToldSoAtOnce) {
  Started program({"page"});
  ASSERT_NE(port_told(program.line()), 0);
  EXPECT_EQ(program.end(SIGTERM), 0);
}

TEST(PageProgram, TakesThePortItIsGivenOrSaysThatItIsInUse) {
  int port = 0;
  {
    Started first({"page"});
    port = port_told(first.line());
    ASSERT_NE(port, 0);
    EXPECT_EQ(httplib::Client("127.0.0.1", port).Get("/car")->status, 404);
    Started second({"page", "--port", std::to_string(port)});
    EXPECT_NE(second.line().find("is in use, expected a free port"), std::string::npos);
    EXPECT_EQ(second.end(), 2);
    EXPECT_EQ(first.end(SIGTERM), 0);
  }
  Started third({"page", "--port", std::to_string(port)});
  EXPECT_EQ(port_told(third.line()), port);
  EXPECT_EQ(third.end(SIGTERM), 0);
}

TEST(PageProgram, SaysWhatIsWrongWithTheCar) {
  const TemporaryFolder folder;
  Started missing({"page", folder / "nope.toml"});
  EXPECT_EQ(missing.line(), folder / "nope.toml" +
                                ": cannot be opened (No such file or directory), expected a car "
                                "file\n");
  EXPECT_EQ(missing.end(), 2);
  Started device({"page", "/dev/zero"});
  EXPECT_EQ(device.line(), "/dev/zero: is no ordinary file, expected a car file\n");
  EXPECT_EQ(device.end(), 2);
}

#else

TEST(PageProgram, SaysThatItHasNoPage) {
  Started program({"page", std::string(CARS_FOLDER) + "/pip.toml"});
  EXPECT_EQ(program.line(),
            "trammel: this program was built without the page (TRAMMEL_PAGE is OFF)\n");
  EXPECT_EQ(program.end(), 1);
}

#endif

TEST(PageProgram, HelpTeaches) {
  Started program({"page", "--help"});
  std::string all;
  for (auto line = program.line(); !line.empty(); line = program.line()) all += line;
  EXPECT_EQ(program.end(), 0);
  EXPECT_NE(all.find("trammel page my-car.toml --port 8080"), std::string::npos) << all;
}

}  // namespace
}  // namespace trammel::testing
