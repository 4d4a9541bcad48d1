// What a car file says, told back: so that a reader sees what was understood.
#pragma once

#include "base/quantity.h"
#include "car/car.h"
#include "file/survey.h"
#include "file/wishes.h"
#include "told/section.h"

namespace trammel {

Section tell(const Car& car, const Wishes& wishes, const Survey& survey, Units units);

}  // namespace trammel
