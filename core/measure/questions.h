// Slips that the sums do not see, since every reading agrees with the others: a car surveyed
// hanging, a rack off its centre, camber in millimetres, dials in thousandths of an inch. They are
// asked about before anything is concluded, and never changed.
#pragma once

#include <string>
#include <vector>

#include "base/quantity.h"
#include "file/survey.h"

namespace trammel {

// A question with its figures left open ("{}"), so that they are said in the units asked for.
struct Question {
  struct Amount {
    double value = 0.0;  // mm or rad
    Measure measure = Measure::length;
  };
  std::string text;
  std::vector<Amount> amounts;
};
std::string words(const Question& question, Units units);
// All of them, each for itself.
std::vector<std::string> words(const std::vector<Question>& questions, Units units);

// What the readings themselves give rise to, held against the file and against each other: camber
// and toe that no road car has, or that contradict the file by ten of their ±; hub to arch that
// does; toes of a steered axle that are opposite; dials in thou or in inches; a gauge run that
// stands in the file twice.
std::vector<Question> questions_of_readings(const Car& car, const Survey& survey);

struct Adjusted;
// What comes out of the sums: a hub that is higher than its tyre, a damper near its open length,
// joints far from where the file began or the body far from it against the wheels, a circumstance
// that the readings contradict. `car`: as the file has it.
std::vector<Question> questions_of_sums(const Car& car, const Adjusted& adjusted);

}  // namespace trammel
