// What each command does once its words are understood. Each returns the exit status: 0, 1 for a
// question without an answer, 2 for bad input.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "base/quantity.h"

namespace trammel {

struct CommonWords {
  std::string file;
  bool json = false;
  bool working = false;  // and what the answer rests on
  Units units = Units::metric;
};

struct TravelWords {
  CommonWords common;
  std::string axle, side, state, travel, rack, roll;  // as typed; empty where not given
};

struct CorrectWords {
  CommonWords common;
  std::string axle, state;  // as typed; empty where not given
};

struct MeasureWords {
  CommonWords common;
  bool every_reading = false;
  bool blank = false;  // sheets to write on, instead of an answer
  std::string out;     // of them: a file, or - for standard output
  std::string narrow;  // "chance", "bump_steer", "roll_centre"; empty: chance
};

int run_next(const CommonWords& words);
int run_check(const CommonWords& words);
int run_measure(const MeasureWords& words);
int run_travel(const TravelWords& words);
int run_correct(const CorrectWords& words);
struct MakeWords {
  CommonWords common;
  std::string state;  // as typed; empty where not given
  std::string out;    // a folder for drawings, templates and cutting files; empty: none
  bool letter = false;
};
int run_make(const MakeWords& words);
struct SettleWords {
  CommonWords common;
  std::string state;  // as typed; empty where not given
};
int run_settle(const SettleWords& words);
struct AlignWords {
  CommonWords common;
  std::string state;  // as typed; empty where not given
};
int run_align(const AlignWords& words);
int run_prove(const CommonWords& words);
struct SheetWords {
  CommonWords common;
  std::string out;  // a file, or - for standard output; empty: beside the working folder
};
int run_sheet(const SheetWords& words);
struct PageWords {
  std::string file;  // empty where not given
  int port = 0;      // 0: any free one
  bool phone = false;
  std::string address;  // as typed; empty where not given
};
int run_page(const PageWords& words);
struct StartWords {
  std::vector<std::pair<std::string, std::string>> answers;  // by the questions' ids
  std::string file;                                          // empty: to standard output
};
// A question as an option: what it asks, and what may be said.
struct StartOption {
  std::string id, question, answers;
};
std::vector<StartOption> start_options();
int run_start(const StartWords& words);
int run_set(const std::string& file, const std::string& path, const std::string& value);

}  // namespace trammel
