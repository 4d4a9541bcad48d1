// A car worked out from its file, stage by stage: the one chain that every command, the sheet and
// the page ask, so that no two of them put it together differently.
//
//   file -> surveyed -> stances -> ranked -> corrected -> made, settled, aligned, proved
//
// A stage is worked out when it is first asked for, and kept. What a stage takes is all that came
// before it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "align/aligning.h"
#include "base/answer.h"
#include "correct/advice.h"
#include "correct/correct.h"
#include "file/tables.h"
#include "make/making.h"
#include "measure/adjustment.h"
#include "prove/proving.h"
#include "settle/settling.h"
#include "sheet/curves.h"

namespace trammel {

// The car with its joints where the readings put them, sharpened by the gauge runs with parts
// fitted; those runs, judged.
struct Surveyed {
  Adjusted adjusted;
  std::vector<RunProof> runs;
};

class Worked {
 public:
  // `state`: the ride state of the file in which the car stands for what is asked; empty: as
  // measured. `progress`: told how far the search among the combinations is.
  explicit Worked(CarFile file, std::string state = {}, Progress progress = {});

  // Takes another text: what does not hang on what has changed is kept.
  void retake(CarFile file);
  void watch(Progress progress) { progress_ = std::move(progress); }

  const CarFile& file() const { return file_; }
  const Wishes& wishes() const { return file_.tables.wishes; }
  // Counts the texts of which the geometry differed: what was drawn of one is not of the next.
  int geometry() const { return geometry_; }
  // No answer where the readings do not settle.
  const Answer<Surveyed>& surveyed();
  // No answer where there is no survey, the file has no such state, or the car does not stand in
  // it.
  const Answer<Ride, NotStanding>& stands();

  // From here on a stage may be asked only where the ones before it have their answer.
  const Adjusted& adjusted();
  const Car& car() { return adjusted().car; }  // with its joints where the readings put them
  // How it stood and how it sits, whatever the state asked for.
  const Answer<Stands, NotStanding>& stances();
  // The curves as it stood and as it sits, their bands of at least so many drawn cars.
  const std::vector<PlottedState>& today(AxleName axle, int samples = plotted_samples);
  // What there is to choose from, and what is wanted, nothing ranked.
  const Answer<Ranking, NothingToRank>& shelf(AxleName axle);
  // Of one axle that the car has, and of all.
  const Answer<AxleCorrection, NothingToRank>& correction(AxleName axle);
  const Correction& correction();
  const Making& making();
  const Settling& settling();
  const Aligning& aligning(Units units);
  const Proving& proving();
  // What to measure next on each axle, front first, for what is to be narrowed most.
  const std::vector<Advices>& advices(NarrowWhat what = NarrowWhat::chance);

 private:
  struct OfAxle {
    std::optional<std::vector<PlottedState>> today;
    int today_samples = 0;
    std::optional<Answer<Ranking, NothingToRank>> shelf;
    std::optional<Answer<AxleCorrection, NothingToRank>> corrected;
    bool chosen_is_old = false;  // the ranking stands, what was chosen from it does not
  };
  void rank_axle(AxleName axle, const Progress& progress);

  CarFile file_;
  std::string state_;
  Progress progress_;
  int geometry_ = 0;
  std::string geometry_of_file_;  // empty: not asked for yet
  std::optional<Answer<Surveyed>> surveyed_;
  std::optional<Answer<Ride, NotStanding>> stands_;
  std::optional<Answer<Stands, NotStanding>> stances_;
  ByAxle<OfAxle> axle_;
  std::optional<Correction> correction_;
  std::optional<Making> making_;
  std::optional<Settling> settling_;
  std::optional<std::pair<Units, Aligning>> aligning_;
  std::optional<Proving> proving_;
  std::optional<std::pair<NarrowWhat, std::vector<Advices>>> advices_;
};

}  // namespace trammel
