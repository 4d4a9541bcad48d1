// A car's file read and its readings adjusted, without curves and bands: what every answer begins
// with, and all that the survey's cards need.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "file/survey.h"
#include "measure/adjustment.h"
#include "measure/round.h"
#include "prove/judge.h"
#include "wire/page_messages.h"

namespace trammel {

struct SurveyedText {
  std::string text, key;  // key: what the geometry hangs on
  Document document;
  Car car;  // as the file has it
  Survey survey;
  std::vector<Station> round;
  std::optional<Adjusted> adjusted;  // sharpened by the runs with parts fitted
  std::vector<RunProof> runs;        // those, judged
  std::string why;                   // why the joints could not be adjusted
};

// Brings `surveyed` to be about `text`. What was worked out is kept where only what does not touch
// it has changed (jobs, what was chosen, the car's name). Null where the text is at fault, which
// `faults` then says; `surveyed` is left as it was.
SurveyedText* survey_of(std::unique_ptr<SurveyedText>& surveyed, const std::string& text,
                        std::vector<wire::FaultSeen>& faults);

}  // namespace trammel
