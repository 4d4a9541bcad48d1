// What came of looking at a part: it serves, it does not, or it was not judged. Nothing serves that
// was not judged.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "base/quantity.h"

namespace trammel {

enum class Serving { serves, does_not_serve, not_judged };
std::string_view words(Serving verdict);  // "serves", "does not serve", "not judged"

// What of a thing was not judged, in words, and the key of the car file that would let it be; no
// key: nothing that the file can say would.
struct Unjudged {
  std::string what, key;
};

// A thing, why it does not serve, the worst first, and what of it was not judged: by the kinds and
// numbers of the room that judges.
template <class Of, class Fails, class NotJudged>
struct JudgementBy {
  Of of;
  std::vector<Fails> fails;
  std::vector<NotJudged> unjudged;

  // One thing that fails decides, whatever else is not known; else one that is not judged.
  Serving verdict() const {
    return !fails.empty()      ? Serving::does_not_serve
           : !unjudged.empty() ? Serving::not_judged
                               : Serving::serves;
  }
};

// The same as it is told: "toe-link bracket".
using Judgement = JudgementBy<std::string, std::string, Unjudged>;

// "tilt ('ball_width' or 'limit' in its [[rod_end]])"
std::string words(const Unjudged& unjudged);

// By what the room has to say of its own kinds: `words` of a thing and of a failing, `unjudged` of
// what was not judged.
template <class Of, class Fails, class NotJudged>
Judgement in_words(const JudgementBy<Of, Fails, NotJudged>& judged, Units units) {
  Judgement j{words(judged.of), {}, {}};
  for (const auto& f : judged.fails) j.fails.push_back(words(f, units));
  for (const auto& u : judged.unjudged) j.unjudged.push_back(unjudged(u, units));
  return j;
}
template <class One>
std::vector<Judgement> in_words(const std::vector<One>& all, Units units) {
  std::vector<Judgement> told;
  told.reserve(all.size());
  for (const auto& one : all) told.push_back(in_words(one, units));
  return told;
}

// All of them counted in a few sentences, what does not serve first, what is not judged by name and
// key. "All of it serves" only where each was judged and serves. Empty where there is none.
std::string counted(const std::vector<Judgement>& all);
// The same in numbers alone: "4 do not serve, 6 not judged, 2 judged and OK."
std::string tally(const std::vector<Judgement>& all);

}  // namespace trammel
