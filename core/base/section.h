// What a step says, told once: for the terminal, the printed sheet and the page.
#pragma once

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
};

using Block = std::variant<Paragraph, Caution, Grid>;

struct Section {
  std::string question;
  std::string answer;
  std::vector<Block> blocks;
};

}  // namespace trammel
