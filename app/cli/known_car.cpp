#include "cli/known_car.h"

#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <iostream>

#include "base/plain_text.h"
#include "cli/files.h"
#include "measure/tell.h"
#include "sheet/text.h"
#include "travel/freedom.h"

namespace trammel {

namespace {
constexpr std::size_t most_faults = 100;  // a screen of them is enough to begin with
}  // namespace

void complain(const std::string& file, const std::vector<Fault>& faults) {
  // A fault is one line, whatever the names in it hold.
  for (std::size_t i = 0; i < std::min(faults.size(), most_faults); ++i) {
    const auto& f = faults[i];
    std::cerr << printable(f.line > 0 ? fmt::format("{}:{}: {}", file, f.line, f.what)
                                      : fmt::format("{}: {}", file, f.what))
              << "\n";
  }
  if (faults.size() > most_faults)
    std::cerr << printable(fmt::format("{}: and {} more faults", file, faults.size() - most_faults))
              << "\n";
}

int misused(const std::string& what) {
  std::cerr << "trammel: " << printable(what) << "\n";
  return bad_input;
}

// Reads and checks a car file; complains and gives nothing where it is at fault.
std::optional<Loaded> load(const std::string& file) {
  auto text = read_file(file);
  if (!text.text) {
    complain(file, {{0, text.why}});
    return {};
  }
  auto document = parse(std::move(*text.text));
  if (!document.value) {
    complain(file, document.faults);
    return {};
  }
  auto car = read_car(*document.value);
  if (!car.value) {
    complain(file, car.faults);
    return {};
  }
  return Loaded{std::move(*document.value), std::move(*car.value)};
}

std::optional<Known> load_and_adjust(const std::string& file, int& status) {
  status = bad_input;
  auto loaded = load(file);
  if (!loaded) return {};
  auto survey = read_survey(loaded->document, loaded->car);
  auto wishes = read_wishes(loaded->document, loaded->car);
  auto adjusted = adjust(loaded->car, survey);
  if (!adjusted.value) {
    complain(file, {{0, adjusted.why}});
    status = no_answer;
    return {};
  }
  auto judged = judge_runs(std::move(*adjusted.value), survey, wishes);
  return Known{std::move(loaded->document), std::move(survey), std::move(wishes),
               std::move(judged.adjusted), std::move(judged.runs)};
}

// A section with what stands against the survey said before everything else.
std::string told(Section section, const Known& known, Units units) {
  section = guess_first(doubt_first(std::move(section), known.adjusted), known.adjusted, units);
  return as_text(section);
}

std::unique_ptr<CorrectedCar> corrected_car(const std::string& file, const std::string& typed,
                                            int& status) {
  auto known = load_and_adjust(file, status);
  if (!known) return {};
  auto c = std::make_unique<CorrectedCar>();
  c->known = std::move(*known);
  const Car& car = c->known.car();
  const RideState* state = nullptr;
  if (!typed.empty() && typed != "as_measured") {
    state = car.state(typed);
    if (!state) {
      status = misused(fmt::format("--state: '{}' is not in {}", typed, file));
      return {};
    }
  }
  auto stands = ride(car, state);
  if (!stands.value) {
    complain(file, {{0, stands.why}});
    status = no_answer;
    return {};
  }
  c->stands = std::move(*stands.value);
  const ProgressLine progress;
  c->correction =
      correct(c->stands, c->known.adjusted.spread, c->known.wishes, progress.teller("both axles"));
  return c;
}

ProgressLine::ProgressLine()
    : shows_(isatty(STDERR_FILENO) != 0), began_(std::chrono::steady_clock::now()) {}
ProgressLine::~ProgressLine() {
  if (printed_) std::cerr << "\r\033[K";
}

Progress ProgressLine::teller(std::string what) const {
  if (!shows_) return {};
  return [this, what = std::move(what)](double done) {
    using namespace std::chrono_literals;
    if (std::chrono::steady_clock::now() - began_ < 1s) return;
    printed_ = true;
    std::cerr << fmt::format("\r{}: {:.0f} % of the combinations tried", what, 100.0 * done)
              << std::flush;
  };
}

}  // namespace trammel
