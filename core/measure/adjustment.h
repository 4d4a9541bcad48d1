// One adjustment of every reading: where the joints are, how sure that is, and which readings
// disagree.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/answer.h"
#include "car/spread.h"
#include "file/survey.h"
#include "measure/questions.h"

namespace trammel {

// A slip of the hand that would explain a misread value.
struct Slip {
  std::string what;
  double value = 0.0;  // what the reading would be without it, mm or rad
};

struct ReadingResult {
  std::string name, where;
  ReadingKind kind = ReadingKind::height;
  int line = 0;
  double value = 0.0, sigma = 0.0;  // as read; mm or rad
  // By the adjustment: what the joints say less what was read, the same against its own
  // uncertainty (Baarda's w), and the share of an error that would show. A reading that is left out
  // is judged by what the others say.
  double residual = 0.0, normalised = 0.0, redundancy = 0.0;
  double disagrees = 0.0;  // read less what all other readings say
  bool suspect = false;    // disagrees more than chance explains
  bool left_out = false;   // the sums go without it, until it is read again
  bool set_aside = false;  // the file says not to use it
  bool unchecked = false;  // redundancy below 0.1: nothing would show a slip
  std::optional<Slip> slip;
};

// Readings of which one or another is misread and nothing says which. They stay in the sums with a
// ± as large as what they disagree by.
struct SuspectGroup {
  std::vector<std::size_t> readings;  // indexes of ReadingResult
  std::string decides;                // the reading that would tell them apart
};

struct GaugeResult {
  std::string name;
  AxleName axle = AxleName::front;
  Side side = Side::left;
  int rows = 0;
  double largest_normalised = 0.0;
  std::vector<std::string> suspect_rows;  // left out of the sums, in words
  // Toe read going up less toe read going down, and its uncertainty; none: the run goes one way.
  std::optional<double> hysteresis_rad, hysteresis_sigma_rad;
  bool set_aside = false;
  bool left_out = false;      // the whole run contradicts the rest
  bool with_parts = false;    // taken with parts fitted: the step prove judges it
  bool signs_turned = false;  // it would agree with its signs turned round, or the dials exchanged
};

// Sides that are less alike than the tie between them allows.
struct SideMismatch {
  std::string what;
  double by_mm = 0.0, normalised = 0.0;
};

// Where and how the survey was taken, as far as the file leaves it uncertain: the baseline, the
// centreline, the rack, how the floor rises.
struct Circumstance {
  std::string what;
  Measure measure = Measure::length;
  double value = 0.0, sigma = 0.0;            // as the readings have it
  double file_value = 0.0, file_sigma = 0.0;  // as the file has it
};

struct PointResult {
  std::string name;              // "front.left.arm.lower.upright"
  Vec3<double> at_mm, sigma_mm;  // sigma zero: nothing is said of it, taken as exact
};

// Every joint of the car, left and right, with what its spread leaves uncertain.
std::vector<PointResult> points_of(const Car& car, const Spread& spread);

// Below it honest readings hardly fit so badly.
inline constexpr double fits_chance = 0.01;

struct Adjusted {
  Car car;                // with the joints where the readings put them
  Spread spread;          // what is left uncertain
  std::size_t taken = 0;  // readings and gauge rows in the sums
  double chi_square = 0.0;
  int degrees_of_freedom = 0;
  double chance = 1.0;  // that honest readings fit no better than these
  bool fits() const { return chance >= fits_chance; }
  std::vector<ReadingResult> readings;
  std::vector<SuspectGroup> groups;
  std::vector<GaugeResult> gauges;
  std::vector<SideMismatch> sides;
  std::vector<PointResult> points;
  std::vector<std::string> free;           // motions that nothing holds, in words
  std::vector<std::string> only_by_prior;  // joints that only the file's own ± holds
  std::vector<std::string> as_given;       // joints without reading or ±: taken as exact
  std::vector<Circumstance> circumstances;
  std::vector<Question> asked;  // looks like a slip that the sums alone do not see
  std::vector<std::string> remarks;
  // Something that disagrees, or is asked about, stands against trusting the joints.
  bool doubtful() const {
    bool any = !fits() || !groups.empty() || !sides.empty() || !asked.empty();
    for (const auto& g : gauges) any = any || g.left_out;
    return any;
  }
  std::size_t suspects() const {
    std::size_t n = 0;
    for (const auto& r : readings) n += r.suspect ? 1 : 0;
    return n;
  }
};

// A car without readings keeps its joints, and its spread is what the file states. No answer where
// the sums do not settle, or the joints as written have no position at a travel that was read.
Answer<Adjusted> adjust(const Car& car, const Survey& survey);

}  // namespace trammel
