// The order of work as far as it is written down: the [[job]] rows of a car file.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "file/document.h"

namespace trammel {

// A row is about a step of the work or about a part.
struct Job {
  std::string step, part;
  std::string state;                 // of a part: needed, ordered, here or fitted
  std::optional<double> torque_nmm;  // from the owner's manual
  std::string torque;                // as the owner wrote it down
  std::string mark, note, done_by, checked_by;
  bool done = false;
  int line = 0;
};

struct Jobs {
  std::vector<Job> rows;
  std::vector<Fault> faults;
};

Jobs read_jobs(const Document& document);

}  // namespace trammel
