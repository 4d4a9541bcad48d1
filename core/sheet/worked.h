// A car worked out from its file, stage by stage: the one chain that every command and the sheet
// ask, so that no two of them put it together differently.
//
//   file -> surveyed -> stands -> corrected -> made, settled, aligned, proved
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

// A car file read whole, once.
struct CarFile {
  Document document;
  Car car;  // as written
  CarTables tables;
};
// Faults of the text, or of the car in it. Those of the tables stand with the tables.
Read<CarFile> read_car_file(std::string text);

// The car with its joints where the readings put them, sharpened by the gauge runs with parts
// fitted; those runs, judged.
struct Surveyed {
  Adjusted adjusted;
  std::vector<RunProof> runs;
};

// What to measure next, front first, on a car that stands in `sits`.
std::vector<Advices> advices_for(const Ride& sits, const Spread& spread, const Wishes& wishes,
                                 const Correction& correction);

class Worked {
 public:
  // `state`: the ride state of the file in which the car stands for what is asked; empty: as
  // measured. `progress`: told how far the search among the combinations is.
  explicit Worked(CarFile file, std::string state = {}, Progress progress = {});
  Worked(const Worked&) = delete;
  Worked& operator=(const Worked&) = delete;

  const CarFile& file() const { return file_; }
  const Wishes& wishes() const { return file_.tables.wishes; }
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
  const Correction& correction();
  const Making& making();
  const Settling& settling();
  const Aligning& aligning(Units units);
  const Proving& proving();
  // What to measure next on each axle, front first.
  const std::vector<Advices>& advices();

 private:
  CarFile file_;
  std::string state_;
  Progress progress_;
  std::optional<Answer<Surveyed>> surveyed_;
  std::optional<Answer<Ride, NotStanding>> stands_;
  std::optional<Answer<Stands, NotStanding>> stances_;
  std::optional<Correction> correction_;
  std::optional<Making> making_;
  std::optional<Settling> settling_;
  std::optional<std::pair<Units, Aligning>> aligning_;
  std::optional<Proving> proving_;
  std::optional<std::vector<Advices>> advices_;
};

}  // namespace trammel
