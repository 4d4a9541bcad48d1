// A car file read, checked and surveyed, as every command begins.
#pragma once

#include <chrono>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "cli/commands.h"
#include "sheet/worked.h"
#include "told/section.h"

namespace trammel {

// Exit statuses beside 0: a question without an answer, and bad input.
inline constexpr int no_answer = 1, bad_input = 2;

// Faults to standard error, as file:line: what.
void complain(const std::string& file, const std::vector<Fault>& faults);
// The words of the command itself; returns bad_input.
int misused(const std::string& what);

// Reads and checks a car file; complains and gives nothing where it is at fault.
std::optional<CarFile> load(const std::string& file);

// How far a long search is, on a terminal only: one line that goes away.
class ProgressLine {
 public:
  ProgressLine();
  ~ProgressLine();
  ProgressLine(const ProgressLine&) = delete;
  ProgressLine& operator=(const ProgressLine&) = delete;

  // Gone where everything is done.
  Progress teller(std::string what) const;
  void clear() const;

 private:
  bool shows_;
  std::chrono::steady_clock::time_point began_;
  mutable bool printed_ = false;
};

// A car file on its way through the steps, as every command begins.
struct Opened {
  ProgressLine progress;
  std::unique_ptr<Worked> worked;
};
// The car surveyed; `status` says how to end where nothing comes back.
std::unique_ptr<Opened> surveyed_car(const std::string& file, int& status);
// The car standing in a ride state as typed, empty for the car as measured; what it is searched
// for is told under that name.
std::unique_ptr<Opened> standing_car(const CommonWords& words, const std::string& state,
                                     const std::string& searched, int& status);

// As much of a section as is asked for: without the working, what says how to have it.
std::string told(const Section& section, const CommonWords& words);
// The same with what stands against the survey said before everything else.
std::string told(Section section, Worked& worked, const CommonWords& words);
// The car's name and an empty line, where it has one.
std::string name_line(const Car& car);

}  // namespace trammel
