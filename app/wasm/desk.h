// Answers the page's requests: from a car file's text to what the page shows.
#pragma once

#include <memory>
#include <string>

#include "sheet/worked.h"
#include "travel/scene.h"
#include "wire/page_messages.h"

namespace trammel {

class Desk {
 public:
  Desk();
  ~Desk();
  Desk(const Desk&) = delete;
  Desk& operator=(const Desk&) = delete;

  // One request as JSON (a kind and its fields, see page_messages.h). What comes back is
  // {"reply": …}, or {"failed": "why"} for a request that is none and for a fault of our own.
  // Never throws.
  std::string answer(const std::string& request, const Progress& progress = {});

  wire::Looked reply(const wire::Look& ask);
  wire::Ranked reply(const wire::Rank& ask, const Progress& progress = {});
  wire::Tried reply(const wire::Try& ask);
  wire::Changed reply(const wire::Change& ask);
  wire::Changed reply(const wire::Choose& ask);
  wire::Changed reply(const wire::Note& ask);
  wire::RoundShown reply(const wire::ShowRound& ask);
  wire::CardShown reply(const wire::ShowCard& ask);
  wire::CardEntered reply(const wire::EnterCard& ask);
  wire::Changed reply(const wire::SetAside& ask);
  wire::GaugeShown reply(const wire::ShowGauge& ask);
  wire::Changed reply(const wire::EnterGauge& ask);
  wire::BlankShown reply(const wire::ShowBlank& ask);
  Started reply(const wire::Start& ask);
  wire::DrawnScene reply(const wire::Draw& ask);
  wire::JointTable reply(const wire::Joints& ask);
  wire::Changed reply(const wire::Nudge& ask);
  wire::PartDrawn reply(const wire::DrawPart& ask);
  wire::FloorRoundShown reply(const wire::ShowFloorRound& ask);
  wire::CardShown reply(const wire::ShowFloorCard& ask);
  wire::CardEntered reply(const wire::EnterFloorCard& ask);
  wire::Changed reply(const wire::TurnAsPlanned& ask);

 private:
  // What every drawing of the car needs; filled by the first one that does.
  struct DrawnWith {
    int geometry = -1;  // of the car that it is about
    std::optional<SceneDoubts> doubts;
    ByAxle<std::optional<Fit>> fits;  // that `corrected` has
    std::optional<Ride> corrected;
  };

  // The car of a text; what does not hang on what has changed since the last one is kept. Null
  // where the text is at fault, which `faults` then says; what is known is left as it was.
  Worked* worked(const std::string& text, std::vector<wire::FaultSeen>& faults);
  // Why nothing can be told of a car that stands; empty where it can. `at_fault`: what is said
  // where there is no car.
  static std::string why_nothing_stands(Worked* worked, const char* at_fault, Units units);
  DrawnWith& drawn_with(const Worked& worked);
  // A set on the car as it sits. `states`: gets its curve beside those of today. `toe_alone`: only
  // the plot of toe is wanted of them. In a hurry the chance is counted over fewer cars.
  static wire::Tried tried(Worked& worked, AxleName axle, const Fit& fit, Units units, bool hurry,
                           std::vector<PlottedState>& states, bool toe_alone = false);
  static const Ride* corrected(Worked& worked, DrawnWith& drawn,
                               const std::vector<wire::AxleSet>& sets);

  std::unique_ptr<Worked> worked_;
  DrawnWith drawn_;
};

// The contract in the page's language: app/page/src/model/contract.ts.
std::string contract_typescript();

}  // namespace trammel
