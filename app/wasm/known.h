// A car worked out from its file's text, as far as every answer needs it.
#pragma once

#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "align/aligning.h"
#include "file/jobs.h"
#include "file/workshop.h"
#include "sheet/curves.h"
#include "travel/scene.h"
#include "wasm/surveyed.h"
#include "wire/page_messages.h"

namespace trammel {

// What is picked, as the page and the shelf have it. To a fit: made joints are kept within their
// ranges, unknown options passed over.
std::vector<wire::Pick> picks_of(const Shelf& shelf, const Fit& fit);
Fit fit_from(const Shelf& shelf, const std::vector<wire::Pick>& picks);

// Everything a text leads to, axle by axle, worked out once.
struct Known : SurveyedText {
  bool hurried = false;  // its bands come from fewer drawn cars
  Wishes wishes;         // what was chosen is that of the text asked with last
  Jobs jobs;
  Workshop workshop;             // of the text asked with last
  std::optional<Stands> stands;  // none: `why` says why there is nothing below
  struct OfAxle {
    std::optional<NothingToRank> why;  // why there is nothing to fit
    std::vector<PlottedState> today;
    std::optional<Ranking> shelf;  // nothing ranked
    std::optional<Ranking> ranked;
    std::optional<AxleCorrection> completed;
    std::string completed_for;  // the set that it is about
  };
  std::map<AxleName, OfAxle> axle;
  // What every drawing of the car needs; filled by the first one that does.
  struct ForDrawing {
    std::optional<SceneDoubts> doubts;
    std::string sets;  // that `corrected` is about
    std::optional<Ride> corrected;
  };
  ForDrawing drawing;

  // The sets that are to be fitted, as far as they are worked out.
  Correction correction() const;
  // On the car with them.
  Aligning aligning(Units units = Units::metric) const;

  // Draws `today` of an axle, in a hurry from fewer cars.
  void draw_today(AxleName name, bool hurry);
  Wanted wanted(AxleName name) const {
    return wanted_of(wishes.target[static_cast<std::size_t>(name)]);
  }

  // `states`: gets the curve of the set beside those of today. `toe_alone`: only the plot of toe is
  // wanted of them. In a hurry the chance is counted over fewer cars.
  wire::Tried tried(AxleName name, const Fit& fit, Units units, bool hurry,
                    std::vector<PlottedState>& states, bool toe_alone = false) const;
};

// Brings `known` to be about `text`, by way of `surveyed`. What was worked out is kept where only
// what does not touch it has changed. Null where the text is at fault, which `faults` then says;
// `known` is left as it was.
Known* know(std::unique_ptr<Known>& known, std::unique_ptr<SurveyedText>& surveyed,
            const std::string& text, std::vector<wire::FaultSeen>& faults, bool hurry = false);

}  // namespace trammel
