// The readings of alignment as cards, in the order in which one goes round the car: what is read,
// how, what goes wrong, and the row of the file that it becomes.
#pragma once

#include <string>
#include <vector>

#include "align/aligning.h"
#include "file/edit.h"
#include "measure/entry.h"
#include "measure/round.h"
#include "told/section.h"

namespace trammel {

enum class FloorReading { pads, strings, half_turn, camber, sweep, ride_height, plates, car };

struct FloorCard {
  std::string number;  // "AFL1": none of the survey's begins with A
  FloorReading reading = FloorReading::strings;
  AxleName axle = AxleName::front;
  Side side = Side::left;
  std::string what, how, care;
  std::vector<CardField> fields;  // keys of the row; "edges[0]" and "edges[1]" make one list
  double sigma = 0.0;             // usual ± of its values, mm or rad; zero: it has none of its own
};
struct FloorStation {
  std::string name, intro, caution;
  std::vector<FloorCard> cards;
};

// Axles that the car does not have are left out. Order and usual ± are common practice.
std::vector<FloorStation> floor_round_of(const Car& car);
const FloorCard* floor_card(const std::vector<FloorStation>& round, const std::string& number);

// The day that cards are entered for.
struct FloorDay {
  std::string when;
  bool fitted = false, driven = false;  // written once, with the day's first row
};

// The file with what was typed as a further row of [[alignment]]. Faults of what was typed stand at
// line 0 and name the field.
Read<Document> entered(const Document& document, const FloorCard& card, const FloorDay& day,
                       const TypedCard& typed);

// The file with what the plan says written down as turned, for the next day's sums.
Read<Document> turned_as_planned(const Document& document, const Aligning& aligning);

// The rows of the day that a card holds.
std::vector<const AlignmentRow*> taken_on(const AlignmentRows& rows, const FloorCard& card,
                                          const std::string& when);
std::vector<const AlignmentRow*> taken_on(AlignmentRows&& rows, const FloorCard& card,
                                          const std::string& when) = delete;  // they point into it
// "222.5 and 225.0 mm, hub 224.5 mm": what such a row says for its card.
std::string row_words(const AlignmentRow& row, const FloorCard& card, Units units);

// The car from above (or a wheel from behind) with string, bars or level in place, what is read
// drawn heavy. Lines take the colour of the text around them.
// `shown_mm`: how wide it is shown; `caption` stands in its corner.
Drawing floor_drawing(const Car& car, const FloorCard& card, double shown_mm = 100.0,
                      const std::string& caption = {});

}  // namespace trammel
