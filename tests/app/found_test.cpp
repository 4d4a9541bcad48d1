// Inputs that once broke the program: each ends within seconds, with status 0, 1 or 2 and a message
// that helps.

#include <gtest/gtest.h>
#include <sys/stat.h>
#include <sys/wait.h>

#include <cstdlib>
#include <functional>
#include <string>
#include <vector>

#include "app/temporary_folder.h"

namespace trammel::testing {
namespace {

std::string slurp(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}
std::string found(const std::string& name) { return slurp(FOUND_FOLDER + ("/" + name)); }

std::string with(std::string text, const std::string& old, const std::string& by) {
  const auto at = text.find(old);
  if (at == std::string::npos) throw std::runtime_error("the text has no " + old);
  return text.replace(at, old.size(), by);
}
std::string many(int count, const std::function<std::string(int)>& one) {
  std::string text;
  for (int i = 0; i < count; ++i) text += one(i);
  return text;
}
std::string n(int i) { return std::to_string(i); }

const std::string signs = R"(\u001b[31mX\u0007\u009b2J\u202e\r\n0\nSECTION)";

struct Found {
  std::string what;                   // one word for the test's name
  std::string text;                   // of car.toml
  std::vector<std::string> commands;  // {} is the car
  std::string says;                   // on either stream of the first command; empty: anything
  std::vector<int> may_end_with{0, 1, 2};
};

const std::vector<std::string> every_step{"check {}",
                                          "check {} --json",
                                          "measure {}",
                                          "travel {}",
                                          "correct {}",
                                          "make {}",
                                          "correct {} --json",
                                          "settle {}",
                                          "align {}",
                                          "prove {}",
                                          "make {} --out drawings",
                                          "sheet {} --out -"};
const std::vector<std::string> check_alone{"check {}"};
const std::vector<int> refused{2};

std::vector<Found> table() {
  const auto hatch = found("hatch.toml"), arms = found("two-arms.toml");
  const std::string window = "window = [-30, 40]", option = "\n[[option]]\n";
  const std::string deep = many(27000, [](int) { return std::string("a."); }) + "a";
  const std::string steering = "joint = \"front.rod.steering.upright\"\n";
  const auto row = [](int i) {
    return "[[reading]]\nname = \"R" + n(i) +
           "\"\nheight = \"front.left.arm.lower.upright\"\nvalue = " + n(170 + i % 9) + "\n";
  };
  const auto run = [](int i) {
    return "[[reading]]\nname = \"G" + n(i) +
           "\"\ngauge = \"front.left\"\nbase = 300\nrows = [[0, 0.01, -0.01], [10, -0.44, -1.03], "
           "[20, -1.18, -2.25], [30, -1.89, -3.70], [20, -1.22, -2.27], [10, -0.49, -0.99], "
           "[0, -0.02, -0.01]]\n";
  };
  return {
      {"deepDottedKey", "trammel = 1\n" + deep + " = 1\n", every_step, "a key of more than",
       refused},
      {"deepHeader", "trammel = 1\n[" + deep + "]\nx = 1\n", check_alone, "a key of more than",
       refused},
      {"deepPath",
       hatch,
       {"set {} " + deep.substr(0, 100000) + " 1"},
       "is no path of a key",
       refused},
      {"deepBrackets", "trammel = 1\na = " + std::string(100000, '[') + "\n", check_alone,
       "brackets within each other", refused},
      {"deepTables",
       "trammel = 1\na = " + many(200, [](int) { return std::string("{a.a.a="); }) + "\n",
       check_alone, "brackets within each other", refused},
      {"sevenMadeDirections",
       hatch + many(4,
                    [&](int i) {
                      constexpr const char* joints[] = {"rod.steering.upright",
                                                        "arm.lower.body_front",
                                                        "arm.lower.body_rear", "strut.top"};
                      return "[[option]]\nname = \"bracket " + n(i) + "\"\njoint = \"front." +
                             joints[i] + "\"\nrange = { y = [-5, 5], z = [-20, 0] }\n";
                    }),
       every_step, "move in 8 directions, expected 6 at most", refused},
      {"quoteInAValue", found("a-quote-in-a-value.toml"), check_alone,
       "car.toml:2: the file cannot be read as TOML: a quote stands in the middle", refused},
      {"weldWithinTheEdge", found("weld-within-the-edge.toml"), every_step, ""},
      {"weldLineAtTheHole",
       with(hatch, "weld     = { from = [-40, 60], to = [40, 60] }",
            "weld = { from = [-10, 0], to = [15, 0] }"),
       {"make {}", "make {} --out drawings", "make {} --json", "sheet {} --out -"},
       "it is held within the edge of"},
      {"window1e5", with(arms, window, "window = [-5, 1e5]"), every_step, "window", refused},
      {"window1e9", with(arms, window, "window = [-5, 1e9]"), every_step, "window", refused},
      {"window1e12", with(arms, window, "window = [-5, 1e12]"), every_step, "window", refused},
      {"window501", with(arms, window, "window = [-5, 501]"), check_alone,
       "window: is farther than any wheel goes (500 mm)", refused},
      {"window500",
       with(arms, window, "window = [-5, 500]"),
       {"check {}", "correct {}", "sheet {} --out -"},
       ""},
      {"range1e6",
       arms + option + "name = \"r\"\n" + steering +
           "range = { y = [-1e6, 1e6], z = [-1e6, 1e6] }\n",
       every_step, "range", refused},
      {"range200",
       arms + option + "name = \"r\"\n" + steering +
           "range = { y = [-200, 200], z = [-200, 200] }\n",
       {"correct {}", "sheet {} --out -"},
       ""},
      {"size1e9",
       arms + option + "name = \"r\"\n" + steering + "along = [0, 0, -1]\nsizes = [0, 10, 1e9]\n",
       every_step, "sizes", refused},
      {"size200",
       arms + option + "name = \"r\"\n" + steering + "along = [0, 0, -1]\nsizes = [0, 10, 200]\n",
       {"correct {}", "sheet {} --out -"},
       ""},
      {"stop1e9", with(hatch, "bump = 66", "bump = 1e9"), check_alone, "bump", refused},
      {"stop500",
       with(hatch, "bump = 66", "bump = 500"),
       {"correct {}", "settle {}", "make {}"},
       ""},
      {"controlSignsInTheName", with(hatch, "name = \"A hatch\"", "name = \"" + signs + "\""),
       every_step, "car.toml:2: a text holds the control sign U+001B", refused},
      {"controlSignsInAKey", hatch + "\n[state.\"x" + signs + "\"]\nfront = 1\n", every_step,
       "a key holds the control sign", refused},
      {"controlSignsInAnOption", with(hatch, "\"ball-joint spacer\"", "\"b" + signs + "\""),
       every_step, "control sign", refused},
      {"controlSignsTyped",
       hatch,
       {"set {} front.wheel.toe '\x1b[31mX'", "travel {} --state '\x1b['"},
       "car.toml:19: front.wheel.toe",
       refused},
      {"namesThatCollide",
       with(with(hatch, "name  = \"lateral-arm spacer\"", "name  = \"rod/end stack\""),
            "option   = \"lateral-arm spacer\"", "option   = \"rod/end stack\""),
       {"check {}", "make {} --out drawings"},
       "would have the same name",
       refused},
      {"listOf100000",
       "trammel = 1\na = [" + many(100000, [](int) { return std::string("1,"); }) + "1]\n",
       check_alone, "a list or table of 100001 values", refused},
      {"listOf4900",
       "trammel = 1\na = [" + many(4900, [](int) { return std::string("\"ä\","); }) + "1]\n",
       check_alone, "'a' is not known here", refused},
      {"points50000",
       arms + "\n[survey.point]\n" +
           many(50000, [](int i) { return "p" + n(i) + " = [0, 0, 0]\n"; }),
       check_alone, "a list or table of 50000 keys", refused},
      {"points101",
       arms + "\n[survey.point]\n" + many(101, [](int i) { return "p" + n(i) + " = [0, 0, 0]\n"; }),
       {"check {}", "measure {}"},
       "survey.point: has 101 points, expected 100 at most",
       refused},
      {"points100",
       arms + "\n[survey.point]\n" +
           many(100, [](int i) { return "p" + n(i) + " = [" + n(10 * i) + ", \"0 ± 1\", 0]\n"; }) +
           many(100,
                [](int i) {
                  return "[[reading]]\ndistance = [\"p" + n(i) +
                         "\", \"front.left.arm.lower.upright\"]\nvalue = " + n(700 + i % 7) + "\n";
                }),
       {"check {}", "measure {}"},
       ""},
      {"runs500",
       arms + many(500, run),
       {"check {}", "measure {}"},
       "the file holds 500 runs with dials as the car sits, expected 40 at most",
       refused},
      {"runs40", arms + many(40, run), {"check {}", "measure {}"}, ""},
      {"fixings4000",
       with(with(hatch, "\"welded plate\"", "\"bolted plate\""),
            "weld     = { from = [-40, 60], to = [40, 60] }",
            "fixings = [" + many(4000, [](int i) { return "[" + n(60 * i) + ", 0],"; }) +
                "[0, 60]]"),
       {"check {}", "make {}"},
       "fixings: has 4001 places, expected 24 at most",
       refused},
      {"readings40000",
       arms + many(40000, row),
       {"check {}", "measure {}"},
       "a list or table of",
       refused},
      {"readings2000", arms + many(2000, row), {"check {}", "measure {}"}, ""},
      {"keyOf4MB", "trammel = 1\n" + std::string(4000000, 'k') + " = 1\n", check_alone,
       "a key is longer than 200 signs", refused},
      {"textOf4MB", "trammel = 1\nname = \"" + std::string(4000000, 'k') + "\"\n", check_alone,
       "a text is longer than 2000 signs", refused},
      {"unknownKeys4900",
       arms + "\n[body.x]\n" + many(4900, [](int i) { return "k" + n(i) + " = 1\n"; }), check_alone,
       "", refused},
      {"doubtOf1e300", found("a-doubt-of-1e-300.toml"), every_step,
       "finer than anything is measured", refused},
      {"stdoutFull",
       hatch,
       {"check {} >/dev/full", "check {} --json >/dev/full", "sheet {} --out - >/dev/full",
        "--help >/dev/full"},
       "standard output takes no more",
       refused},
      {"pipe",
       "",
       {"check pipe", "set pipe name x", "sheet pipe --out -"},
       "is no ordinary file",
       refused},
      {"zeroes", "", {"check /dev/zero", "set /dev/zero name x"}, "is no ordinary file", refused},
      {"sheetIntoAPipe",
       hatch,
       {"sheet {} --out pipe", "measure {} --blank --out pipe"},
       "pipe",
       refused},
  };
}

class FoundInput : public ::testing::TestWithParam<Found> {};

TEST_P(FoundInput, EndsInSecondsAndWithWordsThatHelp) {
  const auto& it = GetParam();
  const TemporaryFolder folder;
  ASSERT_EQ(::mkfifo((folder / "pipe").c_str(), 0600), 0);
  for (std::size_t i = 0; i < it.commands.size(); ++i) {
    folder.write("car.toml", it.text);
    auto command = it.commands[i];
    if (const auto at = command.find("{}"); at != std::string::npos)
      command.replace(at, 2, "car.toml");
    // The limit leaves room for a busy machine and for the sanitizers: what it once took had no
    // end.
    folder.write("run", "cd " + folder.path().string() + "\n{ timeout 120 " + TRAMMEL_PROGRAM +
                            " " + command + "\n} >out 2>err </dev/null\n");
    const int status = WEXITSTATUS(std::system(("sh " + (folder / "run")).c_str()));
    const auto out = folder.read("out"), err = folder.read("err");
    const auto shown = command.substr(0, 200) + "\n" + err.substr(0, 2000);
    EXPECT_NE(std::find(it.may_end_with.begin(), it.may_end_with.end(), status),
              it.may_end_with.end())
        << status << ": " << shown;
    EXPECT_EQ((out + err).find("a bug in Trammel"), std::string::npos) << shown;
    for (const char* not_a_number : {" nan", "-nan", "inf "})
      EXPECT_EQ((out + err).find(not_a_number), std::string::npos) << shown;
    for (const char sign : {'\x1b', '\x07', '\r'})
      EXPECT_EQ((out + err).find(sign), std::string::npos) << shown;
    EXPECT_LT(err.size(), 30000U) << "a name is echoed whole";
    if (status == 2 && !err.empty()) {
      // One line a fault, each beginning with what it is about.
      std::istringstream lines(err);
      for (std::string line; std::getline(lines, line);)
        EXPECT_TRUE(line.starts_with("car.toml") || line.starts_with("trammel") ||
                    line.starts_with("pipe") || line.starts_with("/dev/zero") ||
                    line.starts_with("("))
            << line.substr(0, 200);
    }
    if (i == 0) {
      EXPECT_NE((out + err).find(it.says), std::string::npos) << shown;
    }
  }
}

INSTANTIATE_TEST_SUITE_P(Table, FoundInput, ::testing::ValuesIn(table()),
                         [](const auto& row) { return row.param.what; });

// Two edits at once: both are done, or one is told that it was not.
TEST(FoundTogether, NoEditIsLostBetweenTwo) {
  const TemporaryFolder folder;
  folder.write("car.toml", found("hatch.toml"));
  const std::string set = std::string(TRAMMEL_PROGRAM) + " set " + (folder / "car.toml");
  for (int round = 0; round < 12; ++round) {
    const auto a = n(2300 + round), b = n(500 + round);
    ASSERT_EQ(std::system(("{ " + set + " body.wheelbase " + a + " & " + set +
                           " body.centre_of_gravity_height " + b + " & wait; } >/dev/null")
                              .c_str()),
              0);
    const auto text = folder.read("car.toml");
    EXPECT_NE(text.find("wheelbase = " + a), std::string::npos);
    EXPECT_NE(text.find("centre_of_gravity_height = " + b), std::string::npos);
  }
}

TEST(FoundTogether, DrawingsReplaceDrawingsAndNothingElse) {
  const TemporaryFolder folder;
  folder.write("car.toml", found("hatch.toml"));
  const auto make = [&] {
    return WEXITSTATUS(std::system(("cd " + folder.path().string() + " && " + TRAMMEL_PROGRAM +
                                    " make car.toml --out parts >out 2>err")
                                       .c_str()));
  };
  ASSERT_LE(make(), 1) << folder.read("err");
  // Every file that is told is there, and no other.
  std::istringstream lines(folder.read("err"));
  std::ptrdiff_t told = 0;
  for (std::string line; std::getline(lines, line);)
    if (line.starts_with("parts/")) {
      ++told;
      EXPECT_TRUE(std::filesystem::exists(folder / line)) << line;
    }
  EXPECT_GT(told, 0);
  EXPECT_EQ(told, std::distance(std::filesystem::directory_iterator(folder / "parts"),
                                std::filesystem::directory_iterator()));
  EXPECT_LE(make(), 1) << "its own are written over";
  std::string first;
  for (const auto& file : std::filesystem::directory_iterator(folder / "parts"))
    first = std::max(first, file.path().filename().string());
  folder.write("parts/" + first, "somebody's");
  EXPECT_EQ(make(), 2);
  EXPECT_NE(folder.read("err").find("is no drawing of this program"), std::string::npos);
  EXPECT_EQ(folder.read("parts/" + first), "somebody's");
}

}  // namespace
}  // namespace trammel::testing
