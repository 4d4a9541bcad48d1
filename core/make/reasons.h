// What is said of parts, bolts and rod ends: whether they serve, why not, and what was not judged.
// Sentences have no full stop and begin small where nothing else is said.
#pragma once

#include <string>
#include <string_view>

#include "make/making.h"
#include "travel/reasons.h"

namespace trammel {

// "the toe-link bracket", "the weld of the toe-link bracket", "the rod end at front.rod.toe.body"
std::string words(const Thing& thing);
std::string words(const Failing& failing, Units units);
Unjudged unjudged(const NotJudged& of, Units units);

// "the steering arm"
std::string_view words(StandsOn on);
// What follows "nothing to make; ".
std::string_view words(PartToMake::Nothing why);
std::string words(const NoSense& why, Units units);
std::string words(const TakenForGranted& what, Units units);
std::string words(const LoadsWanting& what);

// "plate bent and twisted"
std::string what_gives(const Check& check);
// "MPa"; empty where there is nothing to measure.
std::string_view unit_word(Check::In in);
// "thicker plate"
std::string_view what_helps(Check::Of of);
// "plate bent and twisted, 137 % of what is allowed"
std::string words(const Check& check);
// Why no plate serves, or none is chosen; empty where one serves.
std::string why_words(const PlateChoice& choice, Units units);

// One test of a bolt in its joint, a whole sentence.
std::string words(const BoltJoint& joint, const Judged& bolt, const JointTest& test, Units units);
// Why no standard bolt serves as it comes; empty where one does.
std::string why_words(const BoltJoint& joint, const NextLength& next, Units units);
std::string words(const BoltJoint& joint, const WayOut& way, Units units);
// What to take and what is there, in a sentence or two with their full stops.
std::string words(const BoltJoint& joint, const NextLength& next, Units units);
std::string words(const SlipCheck& slip, Units units);

// "1.5 d in EN-GJS-400-15 by rule of thumb: 15 mm; the thread outlasts the bolt from 14.2 mm on"
std::string words(const Engagement& engagement, const Material& hole, Units units);
std::string words(const RodEndEngagement& engagement, const Thread& thread, MaterialGroup sleeve,
                  Units units);
std::string words(const RatingCheck& rating, Units units);
std::string words(const SingleShearCheck& check, Units units);

}  // namespace trammel
