// `trammel start`: a first car file from what somebody saw at the car and read from a tape.
#include <fmt/format.h>

#include <filesystem>
#include <iostream>

#include "base/plain_text.h"
#include "cli/commands.h"
#include "cli/files.h"
#include "cli/opened_car.h"
#include "start/starter.h"
#include "told/section.h"
#include "told/text.h"

namespace trammel {
namespace {

// What can be chosen and typed, in words.
std::string start_list() {
  Section s;
  s.name = "Start";
  s.question = "What is your car made of?";
  s.answer =
      "Say what holds its wheels, and what the tape says: a car file comes out that a survey can "
      "be "
      "typed into. For pictures of all this: trammel page, 'Start my own car'.";
  for (const auto& q : all_start_questions()) {
    if (!q.caution.empty()) s.blocks.emplace_back(Caution{q.caution});
    if (!q.choices.empty()) {
      s.blocks.emplace_back(Paragraph{fmt::format("--{}: {} {}", q.id, q.question, q.help)});
      for (const auto& c : q.choices)
        s.blocks.emplace_back(Paragraph{fmt::format(
            "  {}: {}.{}{}{}", c.id, c.headline,
            c.trade.empty() ? "" : fmt::format(" (The trade says {}.)", c.trade),
            c.look.empty() ? "" : " " + c.look, c.refused.empty() ? "" : " " + c.refused)});
    }
    for (const auto& v : q.values)
      s.blocks.emplace_back(
          Paragraph{fmt::format("--{}: {}, {} without it. {}", v.id, v.label, v.usual, v.how)});
  }
  return as_text(s);
}

}  // namespace

std::vector<StartOption> start_options() {
  std::vector<StartOption> options;
  for (const auto& q : all_start_questions()) {
    if (!q.choices.empty()) {
      std::string ids;
      for (const auto& c : q.choices) ids += (ids.empty() ? "" : "|") + c.id;
      options.push_back({q.id, q.question, ids});
    }
    for (const auto& v : q.values) options.push_back({v.id, v.label, v.usual});
  }
  return options;
}

int run_start(const StartWords& words) {
  std::vector<StartAnswer> answers;
  for (const auto& [id, answer] : words.answers) answers.push_back({id, answer});
  if (answers.empty() && words.file.empty()) {
    std::cout << start_list();
    return 0;
  }
  const auto started = start_car(answers);
  for (const auto& f : started.faults)
    std::cerr << printable(fmt::format("trammel start: --{}: {}", f.question, f.what)) << "\n";
  for (const auto& id : started.unasked)
    std::cerr << fmt::format(
        "trammel start: --{}: is no question of this car, expected no word of "
        "it (trammel start lists what there is)\n",
        id);
  if (!started.faults.empty() || !started.unasked.empty()) return bad_input;
  for (const auto& why : started.left_out) std::cerr << "trammel start: " << why << "\n";
  if (started.text.empty()) {
    std::cerr << "trammel start: " << started.why << "\n";
    return no_answer;
  }
  if (words.file.empty()) {
    std::cout << started.text;
    return 0;
  }
  // Nobody's file is written over.
  if (std::filesystem::exists(std::filesystem::symlink_status(words.file))) {
    complain(words.file, {{0, "is there already, expected the name of a new file"}});
    return bad_input;
  }
  if (const auto failed = write_file(words.file, started.text); !failed.empty()) {
    complain(words.file, {{0, failed}});
    return bad_input;
  }
  std::cout << fmt::format(
      "Your car is begun in {0}; its joints are guesses. Next: trammel check {0}, then measure "
      "(docs/measuring.md).\n",
      words.file);
  return 0;
}

}  // namespace trammel
