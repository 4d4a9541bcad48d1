#include "told/text.h"

#include <algorithm>
#include <string_view>

namespace trammel {
namespace {

// Columns a text takes: code points, which is right for the letters and signs used here.
std::size_t columns_of(std::string_view text) {
  return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char c) {
    return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
  }));
}

// Breaks at spaces; a non-breaking space keeps a number with its unit and comes out as a plain one.
std::string wrapped(std::string_view text, std::size_t width, std::string_view indent) {
  std::string out, line(indent);
  bool empty = true;
  while (!text.empty()) {
    const auto stop = std::min(text.find(' '), text.size());
    const auto word = text.substr(0, stop);
    if (!word.empty()) {
      if (!empty && columns_of(line) + 1 + columns_of(word) > width) {
        out += line + "\n";
        line = indent;
        empty = true;
      }
      if (!empty) line += " ";
      line += word;
      empty = false;
    }
    text.remove_prefix(std::min(stop + 1, text.size()));
  }
  out += line + "\n";
  constexpr std::string_view fixed = "\u00a0";
  for (auto at = out.find(fixed); at != std::string::npos; at = out.find(fixed, at))
    out.replace(at, fixed.size(), " ");
  return out;
}

std::string padded(std::string_view text, std::size_t width, bool right) {
  const auto n = columns_of(text);
  const std::string space(width > n ? width - n : 0, ' ');
  return right ? space + std::string(text) : std::string(text) + space;
}

constexpr std::size_t gap = 2;  // between columns

// Words stand to the left; the last column's go on in lines of their own.
std::string words_grid_text(const Grid& grid, std::size_t width) {
  std::string out = grid.title.empty() ? "" : wrapped(grid.title, width, "");
  std::vector<std::size_t> widths(grid.heads.size(), 0);
  for (std::size_t c = 0; c + 1 < widths.size(); ++c)
    for (const auto& row : grid.rows) widths[c] = std::max(widths[c], columns_of(row[c]));
  for (const auto& row : grid.rows) {
    std::string head;
    for (std::size_t c = 0; c + 1 < row.size(); ++c) head += padded(row[c], widths[c] + gap, false);
    const std::string indent(columns_of(head), ' ');
    auto lines = wrapped(row.back(), width, indent);
    out += head + lines.substr(std::min(indent.size(), lines.size()));
  }
  return out;
}

std::string grid_text(const Grid& grid, std::size_t width) {
  if (grid.in_words) return words_grid_text(grid, width);
  std::vector<std::size_t> widths;
  for (std::size_t c = 0; c < grid.heads.size(); ++c) {
    std::size_t w = std::max(columns_of(grid.heads[c]), columns_of(grid.units[c]));
    for (const auto& row : grid.rows) w = std::max(w, columns_of(row[c]));
    widths.push_back(w);
  }
  std::string out = grid.title.empty() ? "" : wrapped(grid.title, width, "");
  std::size_t from = 1;
  do {
    std::size_t to = from, used = widths[0];
    while (to < widths.size() && (to == from || used + gap + widths[to] <= width))
      used += gap + widths[to++];
    const auto line = [&](const std::vector<std::string>& cells) {
      std::string text = padded(cells[0], widths[0], false);
      for (std::size_t c = from; c < to; ++c)
        text += std::string(gap, ' ') + padded(cells[c], widths[c], true);
      text.erase(text.find_last_not_of(' ') + 1);
      out += text + "\n";
    };
    if (from > 1) out += "\n";
    line(grid.heads);
    if (std::any_of(grid.units.begin(), grid.units.end(), [](const auto& u) { return !u.empty(); }))
      line(grid.units);
    out += std::string(used, '-') + "\n";
    for (const auto& row : grid.rows) line(row);
    from = to;
  } while (from < widths.size());
  return out;
}

}  // namespace

namespace {

std::string blocks_text(const std::vector<Block>& blocks, std::size_t width) {
  std::string out;
  for (const auto& block : blocks) {
    if (std::holds_alternative<Plot>(block)) continue;  // its figures stand in a grid beside it
    out += "\n";
    if (const auto* p = std::get_if<Paragraph>(&block)) out += wrapped(p->text, width, "");
    if (const auto* c = std::get_if<Caution>(&block))
      out += wrapped("Take care: " + c->text, width, "");
    if (const auto* g = std::get_if<Grid>(&block)) out += grid_text(*g, width);
    if (const auto* d = std::get_if<Drawing>(&block)) out += wrapped(d->text, width, "");
    if (const auto* c = std::get_if<Checklist>(&block)) {
      out += wrapped(c->title, width, "");
      for (const auto& step : c->steps)
        out += wrapped((step.done ? "[x] " : "[ ] ") + step.what, width, "  ");
      if (!c->gate.empty()) out += wrapped("Gate: " + c->gate, width, "  ");
    }
    if (const auto* p = std::get_if<PartsList>(&block))
      for (const auto& part : p->parts) out += wrapped(part.state + ": " + part.what, width, "  ");
  }
  return out;
}

}  // namespace

std::string brief_text(const Section& section, std::size_t width) {
  return wrapped(section.question, width, "") + "\n" + wrapped(section.answer, width, "  ") +
         blocks_text(section.blocks, width);
}

std::string as_text(const Section& section, std::size_t width) {
  return brief_text(section, width) + blocks_text(section.working, width);
}

}  // namespace trammel
