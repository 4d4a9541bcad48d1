// From a document to a car, with every fault of its contents.
#pragma once

#include "car/car.h"
#include "file/document.h"
#include "file/tables.h"

namespace trammel {

// What the paper says. An axle is there when all its numbers could be read, even if other parts of
// the file are at fault: so that one look reports everything. Whether its members leave the wheel
// exactly its travel is not judged here (see travel/freedom.h).
struct CarOnPaper {
  Car car;
  CarTables tables;
  std::vector<Fault> faults;  // those of the tables with them
};

CarOnPaper car_on_paper(const Document& document);

// The number of the format this program reads: `trammel = 1`.
inline constexpr int car_file_format = 1;

}  // namespace trammel
