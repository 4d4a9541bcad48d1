// `trammel page` from outside: started, asked over HTTP, ended.
#include <gtest/gtest.h>
#include <httplib.h>
#include <pty.h>
#include <sys/wait.h>

#include <array>
#include <csignal>
#include <cstdio>
#include <fstream>
#include <vector>

#include "app/drawn_code.h"
#include "app/temporary_folder.h"

namespace trammel::testing {
namespace {

// The program, started; its output read line by line.
class ProgramStarted {
 public:
  // What its output goes to: a pipe, or a terminal of 80 by 24.
  enum class To { pipe, terminal };
  explicit ProgramStarted(const std::vector<std::string>& words, To to = To::pipe) {
    std::array<int, 2> pipe{};
    const winsize size{24, 80, 0, 0};
    if ((to == To::pipe ? ::pipe(pipe.data())
                        : ::openpty(&pipe[0], &pipe[1], nullptr, nullptr, &size)) != 0)
      throw std::runtime_error("no pipe");
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
  ProgramStarted(const ProgramStarted&) = delete;
  ProgramStarted& operator=(const ProgramStarted&) = delete;
  ~ProgramStarted() {
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
    ProgramStarted program({"page", folder / "car.toml"});
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
  ProgramStarted program({"page"});
  ASSERT_NE(port_told(program.line()), 0);
  EXPECT_EQ(program.end(SIGTERM), 0);
}

TEST(PageProgram, TakesThePortItIsGivenOrSaysThatItIsInUse) {
  int port = 0;
  {
    ProgramStarted first({"page"});
    port = port_told(first.line());
    ASSERT_NE(port, 0);
    EXPECT_EQ(httplib::Client("127.0.0.1", port).Get("/car")->status, 404);
    ProgramStarted second({"page", "--port", std::to_string(port)});
    EXPECT_NE(second.line().find("is in use, expected a free port"), std::string::npos);
    EXPECT_EQ(second.end(), 2);
    EXPECT_EQ(first.end(SIGTERM), 0);
  }
  ProgramStarted third({"page", "--port", std::to_string(port)});
  EXPECT_EQ(port_told(third.line()), port);
  EXPECT_EQ(third.end(SIGTERM), 0);
}

// The whole way: scanned off the terminal, opened, used, ended.
TEST(PageProgram, IsOpenedByAPhoneThatScansTheTerminal) {
  const TemporaryFolder folder;
  folder.write("car.toml", "one\n");
  ProgramStarted program({"page", folder / "car.toml", "--phone", "--address", "127.0.0.2"},
                         ProgramStarted::To::terminal);
  std::string shown;
  while (shown.find("/open/") == std::string::npos) {
    const auto line = program.line();
    ASSERT_NE(line, "") << shown;
    shown += line;
  }
  EXPECT_EQ(shown.substr(0, 32), "The page is at http://127.0.0.1:");
  const auto link = decoded(modules_of(shown));
  EXPECT_NE(shown.find("\n" + link + "\r\n"), std::string::npos) << link;
  const auto host_end = link.find('/', 7);
  ASSERT_EQ(link.substr(0, 17), "http://127.0.0.2:");
  httplib::Client client("127.0.0.2", std::stoi(link.substr(17, host_end - 17)));
  EXPECT_EQ(client.Get("/car")->status, 403);
  const auto r = client.Post(link.substr(host_end), "", "application/x-www-form-urlencoded");
  EXPECT_EQ(r->status, 303);
  EXPECT_EQ(program.line(), "The phone at 127.0.0.1 has opened the page.\r\n");
  const httplib::Headers session{{"Cookie", r->get_header_value("Set-Cookie")}};
  EXPECT_TRUE(client.Get("/", session)->body == page_file());
  EXPECT_EQ(client.Get("/car", session)->body, "one\n");
  EXPECT_EQ(program.end(SIGINT), 0);
  EXPECT_FALSE(client.Get("/", session));
}

TEST(PageProgram, IsOnThisMachineAloneUnlessAPhoneIsAskedFor) {
  ProgramStarted program({"page"});
  const int port = port_told(program.line());
  ASSERT_NE(port, 0);
  EXPECT_FALSE(httplib::Client("127.0.0.2", port).Get("/"));
  EXPECT_EQ(program.end(SIGTERM), 0);
  EXPECT_EQ(program.line(), "");
}

TEST(PageProgram, GoesOnHereWhenTheNetworkIsClosedByGuesses) {
  ProgramStarted program({"page", "--phone", "--address", "127.0.0.2"});
  const int port = port_told(program.line());
  std::string link;
  while (link.find("/open/") == std::string::npos) {
    link = program.line();
    ASSERT_NE(link, "");
  }
  const int phone_port = std::stoi(link.substr(17));
  for (int i = 0; i < 10; ++i)
    EXPECT_EQ(httplib::Client("127.0.0.2", phone_port).Get("/open/guess")->status, 403);
  EXPECT_EQ(program.line().substr(0, 31), "10 wrong links were tried, the ");
  EXPECT_EQ(httplib::Client("127.0.0.1", port).Get("/")->status, 200);
  EXPECT_EQ(program.end(SIGTERM), 0);
}

TEST(PageProgram, TakesOnlyAnAddressOfItsOwn) {
  ProgramStarted elsewhere({"page", "--phone", "--address", "203.0.113.5"});
  EXPECT_EQ(
      elsewhere.line().find("trammel: --address: '203.0.113.5' is no address that this machine "
                            "has in a local network, expected one"),
      0U);
  EXPECT_EQ(elsewhere.end(), 2);
  ProgramStarted alone({"page", "--address", "127.0.0.2"});
  EXPECT_NE(alone.line().find("--address requires --phone"), std::string::npos);
  EXPECT_EQ(alone.end(), 2);
}

TEST(PageProgram, SaysWhatIsWrongWithTheCar) {
  const TemporaryFolder folder;
  ProgramStarted missing({"page", folder / "nope.toml"});
  EXPECT_EQ(missing.line(), folder / "nope.toml" +
                                ": cannot be opened (No such file or directory), expected a car "
                                "file\n");
  EXPECT_EQ(missing.end(), 2);
  ProgramStarted device({"page", "/dev/zero"});
  EXPECT_EQ(device.line(), "/dev/zero: is no ordinary file, expected a car file\n");
  EXPECT_EQ(device.end(), 2);
}

#else

TEST(PageProgram, SaysThatItHasNoPage) {
  ProgramStarted program({"page", std::string(CARS_FOLDER) + "/pip.toml"});
  EXPECT_EQ(program.line(),
            "trammel: this program was built without the page (TRAMMEL_PAGE is OFF)\n");
  EXPECT_EQ(program.end(), 1);
}

#endif

TEST(PageProgram, HelpTeaches) {
  ProgramStarted program({"page", "--help"});
  std::string all;
  for (auto line = program.line(); !line.empty(); line = program.line()) all += line;
  EXPECT_EQ(program.end(), 0);
  EXPECT_NE(all.find("trammel page my-car.toml --port 8080"), std::string::npos) << all;
  EXPECT_NE(all.find("trammel page my-car.toml --phone"), std::string::npos) << all;
}

}  // namespace
}  // namespace trammel::testing
