// What came of looking at a part: it serves, it does not, or it was not judged. Nothing serves that
// was not judged.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace trammel {

enum class Serving { serves, does_not_serve, not_judged };
std::string_view words(Serving verdict);  // "serves", "does not serve", "not judged"

// What of a thing was not judged, and the key of the car file that would let it be; no key: nothing
// that the file can say would.
struct Unjudged {
  std::string what, key;
};

struct Judgement {
  std::string of;                  // "toe-link bracket"
  std::vector<std::string> fails;  // why it does not serve, the worst first
  std::vector<Unjudged> unjudged;

  // One thing that fails decides, whatever else is not known; else one that is not judged.
  Serving verdict() const {
    return !fails.empty()      ? Serving::does_not_serve
           : !unjudged.empty() ? Serving::not_judged
                               : Serving::serves;
  }
};

// "tilt ('ball_width' or 'limit' in its [[rod_end]])"
std::string words(const Unjudged& unjudged);

// All of them counted in a few sentences, what does not serve first, what is not judged by name and
// key. "All of it serves" only where each was judged and serves. Empty where there is none.
std::string counted(const std::vector<Judgement>& all);
// The same in numbers alone: "4 do not serve, 6 not judged, 2 judged and OK."
std::string tally(const std::vector<Judgement>& all);

}  // namespace trammel
