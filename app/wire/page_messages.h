// What the page asks of the core, and what comes back. Every message carries the car file's text:
// the text is the state, and nothing has to be kept in step.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "told/section.h"
#include "wire/align_messages.h"
#include "wire/make_messages.h"
#include "wire/page_values.h"
#include "wire/scene_messages.h"
#include "wire/start_messages.h"
#include "wire/survey_messages.h"

namespace trammel::wire {

// ------------------------------------------------------------------------------- what comes back

// What stands in the file, value by value.
struct ValueCell {
  std::string path;
  std::string shown;  // as it would be typed: a text without its quotes
};
struct ValueRow {
  std::string label;
  int line = 0;
  std::vector<ValueCell> cells;  // one, or those of a list
};
struct ValueGroup {
  std::string title;
  std::string list;  // of a row of a list: the list's name
  std::vector<ValueRow> rows;
};

// A set judged.
struct Tried {
  std::string axle;
  std::string sentence;
  std::string stop;  // the stop sign; empty where none belongs
  bool good = false;
  Grid figures;
  std::vector<DrawnPlot> plots;             // of each wheel's toe; none: the set is not possible
  std::vector<Pick> picks;                  // as they were taken: within their ranges
  std::vector<std::array<double, 2>> hole;  // where the hole is drawn on its map: none or one
};

// An option on the bench, as it can be picked from.
struct BenchSize {
  double size_mm = 0.0;
  std::string shown;
};
struct BenchRange {
  std::string axis;  // x, y or z
  std::string way;   // which way is positive, in words
  double low_mm = 0.0, high_mm = 0.0;
  std::string low, high;  // with units
};
struct BenchChoice {
  std::string option;
  std::vector<BenchSize> sizes;    // empty where made to measure
  std::vector<BenchRange> ranges;  // empty where it is a size
};
struct BenchAxle {
  std::string axle;
  bool chosen = false;  // the file settles on a set
  std::string why;      // why there is nothing to pick; empty where there is
  std::vector<BenchChoice> choices;
  std::optional<Tried> tried;  // the set that the file settles on, else the one asked with
};

struct Looked {
  std::vector<FaultSeen> faults;  // then nothing else is there
  std::string why;                // why there is no answer; the values stand all the same
  std::string name;
  bool demo = false;
  std::vector<ValueGroup> values;
  std::vector<PageSection> sections;
  std::vector<BenchAxle> bench;
};

struct RankedSet {
  std::string words;    // what it fits
  std::string verdict;  // meets, misses or STOP
  std::string chance;   // in 100, "= " before it where it cannot be told from the best's; or empty
  std::vector<Pick> picks;
};
struct BenchMap {
  std::string axle, option;
  std::string side;  // left or right where each has a hole of its own; empty: the same on both
  std::string title, text;
  std::string caution;  // where the hole must not be
  std::string svg;
  double wide_mm = 0.0, high_mm = 0.0;
  std::array<double, 4> room{};  // of the range in the drawing: left, top, width, height
};
struct RankedAxle {
  std::string axle;
  AxleSet set;  // to fit
  std::vector<RankedSet> best;
  std::vector<BenchMap> maps;
  std::string rule;  // what the rule of thumb would give, and why; empty where none applies
  std::string next;  // the reading that would help most; empty where nothing is uncertain
};
struct Ranked {
  std::string why;
  std::vector<PageSection> sections;
  std::vector<RankedAxle> axles;
};

// ---------------------------------------------------------------------------- what can be asked

// What the file says, the joints, the curves. `sets`: what to draw as corrected where the file
// settles on nothing (the best of an earlier ranking).
struct Look {
  std::string text;
  bool inch = false;
  std::vector<AxleSet> sets;
  bool hurry = false;  // fewer drawn cars, so that an edit shows at once
  using Reply = Looked;
};
// The ranking and everything that follows from it. Takes a while.
struct Rank {
  std::string text;
  bool inch = false;
  using Reply = Ranked;
};
// One set, judged. `hole`: none or one place on the drawing of the map, for the option `moved`.
struct Try {
  std::string text;
  bool inch = false;
  AxleSet set;
  std::string moved;
  std::string side;  // of the hole: left or right, empty for both
  std::vector<std::array<double, 2>> hole;
  bool hurry = false;  // fewer drawn cars, while a hand drags
  using Reply = Tried;
};
// One value as somebody typed it.
struct Change {
  std::string text, path, typed;
  using Reply = Changed;
};
// Settle on a set, or on none: then the best is taken again.
struct Choose {
  std::string text;
  AxleSet set;
  bool none = false;
  using Reply = Changed;
};
// A key of the [[job]] row about a step or a part; the row is written where it does not stand yet.
struct Note {
  std::string text;
  std::string step, part;  // a step's id, or a part's key
  std::string words;       // of the step: a row by hand is about the step whose words it begins
  std::string key, typed;
  using Reply = Changed;
};

// The car drawn where it is driven to. `sets`: what it has fitted as corrected; without one of an
// axle, what the file settles on. Asked for at every frame, so its answer is quick.
struct Draw {
  std::string text;
  bool inch = false;
  std::vector<AxleSet> sets;
  double travel_mm = 0.0, rack_mm = 0.0, roll_deg = 0.0;
  bool built = false, corrected = false;  // those states as well
  bool axes = false, doubts = false;
  using Reply = DrawnScene;
};
// Every joint with its coordinates.
struct Joints {
  std::string text;
  bool inch = false;
  using Reply = JointTable;
};
// A length of the file moved by so much; its unit and its ± stay as they are written.
struct Nudge {
  std::string text, path;
  double by_mm = 0.0;
  using Reply = Changed;
};

using Request =
    std::variant<Look, Rank, Try, Change, Choose, Note, ShowRound, ShowCard, EnterCard, SetAside,
                 ShowGauge, EnterGauge, ShowBlank, Start, Draw, Joints, Nudge, DrawPart,
                 ShowFloorRound, ShowFloorCard, EnterFloorCard, TurnAsPlanned>;

}  // namespace trammel::wire
