// From nothing to a car file that a survey can be typed into: what is asked, by pictures and plain
// words, and the file that the answers make.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace trammel {

// What was picked (the choice's id) or typed.
struct StartAnswer {
  std::string question, answer;
};

// One of the answers to a question.
struct StartChoice {
  std::string id;
  std::string headline;  // plain words
  std::string look;      // how to tell it at the car
  std::string trade;     // the trade's name for it; may be empty
  std::string refused;   // what comes of it where the axle stays out of the file; else empty
  std::string svg;       // a drawing in currentColor; empty where words are enough
};

// A value that is read from the car with a tape, or from its tyres; each may be left open.
struct StartValue {
  std::string id;
  std::string label, how;
  std::string usual;  // taken where it is left open; as it would be typed
};

// What stands on one screen: something to choose, or values to type.
struct StartQuestion {
  std::string id;
  std::string question, help;
  std::string caution;  // where the look can hurt somebody; else empty
  bool needed = false;  // has to be answered; any other without an answer is taken as not known
  std::vector<StartChoice> choices;
  std::vector<StartValue> values;
};

struct StartFault {
  std::string question;  // the id of the question or value
  std::string what;      // what is wrong, and what was expected
};

struct StartSummary {
  std::string what, answer;
};

struct Started {
  std::vector<StartQuestion> questions;  // those that these answers leave to be asked, in order
  std::vector<StartFault> faults;        // of the answers so far
  std::vector<std::string> unasked;      // answered, but no question of this car
  std::vector<std::string> missing;      // needed, and not answered yet
  std::vector<std::string> left_out;     // why an axle is not in the file
  std::vector<StartSummary> summary;     // what was answered or taken instead
  std::string text;                      // the car file; empty with faults or without any axle
  std::string why;                       // why there is no file though nothing is at fault
};

enum class StartPictures { none, drawn };

// The answers in any order; those to questions that do not arise are passed over and named. An axle
// whose holder is not answered is left out. A text that comes out is without faults, describes at
// least one axle, and its joints are guesses that say so.
Started start_car(const std::vector<StartAnswer>& answers,
                  StartPictures pictures = StartPictures::none);

// Every question that any car is asked, with every choice, for a list in words. Without drawings.
std::vector<StartQuestion> all_start_questions();

}  // namespace trammel
