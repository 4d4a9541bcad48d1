// The round: every reading worth taking, in the order in which one crawls round the car, each as a
// card of its own.
#pragma once

#include <string>
#include <vector>

#include "base/quantity.h"
#include "car/joint_words.h"
#include "file/survey.h"

namespace trammel {

enum class CardKind {
  baseline,     // how far the baseline lies ahead of the front axle line
  floor,        // a spot of the floor against the plane under the tyres
  camber,       // of a wheel
  toe,          // of a wheel, by string: two edges of the rim
  ride_height,  // hub up to the arch
  height,       // of a joint above the floor
  mark,         // a joint plumbed to the floor: back and out
  slope,        // a level along a member
  distance,     // a tape or trammel bar between two joints
};

// One value of a card.
struct CardField {
  std::string key;    // in the row: "value", "back", "edges[0]", …
  std::string label;  // "back from the baseline"
  Kind kind = Kind::length;
  bool needed = true;  // the card cannot be entered without it
};

struct Card {
  std::string number;  // "FL12": the same on the blank sheets; hangs on the members alone
  CardKind kind = CardKind::height;
  Spot spot, other;
  std::array<double, 2> at_mm{};  // of a floor spot: x, y
  std::string what;               // "floor to the ball joint of arm 'lower'"
  std::string how;                // how it is taken
  std::string care;               // what goes wrong
  std::vector<CardField> fields;
  double sigma = 1.0;      // usual standard uncertainty of this card's values, mm or rad
  bool own_sigma = false;  // it differs from the kind's own, and is written into the row
};

// What is taken from one place before one moves on.
struct Station {
  std::string name;   // "Front left"
  std::string intro;  // what to do there first
  std::string caution;
  std::vector<Card> cards;
};

// Axles that the car does not have are left out; the right side is offered whether the file
// describes it or mirrors it. Order, kinds and usual uncertainties are common practice.
std::vector<Station> round_of(const Car& car);

// The card of that number, or one of the kind made for two spots that no card of the round joins;
// none where the number is unknown.
const Card* card_numbered(const std::vector<Station>& round, const std::string& number);

// A distance or a slope between any two joints, or the height or mark of any: for what the round
// does not ask for.
Card free_card(const Car& car, CardKind kind, const Spot& spot, const Spot& other);

// What a card's values are read as, in the order of its fields; `out` of a mark is without its
// bar. Empty for baseline and floor.
std::vector<ReadingKind> reading_kinds(CardKind kind);

// Whether a reading of the survey was taken by this card (or might have been: by hand, in the
// file). Faces, floor marks and readings at a travel belong to no card.
bool is_of(const TakenReading& reading, const Card& card);

// "front left"
std::string corner_words(AxleName axle, Side side);

}  // namespace trammel
