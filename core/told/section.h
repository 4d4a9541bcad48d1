// What a step says, told once: for the terminal, the printed sheet and the page.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace trammel {

struct Paragraph {
  std::string text;
};

// Where work can hurt someone.
struct Caution {
  std::string text;
};

// The first column names the row; the others are figures.
struct Grid {
  std::string title;
  std::vector<std::string> heads;
  std::vector<std::string> units;  // as many as heads
  std::vector<std::vector<std::string>> rows;
  bool to_fill = false;   // empty cells are written into by hand
  bool in_words = false;  // the cells are words, the last one as long as it has to be
};

// Lines tell states of the car apart; colour never does.
enum class Stroke { thin_dashed, plain, heavy };
struct Series {
  std::string name;
  Stroke stroke = Stroke::plain;
  std::vector<std::array<double, 2>> points;  // in the units of the plot
  std::vector<std::array<double, 3>> band;    // x, low, high: nine chances in ten lie between
};
// What is wanted, as a box in the plot: y from `low` to `high` wherever x is between its limits.
struct WantedBox {
  std::array<double, 2> x{}, y{};
};
struct Plot {
  std::string title;
  std::string x_head, x_unit, y_head, y_unit;
  std::vector<Series> series;
  std::optional<std::array<double, 2>> window;  // of x, that matters
  std::optional<WantedBox> wanted{};
  int x_decimals = 1, y_decimals = 2;  // that mean something
};

// A picture to scale; its text says the same in words for those who cannot see it.
struct Drawing {
  std::string title, text;
  std::string svg;
  // A whole sheet of paper: printed as large as it says, on a page of its own.
  bool own_page = false;
  bool letter = false;  // of the inches' format, not A4
};

// A step of the order of work; empty where nothing is written yet.
struct Step {
  std::string id;       // what a [[job]] row is about, whatever the words, sizes and units
  std::string of_both;  // the id that both sides share as long as they are alike; or empty
  std::string what, mark, torque, done_by, checked_by;
  bool done = false;
  bool second_person = false;  // wants a second pair of eyes
};
struct Checklist {
  std::string title;
  std::string gate;  // what must be true before the next part of the work begins
  std::vector<Step> steps;
};

// A part to get or make.
struct Part {
  std::string what, made_of, state;  // state: needed, ordered, here, fitted
  std::string key;                   // by which a [[job]] row is about it
};
struct PartsList {
  std::string title;
  std::vector<Part> parts;
};

using Block = std::variant<Paragraph, Caution, Grid, Plot, Drawing, Checklist, PartsList>;

enum class SectionId {
  front,
  car,
  measure,
  measure_next,
  travel,
  correct,
  make,
  settle,
  rods,
  parts,
  align,
  prove,
  work,
  record,
};

struct Section {
  std::string question;
  std::string answer;
  std::vector<Block> blocks;
  std::optional<SectionId> id{};  // none: it stands alone
  // What the answer rests on: not needed to decide, so it stands one step behind.
  std::vector<Block> working{};
  std::string name{};  // one word or two, for a list of contents; empty where it stands alone
};

// What decides first, then what it rests on.
inline std::vector<Block> all_blocks(const Section& section) {
  auto all = section.blocks;
  all.insert(all.end(), section.working.begin(), section.working.end());
  return all;
}

}  // namespace trammel
