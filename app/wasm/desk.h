// Answers the page's requests: from a car file's text to what the page shows.
#pragma once

#include <memory>
#include <string>

#include "correct/rank.h"
#include "wire/page_messages.h"

namespace trammel {

struct Known;
struct SurveyedText;

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
  std::unique_ptr<Known> known_;
  std::unique_ptr<SurveyedText> surveyed_;
};

// The contract in the page's language: app/page/src/model/contract.ts.
std::string contract_typescript();

}  // namespace trammel
