#include "wasm/paged.h"

#include <fmt/format.h>

#include <type_traits>

#include "told/plot_svg.h"
#include "travel/freedom.h"

namespace trammel {

using namespace wire;

namespace {

std::string line_of(const std::string& text, int line) {
  std::size_t from = 0;
  for (int i = 1; i < line; ++i) {
    from = text.find('\n', from);
    if (from == std::string::npos) return {};
    ++from;
  }
  auto found = text.substr(from, text.find('\n', from) - from);
  if (!found.empty() && found.back() == '\r') found.pop_back();
  return found;
}

}  // namespace

std::string why_of(const std::vector<FaultSeen>& faults) {
  return faults.empty()
             ? "there is no car"
             : fmt::format("the file is at fault in line {}: {}", faults[0].line, faults[0].what);
}

std::vector<FieldShown> shown_fields(const std::vector<CardField>& fields) {
  std::vector<FieldShown> shown;
  shown.reserve(fields.size());
  for (const auto& f : fields)
    shown.push_back({f.key, f.label, f.kind == Kind::angle ? "angle" : "length", f.needed});
  return shown;
}

std::vector<FaultSeen> seen(const std::vector<Fault>& faults, const std::string& text) {
  std::vector<FaultSeen> all;
  all.reserve(faults.size());
  for (const auto& f : faults)
    all.push_back({f.line, f.what, f.line > 0 ? line_of(text, f.line) : "", f.field});
  return all;
}

Changed changed(const Document& before, const Read<Document>& after) {
  if (!after.value) return {before.text, seen(after.faults, before.text)};
  if (const auto faults = new_faults(before, *after.value); !faults.empty())
    return {before.text, seen(faults, after.value->text)};
  return {after.value->text, {}};
}

DrawnPlot drawn(const Plot& plot) {
  const PlotSize size;
  auto r = readout(plot, size);
  return {plot.title,        plot_svg(plot, size), std::move(r.values),
          std::move(r.x_mm), size.width_mm,        size.height_mm,
          r.top_mm,          r.bottom_mm};
}

PageSection paged(const Section& s) {
  PageSection page{s.name, s.question, s.answer, {}, {}};
  const auto put = [](const std::vector<Block>& from, std::vector<PageBlock>& to) {
    for (const auto& block : from)
      std::visit(
          [&](const auto& b) {
            if constexpr (std::is_same_v<std::decay_t<decltype(b)>, Plot>)
              to.emplace_back(drawn(b));
            else to.emplace_back(b);
          },
          block);
  };
  put(s.blocks, page.blocks);
  put(s.working, page.working);
  return page;
}

}  // namespace trammel
