// Every run with parts fitted against what was predicted of it, in the order of the file, and the
// car made sharper by those that hold.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "measure/adjustment.h"
#include "prove/causes.h"
#include "prove/curve_shape.h"

namespace trammel {

enum class Verdict {
  passed,      // the run holds, and toe stays within what is wanted
  not_yet,     // the run holds, and toe does not, or not surely enough
  not_judged,  // nothing can be predicted of the run
  wrong,       // the run does not hold, or something is loose
};

std::string_view word(Verdict verdict);  // "not yet"

// A passed run's toe change stays within what is wanted with this chance at least.
inline constexpr double sure_enough = 0.9;
// Between going up and coming down: more, and three times its uncertainty, is play (common
// practice: good joints and a good rack leave less).
inline constexpr double loose_rad = 0.05 * degree_rad;

// Toe or camber against its value at ride height, with one standard uncertainty.
struct AngleAt {
  double travel_mm = 0.0, rad = 0.0, sigma_rad = 0.0;
};
struct RunRow {
  double travel_mm = 0.0;
  double read_rad = 0.0;       // from ride height: the dials' zeros and up against down taken out
  double predicted_rad = 0.0;  // from ride height
  double sigma_rad = 0.0;      // of the difference
  double off_sigmas = 0.0;     // read less predicted, in that
};

// The roll centre's height at ride height by the wheel that was run.
struct RollCentreKnown {
  double predicted_mm = 0.0, predicted_sigma_mm = 0.0;
  std::optional<double> mm, sigma_mm;  // with the run taken in; none where it does not hold
};

// Toe over the wanted window by the model sharpened by this run, the parts as they turned out.
struct WindowKnown {
  std::vector<AngleAt> curve;
  double change_max_rad = 0.0;           // largest |toe(travel) - toe(0)|
  double low_rad = 0.0, high_rad = 0.0;  // of that: nine chances in ten lie between
  double chance = 0.0;                   // that it is within what is wanted
  double wanted_rad = 0.0;
  bool wanted_is_usual = false;
  double slope = 0.0, slope_sigma = 0.0;  // at ride height, rad per mm
};

struct RunProof {
  std::string name;
  AxleName axle = AxleName::front;
  Side side = Side::left;
  int line = 0;
  std::vector<Chosen> with;
  std::optional<NoRun> why;  // it cannot be judged; all below is empty then
  std::vector<RunRow> rows;
  std::vector<AngleAt> predicted;  // at the travels of the run
  // The same of camber, by a low dial; empty without one.
  std::vector<RunRow> camber_rows;
  std::vector<AngleAt> camber_predicted;
  std::optional<RollCentreKnown> roll_centre;  // where the dials show more than toe
  RunTest test;                                // of everything that the dials show
  std::optional<RunTest> toe_test;             // of toe alone, where they show more
  bool holds() const { return test.chance >= false_alarm; }
  // The run does not hold, and toe is not what says so.
  bool but_toe_holds() const { return !holds() && toe_test && toe_test->chance >= false_alarm; }
  std::optional<UpDown> play;
  bool loose = false;
  bool covers = true;       // the run goes over the travel that is wanted, to a step of it
  bool only_dials = false;  // the file states nothing as uncertain
  Causes causes;            // where it does not hold
  CurveFit shape;
  std::optional<WindowKnown> window;  // where it holds
  Verdict verdict = Verdict::wrong;
};

struct RunsJudged {
  std::vector<RunProof> runs;
  Adjusted adjusted;  // the surveyed car, sharpened by the runs that hold
};

// `surveyed`: the car as adjusted without these runs. Each run is judged against what the survey
// and the runs before it that held have left; a run that does not hold is left out and said among
// the remarks. Runs that are set aside are passed over.
RunsJudged judge_runs(Adjusted surveyed, const Survey& survey, const Wishes& wishes);

// How a run on an axle with `chosen` fitted is put up; `ride` is the car as measured.
RunSetUp run_set_up(const Ride& ride, const Wishes& wishes, const Survey& survey,
                    const GaugeRun& run, const std::vector<Chosen>& chosen);

// What a run is expected to read, before it is taken.
struct ExpectedRun {
  AxleName axle = AxleName::front;
  Side side = Side::left;
  std::optional<NoRun> why;        // none can be predicted
  std::vector<AngleAt> predicted;  // with what the dials add
  double slope = 0.0;              // predicted at ride height, rad per mm
  double fails_slope = 0.0;        // a run whose slope is off by more fails, rad per mm
};
ExpectedRun expected_run(const Ride& ride, const Spread& spread, const Survey& survey,
                         const RunSetUp& as);

}  // namespace trammel
