// Every section that is told of a car, in the order of the job: the one table that the commands,
// the sheet and the page go by.
#pragma once

#include <array>
#include <string_view>

#include "told/section.h"

namespace trammel {

// What has to be worked out before it can be told.
enum class Stage {
  surveyed,  // the joints where the readings put them
  ranked,    // every combination of parts judged
};
inline std::string_view word(Stage s) { return s == Stage::surveyed ? "surveyed" : "ranked"; }

// Of which cars it is told.
enum class ToldOf {
  every_car,
  a_set,         // where a set is to be fitted
  a_set_or_run,  // or a gauge run was made with parts
};
inline std::string_view word(ToldOf t) {
  return t == ToldOf::every_car ? "every car" : t == ToldOf::a_set ? "a set" : "a set or run";
}

struct SectionRow {
  SectionId id;
  std::string_view name;      // of a word or two, for a list of contents
  std::string_view step;      // of the job, or "car", "work": where a reader looks for it
  std::string_view question;  // that it answers; one that says more may ask more
  Stage stage;
  ToldOf told_of = ToldOf::every_car;
  bool own_sheet = false;  // on paper: signed by hand, and torn off as it is
};

inline constexpr std::array section_table{
    SectionRow{SectionId::front, "Front", "front", "What do I do now?", Stage::ranked},
    SectionRow{SectionId::car, "Car", "car", "What does the file say?", Stage::surveyed},
    SectionRow{SectionId::measure, "Measure", "measure",
               "Where are the joints, and how sure is that?", Stage::surveyed},
    SectionRow{SectionId::measure_next, "Measure next", "measure", "What should I measure next?",
               Stage::ranked},
    SectionRow{SectionId::travel, "Travel", "travel", "What do the wheels do?", Stage::surveyed},
    SectionRow{SectionId::correct, "Correct", "correct",
               "Which spacers, and how far must the bracket move the joint?", Stage::ranked},
    SectionRow{SectionId::make, "Make", "make", "What exactly do I cut, drill, turn and bolt?",
               Stage::ranked},
    SectionRow{SectionId::settle, "Settle", "settle", "How will the car sit, ride and roll?",
               Stage::ranked},
    SectionRow{SectionId::rods, "Rods", "align", "How long do the rods become, and what do I turn?",
               Stage::ranked, ToldOf::a_set},
    SectionRow{SectionId::parts, "Parts", "make", "What do I need?", Stage::ranked, ToldOf::a_set},
    SectionRow{SectionId::align, "Align", "align", "What do I turn, and by how much?",
               Stage::ranked},
    SectionRow{SectionId::prove, "Prove", "prove", "Does the car now do what was predicted?",
               Stage::ranked, ToldOf::a_set_or_run},
    SectionRow{SectionId::work, "Work", "work", "In which order, and where do I stop?",
               Stage::ranked},
    SectionRow{SectionId::record, "Record", "work",
               "What was done to this car, and who answers for it?", Stage::ranked,
               ToldOf::every_car, true},
};

const SectionRow& row_of(SectionId id);

// A section with the name and the question of the table, nothing said yet.
Section begun(SectionId id);

}  // namespace trammel
