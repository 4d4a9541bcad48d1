// What a card shows: the corner to scale, as the file has it, with the tape in place.
#pragma once

#include "measure/round.h"
#include "told/section.h"

namespace trammel {

// Corner seen from behind, from above or from the outside, whichever shows the reading; the joint
// ringed, what is measured drawn heavy. Lines take the colour of the text around them.
// `shown_mm`: how wide it is shown; `caption` stands in its corner.
Drawing card_drawing(const Car& car, const Card& card, double shown_mm = 100.0,
                     const std::string& caption = {});

// All joints of a corner with the numbers of the cards that ask for them, from behind and from
// above: for a blank sheet.
Drawing corner_drawing(const Car& car, AxleName axle, Side side, const std::vector<Card>& cards);

}  // namespace trammel
