#include "base/serving.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace trammel {
namespace {

// Each with its reasons behind it, those of one reason together.
std::string named(const std::vector<Judgement>& all, Serving which) {
  std::vector<std::array<std::string, 2>> groups;  // what, why
  for (const auto& j : all) {
    if (j.verdict() != which) continue;
    std::string why;
    if (which == Serving::does_not_serve) why = j.fails.front();
    for (const auto& u : j.unjudged)
      if (which == Serving::not_judged) why += (why.empty() ? "" : "; ") + words(u);
    const auto same = std::find_if(groups.begin(), groups.end(),
                                   [&](const auto& group) { return group[1] == why; });
    if (same == groups.end()) groups.push_back({j.of, why});
    else (*same)[0] += ", " + j.of;
  }
  std::string text;
  for (const auto& [what, why] : groups)
    text += fmt::format("{}{}: {}", text.empty() ? "" : " · ", what, why);
  return text;
}

}  // namespace

std::string_view words(Serving v) {
  switch (v) {
    case Serving::serves:
      return "serves";
    case Serving::does_not_serve:
      return "does not serve";
    case Serving::not_judged:
      return "not judged";
  }
  return "";
}

std::string words(const Unjudged& u) {
  return u.key.empty() ? u.what : fmt::format("{} (needs {})", u.what, u.key);
}

namespace {

struct Counts {
  std::size_t good = 0, bad = 0, open = 0;
};
Counts count(const std::vector<Judgement>& all) {
  Counts n;
  for (const auto& j : all) {
    n.good += j.verdict() == Serving::serves;
    n.bad += j.verdict() == Serving::does_not_serve;
    n.open += j.verdict() == Serving::not_judged;
  }
  return n;
}
std::string all_serves(std::size_t n) {
  return fmt::format("All of it serves: {} thing{} judged.", n, n == 1 ? "" : "s");
}

}  // namespace

std::string counted(const std::vector<Judgement>& all) {
  if (all.empty()) return {};
  const auto n = count(all);
  if (n.good == all.size()) return all_serves(n.good);
  std::string text;
  if (n.bad > 0)
    text += fmt::format("{} do{} not serve: {}. ", n.bad, n.bad == 1 ? "es" : "",
                        named(all, Serving::does_not_serve));
  text += fmt::format("{} judged and OK", n.good);
  text += n.open > 0 ? fmt::format("; {} not judged: {}.", n.open, named(all, Serving::not_judged))
                     : ".";
  return text;
}

std::string tally(const std::vector<Judgement>& all) {
  if (all.empty()) return {};
  const auto n = count(all);
  if (n.good == all.size()) return all_serves(n.good);
  std::string text;
  if (n.bad > 0) text += fmt::format("{} do{} not serve, ", n.bad, n.bad == 1 ? "es" : "");
  if (n.open > 0) text += fmt::format("{} not judged, ", n.open);
  return text + fmt::format("{} judged and OK.", n.good);
}

}  // namespace trammel
