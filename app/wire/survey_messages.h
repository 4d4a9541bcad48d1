// The survey's cards and gauge runs: what the page asks about them, and what comes back.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "wire/page_values.h"

namespace trammel::wire {

// The round of the survey: its cards in order.
struct CardListed {
  std::string number, what;
  int taken = 0;         // readings it holds
  bool doubted = false;  // one of them looks misread
};
struct StationListed {
  std::string name, intro, caution;
  std::vector<CardListed> cards;
};
struct RunListed {
  std::string name, axle, side;
  int rows = 0;
  bool with_parts = false;  // taken with parts fitted
};
// What an axle's readings answer so far, and what to take next.
struct KnownSoFar {
  std::string axle, sentence, next;
  std::string card;   // that takes it; empty: none of its own
  std::string gauge;  // a gauge run of that side is what brings most; else empty
};
struct JointListed {
  std::string path, words;
};
struct MisreadShown {
  std::string words;
  std::string card;  // that reads it again; empty: none of the round
};
struct RoundShown {
  std::string why;  // why there is no round; empty where there is
  std::vector<StationListed> stations;
  std::vector<RunListed> runs;
  std::vector<std::string> corners;  // that a gauge can be put to: "front left"
  std::vector<JointListed> joints;   // for a reading that the round does not ask for
  std::vector<KnownSoFar> known;     // by axle
  std::vector<MisreadShown> misread;
};

// A card as it fills the screen.
struct FieldShown {
  std::string key, label;
  std::string quantity;  // length or angle
  bool needed = true;
};
struct TakenShown {
  std::string name, shown;
  std::string doubt;  // why it looks misread; empty where it does not
  bool set_aside = false;
  bool removable = true;  // it has a name of its own in the file
};
struct CardShown {
  std::string why;  // there is no such card
  std::string number, station, caution, what, how, care;
  Drawing drawing;
  std::vector<FieldShown> fields;
  std::string sigma;  // usual ±, in words
  std::vector<TakenShown> taken;
};
// A text after what was typed; `faults` where it could not be taken, `asks` where it surprises and
// has to be entered once more.
struct CardEntered {
  std::string text;
  std::vector<FaultSeen> faults;
  std::vector<std::string> asks;
};
struct GaugeShown {
  std::string why;
  std::string name;      // of the run; empty: none begun
  std::string fitted;    // what is in while it is run, in words; empty: the car as it sits
  std::string sentence;  // what it says so far
  std::string care;
  std::string caution;  // where the work can hurt
  std::string next_mm;  // travel of the next row as it would be typed; empty: done
  bool third_dial = false;
  std::vector<std::vector<std::string>> rows;  // travel, front, rear, low
  std::optional<DrawnPlot> curve;
};

// Sheets to write on at the car, to be printed.
struct BlankShown {
  std::string why;
  std::vector<PageSection> sections;
};

// ---------------------------------------------------------------------------- what can be asked

// The survey's round. `known`: with what each axle answers so far, which takes a moment.
struct ShowRound {
  std::string text;
  bool inch = false;
  bool known = false;
  using Reply = RoundShown;
};
// A card by its number; or, with the number empty, a `reading` between two joints.
struct ShowCard {
  std::string text;
  bool inch = false;
  std::string number, reading, from, to;
  using Reply = CardShown;
};
struct EnterCard {
  std::string text;
  bool inch = false;
  std::string number, reading, from, to;
  std::vector<std::string> values;
  std::string sigma;
  bool sure = false;  // it has been asked about
  using Reply = CardEntered;
};
struct SetAside {
  std::string text, name;
  bool aside = true;
  using Reply = Changed;
};
// A gauge run by its name, or the last of a corner: of the car as it sits, or of those with parts
// fitted. `sets`: as of Look; a new run with parts is with the set that is to be fitted.
struct ShowGauge {
  std::string text;
  bool inch = false;
  std::string name, corner;
  bool with_parts = false;
  std::vector<AxleSet> sets;
  bool fresh = false;  // one that begins now, whatever has been run before
  using Reply = GaugeShown;
};
struct EnterGauge {
  std::string text;
  std::string name;  // empty: a new run
  std::string corner, base, drop;
  std::string travel, front, rear, low;
  bool with_parts = false;    // as of ShowGauge
  std::vector<AxleSet> sets;  // as of ShowGauge
  using Reply = Changed;
};

struct ShowBlank {
  std::string text;
  bool inch = false;
  using Reply = BlankShown;
};

}  // namespace trammel::wire
