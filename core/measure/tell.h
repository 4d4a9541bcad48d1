// What the step measure says, told once.
#pragma once

#include "measure/adjustment.h"
#include "told/section.h"

namespace trammel {

// `every_reading`: the list of all of them as well, not only those that need a look.
Section tell(const Adjusted& adjusted, Units units, bool every_reading);

// A sentence for the steps that build on the joints: what stands against trusting them. Empty where
// nothing does.
std::string doubt_words(const Adjusted& adjusted);

// What is wrong with a reading that looks misread, and with readings of which one is.
std::string suspect_words(const ReadingResult& reading, Units units);
std::string group_words(const Adjusted& adjusted, const SuspectGroup& group, Units units);

// A section of a later step with that sentence before everything else.
Section doubt_first(Section section, const Adjusted& adjusted);

// A sentence where joints that hold a wheel are guesses yet; empty where all are known well enough
// to speak of this car. `guess_first`: what
// such joints gave is told as that, and the answer is that it is not known yet.
std::string guess_words(const Adjusted& adjusted, Units units);
Section guess_first(Section section, const Adjusted& adjusted, Units units);

// A reading's value as its kind is written: "178 mm", "0.50°".
std::string reading_value(ReadingKind kind, double value, Units units);

}  // namespace trammel
