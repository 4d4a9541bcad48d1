// Whether an axle's members leave its wheel exactly its travel, in words when they do not.
#pragma once

#include "car/car.h"
#include "file/document.h"
#include "file/tables.h"

namespace trammel {

// Empty where five equations hold each upright and what they leave free raises the wheel. Otherwise
// says how many equations stand, which motion is left free or held twice, and what is probably
// missing or too much.
std::vector<Fault> freedom_faults(const Axle& axle);

// A car file as text, read, with every fault of it: syntax alone, or all others together, in the
// order of the file.
Read<CarFile> read_car_file(std::string text);
// The car alone.
Read<Car> read_car(const Document& document);

// What is at fault in `after` and was not in `before`: what an edit brought about.
std::vector<Fault> new_faults(const Document& before, const Document& after);

}  // namespace trammel
