// A survey while it is being taken: what its cards need of a car, without curves and bands.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "car/survey.h"
#include "car/wishes.h"
#include "measure/adjustment.h"
#include "measure/round.h"
#include "wire/page_messages.h"

namespace trammel {

struct Surveyed {
  std::string text;
  Document document;
  Car car;
  Survey survey;
  std::vector<Station> round;
  std::optional<Adjusted> adjusted;
  std::string why;  // why the joints could not be adjusted
};

// Brings `surveyed` to be about `text`. Null where the text is at fault, which `faults` then says.
Surveyed* survey_of(std::unique_ptr<Surveyed>& surveyed, const std::string& text,
                    std::vector<wire::FaultSeen>& faults);

}  // namespace trammel
