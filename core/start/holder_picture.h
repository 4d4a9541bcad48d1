// Pictures of what holds a wheel, in the manner of a workshop drawing: ink in currentColor on
// whatever paper there is (--paper, else white).
#pragma once

#include <string>

#include "start/proportions.h"

namespace trammel {

enum class PictureView {
  from_behind,  // the left wheel from the car's inside, from behind and a little above
  from_above    // front up
};

// `about`: the kind of member that the picture is about; drawn solid. A picture has its title and
// description in it, for those who cannot see it.
std::string holder_picture(const HeldWheel& wheel, PictureView view, const std::string& title,
                           const std::string& about_words, std::optional<HeldBy::Kind> about = {});
// Both wheels on one beam: solid, or one that twists.
std::string beam_picture(Holder holder, const std::string& title, const std::string& about_words);
// A wheel, and nothing that is known of it.
std::string unknown_picture(const std::string& title, const std::string& about_words);

// How a rod's length is set: a thread at one end, at both, or an eccentric bolt at its inner end.
enum class RodSets { one_end, both_ends, eccentric };
std::string rod_set_picture(RodSets by, const std::string& title, const std::string& about_words);

}  // namespace trammel
