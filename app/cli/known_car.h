// A car file read, checked and adjusted, as every command begins.
#pragma once

#include <chrono>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "base/section.h"
#include "correct/correct.h"
#include "measure/adjustment.h"
#include "prove/judge.h"

namespace trammel {

// Exit statuses beside 0: a question without an answer, and bad input.
inline constexpr int no_answer = 1, bad_input = 2;

// Faults to standard error, as file:line: what.
void complain(const std::string& file, const std::vector<Fault>& faults);
// The words of the command itself; returns bad_input.
int misused(const std::string& what);

struct Loaded {
  Document document;
  Car car;
};
// Reads and checks a car file; complains and gives nothing where it is at fault.
std::optional<Loaded> load(const std::string& file);

// The car with its joints where the readings of its file put them, sharpened by the gauge runs with
// parts fitted.
struct Known {
  Document document;
  Survey survey;
  Wishes wishes;
  Adjusted adjusted;
  std::vector<RunProof> runs;  // those with parts fitted, judged
  const Car& car() const { return adjusted.car; }
};
// As load; `status` says how to end where nothing comes back.
std::optional<Known> load_and_adjust(const std::string& file, int& status);

// A section with what stands against the survey said before everything else.
std::string told(Section section, const Known& known, Units units);

// The car standing in a ride state with what `correct` finds for it. What is in it points into
// itself: it stays where it is made.
struct CorrectedCar {
  Known known;
  Ride stands;
  Correction correction;
};
// As load_and_adjust; `state` as typed, empty for the car as measured.
std::unique_ptr<CorrectedCar> corrected_car(const std::string& file, const std::string& state,
                                            int& status);

// How far a long search is, on a terminal only: one line that goes away.
class ProgressLine {
 public:
  ProgressLine();
  ~ProgressLine();
  ProgressLine(const ProgressLine&) = delete;
  ProgressLine& operator=(const ProgressLine&) = delete;

  Progress teller(std::string what) const;

 private:
  bool shows_;
  std::chrono::steady_clock::time_point began_;
  mutable bool printed_ = false;
};

}  // namespace trammel
