// What was read at the car, from a card into the file: checked, written as a row, and held against
// what is known so far.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "file/edit.h"
#include "measure/adjustment.h"
#include "measure/round.h"

namespace trammel {

// As typed: one text for each field of the card ("178.5", "2 3/8 in", ""), and a ± of one's own
// for all of them (empty: the card's).
struct TypedCard {
  std::vector<std::string> values;
  std::string sigma;
};

// What is wrong with what was typed on a card's fields, naming the field; nothing where all of it
// can be taken.
std::optional<Fault> wrong_typed(const std::vector<CardField>& fields, const TypedCard& typed);

// The file with what was typed: a further row of [[reading]], named by the card's number, or its
// value in [survey]. Faults of what was typed name the field; they stand at line 0.
Read<Document> entered(const Document& document, const Car& car, const Card& card,
                       const TypedCard& typed);

// A run of the gauge as a row of the file.
struct TypedGaugeRow {
  std::string travel, front, rear, low;
};
struct TypedGauge {
  std::string name;  // of the run that goes on; empty: a new one
  AxleName axle = AxleName::front;
  Side side = Side::left;
  std::string base, drop;  // of a new run; drop empty: two dials
  std::string with;        // of a new run: what is fitted, as the file writes it; empty: as it sits
  TypedGaugeRow row;
};
Read<Document> entered(const Document& document, const TypedGauge& typed);

// The document with the sizes written out in every run of `axle` that was taken with = "chosen": to
// be done before other parts are chosen, since an old run was made with the old ones. As it stands
// where the axle has no such run, or nothing is chosen.
Read<Document> chosen_written_out(const Document& document, AxleName axle);

// Sets a reading or a run aside by its name in the file, or takes it in again.
Read<Document> set_aside(const Document& document, const std::string& name, bool aside);

// What a reading may be expected to be by everything else, mm or rad.
struct Expected {
  double value = 0.0, sigma = 0.0;  // sigma: of the difference to a reading with its own ±
};
// `after`: the survey with the reading in it; `known`: the car adjusted without it. None where
// nothing is known of what it reads.
std::optional<Expected> expected(const Survey& after, const Adjusted& known,
                                 const TakenReading& reading);

// Farther off than this many of its uncertainty, a value is asked about (Baarda's w of the reading
// if it were the only one misread; 3.5 by common practice).
inline constexpr double surprises_above = 3.5;

// What is surprising about readings that `after` has and `before` has not, in sentences; empty
// where nothing is.
std::vector<std::string> surprises(const Survey& before, const Survey& after, const Adjusted& known,
                                   Units units);

}  // namespace trammel
