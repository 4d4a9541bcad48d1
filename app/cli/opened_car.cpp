#include "cli/opened_car.h"

#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <iostream>

#include "base/plain_text.h"
#include "base/words.h"
#include "cli/files.h"
#include "measure/tell.h"
#include "told/text.h"
#include "travel/reasons.h"

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

std::optional<CarFile> load(const std::string& file) {
  auto text = read_file(file);
  if (!text.text) {
    complain(file, {{0, text.why}});
    return {};
  }
  auto read = read_car_file(std::move(*text.text));
  if (!read.value) {
    complain(file, read.faults);
    return {};
  }
  return std::move(*read.value);
}

namespace {

std::unique_ptr<Opened> opened(const std::string& file, const std::string& state,
                               const std::string& searched, int& status) {
  status = bad_input;
  auto loaded = load(file);
  if (!loaded) return {};
  auto o = std::make_unique<Opened>();
  o->worked = std::make_unique<Worked>(std::move(*loaded), state, o->progress.teller(searched));
  if (o->worked->surveyed().value) return o;
  complain(file, {{0, o->worked->surveyed().why}});
  status = no_answer;
  return {};
}

}  // namespace

std::unique_ptr<Opened> surveyed_car(const std::string& file, int& status) {
  return opened(file, "", "", status);
}

std::unique_ptr<Opened> standing_car(const CommonWords& words, const std::string& typed,
                                     const std::string& searched, int& status) {
  const auto& file = words.file;
  const std::string state = typed == "as_measured" ? "" : typed;
  auto o = opened(file, state, searched, status);
  if (!o) return {};
  const Car& car = o->worked->car();
  if (!state.empty() && !car.state(state)) {
    std::vector<std::string> names{"as_measured"};
    for (const auto& s : car.states) names.push_back(s.name);
    status = misused(
        fmt::format("--state: '{}' is not in {}, expected {}", typed, file, listed(names, "or")));
    return {};
  }
  if (!o->worked->stands().value) {
    complain(file, {{0, trammel::words(o->worked->stands().why, words.units)}});
    status = no_answer;
    return {};
  }
  return o;
}

std::string told(const Section& section, const CommonWords& words) {
  if (words.working || section.working.empty()) return as_text(section);
  return brief_text(section) + "\nMore: --working shows what this rests on.\n";
}

std::string told(Section section, Worked& worked, const CommonWords& words) {
  const auto& adjusted = worked.adjusted();
  return told(guess_first(doubt_first(std::move(section), adjusted), adjusted, words.units), words);
}

std::string name_line(const Car& car) { return car.name.empty() ? "" : car.name + "\n\n"; }

ProgressLine::ProgressLine()
    : shows_(isatty(STDERR_FILENO) != 0), began_(std::chrono::steady_clock::now()) {}
ProgressLine::~ProgressLine() { clear(); }

void ProgressLine::clear() const {
  if (printed_) std::cerr << "\r\033[K" << std::flush;
  printed_ = false;
}

Progress ProgressLine::teller(std::string what) const {
  if (!shows_) return {};
  return [this, what = std::move(what)](double done) {
    using namespace std::chrono_literals;
    if (done >= 1.0) return clear();
    if (std::chrono::steady_clock::now() - began_ < 1s) return;
    printed_ = true;
    std::cerr << fmt::format("\r{}: {:.0f} % of the combinations tried", what, 100.0 * done)
              << std::flush;
  };
}

}  // namespace trammel
