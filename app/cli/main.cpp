#include <CLI/CLI.hpp>
#include <algorithm>
#include <iostream>
#include <string>
#include <vector>

#include "base/check.h"
#include "base/plain_text.h"
#include "cli/commands.h"

namespace {

constexpr const char* purpose =
    "Puts the geometry of a lowered car right: from a car file with its measured joints.\n"
    "\n"
    "A car file is a text you write by hand (docs/writing-a-car-file.md, cars/*.toml).\n"
    "Begin with:\n"
    "  trammel next cars/pip-survey.toml   what to do now, and where every step stands\n"
    "  trammel start                    a car file for your own car, from what holds its wheels\n"
    "  trammel check cars/pip.toml      what the file says, and whether it adds up\n"
    "  trammel measure cars/pip-survey.toml   where the joints are, how sure, and what was "
    "misread\n"
    "  trammel travel cars/pip.toml     what lowering did, and what the wheels do now\n"
    "  trammel correct cars/pip.toml    which spacers and which bracket put it right\n"
    "  trammel make cars/pip.toml       what to cut, drill, turn and bolt\n"
    "  trammel settle cars/pip.toml     how it will sit, ride and roll\n"
    "  trammel align cars/pip.toml      what to turn, by string and level\n"
    "  trammel prove cars/pip-survey.toml   whether it now does what was predicted\n"
    "  trammel sheet cars/pip.toml      all of it as one document to print\n"
    "  trammel page cars/pip.toml       all of it in the browser, on this machine alone\n"
    "\n"
    "Exit status: 0 done; 1 the question has no answer (the reason is said); 2 bad input; 3 a "
    "fault of Trammel's own.\n";

constexpr const char* measure_help =
    "All readings of the file in one adjustment: the joints with their uncertainty, and the\n"
    "readings that disagree with the others (docs/measuring.md tells how each is taken).\n"
    "\n"
    "  trammel measure cars/pip-survey.toml\n"
    "  trammel measure cars/pip-survey.toml --all       every reading with its test\n"
    "  trammel measure cars/pip-survey.toml --blank     survey sheets to write on at the car\n"
    "  trammel measure cars/pip-survey.toml --json\n";

constexpr const char* travel_help =
    "Without options: every axle in every ride state of the file, side by side.\n"
    "With --axle: position by position.\n"
    "  trammel travel cars/pip.toml --axle front\n"
    "  trammel travel cars/pip.toml --axle front --state as_built --travel -60:60:20\n"
    "  trammel travel cars/pip.toml --axle front --travel 0,1/2in --rack 20 --units inch\n"
    "  trammel travel cars/pip.toml --axle rear --roll 3 --json\n"
    "\n"
    "Signs (ISO 8855): travel is bump positive, from the state's own ride height; toe-in "
    "positive,\n"
    "per wheel; camber negative with the wheel's top inward; rack positive to the left; roll\n"
    "positive with the body's left side up.\n";

constexpr const char* correct_help =
    "Every combination of the [[option]] rows of the file, a made-to-measure joint put where it "
    "is\n"
    "best, judged against [front.target] and [rear.target]; toe (and camber) set back to what is\n"
    "wanted before the curve is judged, where the file has adjusters.\n"
    "\n"
    "  trammel correct cars/pip.toml                 both axles, and the roll axis\n"
    "  trammel correct cars/pip.toml --axle rear\n"
    "  trammel correct cars/pip.toml --axle front --json\n";

constexpr const char* make_help =
    "The parts of the set that is fitted ([[make]]), the bolts that go through them ([[fastener]]) "
    "and\n"
    "the rod ends ([[rod_end]]), against what each joint bears in the usual loads and in your own\n"
    "([[load]]).\n"
    "\n"
    "  trammel make cars/pip.toml\n"
    "  trammel make cars/pip.toml --out parts        drawings and templates as PDF, and DXF\n"
    "  trammel make cars/pip.toml --json\n";

constexpr const char* settle_help =
    "Springs, dampers, stops and bars at the wheel, body roll and load transfer, corner weights: "
    "in\n"
    "every ride state of the file, as it sits, and with the parts fitted. What is missing is "
    "named.\n"
    "\n"
    "  trammel settle cars/pip.toml\n"
    "  trammel settle cars/pip.toml --json\n";

constexpr const char* align_help =
    "Every day's readings on the floor ([[alignment]] rows: strings, toe plates, level, turn "
    "plates) "
    "as\n"
    "angles with their uncertainty, and for the last day what to turn, in its order\n"
    "(docs/aligning.md tells how each is read).\n"
    "\n"
    "  trammel align cars/pip.toml\n"
    "  trammel align cars/pip.toml --json\n";

constexpr const char* prove_help =
    "Gauge rows taken with the parts fitted ([[reading]] with gauge = ... and with = ...) against "
    "what\n"
    "was predicted: one test of the whole run, what is likeliest wrong where it fails, and the "
    "next\n"
    "shim. Without such rows: how to take them, and what they should read.\n"
    "\n"
    "  trammel prove cars/pip-survey.toml\n"
    "  trammel prove cars/pip-survey.toml --json\n";

constexpr const char* page_help =
    "Shows the page until Ctrl-C ends it: on this machine alone, and nothing leaves the machine,\n"
    "unless --phone is said.\n"
    "What is changed on the page is written to the car file; what another editor writes to the\n"
    "file shows on the page. Without a car the page keeps its cars in the browser.\n"
    "\n"
    "  trammel page my-car.toml\n"
    "  trammel page my-car.toml --port 8080      the same address every time\n"
    "  trammel page\n"
    "  trammel page my-car.toml --phone          for one phone in your own network as well\n"
    "\n"
    "--phone shows a link, as a code to scan and as text. The first phone that opens it has the\n"
    "page until the program ends, and no other one. The way to it is plain http: whoever can\n"
    "listen in the network can read the car file and change it. docs/the-page.md tells more.\n";

constexpr const char* start_help =
    "Without options: what can be chosen, in words, and how to tell it at the car. The file that\n"
    "comes out holds guesses, good to a hand's breadth, for readings to begin from.\n"
    "\n"
    "  trammel start\n"
    "  trammel start --front strut-arm --rear swing-arm --wheelbase 2400 my-car.toml\n"
    "  trammel start --front two-arms --front-rod ahead --rim-diameter 15\n"
    "\n"
    "A file that is there already is never written over; without a file the text is printed.\n";

constexpr const char* set_help =
    "  trammel set my-car.toml front.wheel.toe \"0°03'\"\n"
    "  trammel set my-car.toml front.arm.lower.upright[2] 178.5\n"
    "  trammel set my-car.toml option[0].sizes \"[0, 10, 15]\"\n"
    "\n"
    "Nothing is written if the file would be at fault afterwards.\n";

void add_units(CLI::App& command, trammel::CommonWords& words) {
  command.add_option("--units", words.units, "units to show: metric (mm) or inch")
      ->transform(CLI::CheckedTransformer(
                      std::map<std::string, trammel::Units>{{"metric", trammel::Units::metric},
                                                            {"mm", trammel::Units::metric},
                                                            {"inch", trammel::Units::inch},
                                                            {"in", trammel::Units::inch}})
                      .description(""))
      ->option_text("metric|inch");
}

void add_common(CLI::App& command, trammel::CommonWords& words) {
  command.add_option("CAR", words.file, "the car file")->required();
  command.add_flag("--json", words.json, "print one JSON object for machines");
  add_units(command, words);
}
void add_working(CLI::App& command, trammel::CommonWords& words) {
  command.add_flag("--working", words.working, "and all that the answer rests on");
}

int run(int argc, char** argv) {
  CLI::App app{purpose, "trammel"};
  app.require_subcommand(1);
  app.set_version_flag("--version", "trammel 0.1.0");

  trammel::CommonWords next_words;
  auto* next = app.add_subcommand("next", "What to do now, and where every step of the job stands");
  next->footer(
      "  trammel next cars/pip-survey.toml\n"
      "  trammel cars/pip-survey.toml              the same\n"
      "  trammel next cars/pip-survey.toml --json\n");
  add_common(*next, next_words);

  trammel::CommonWords check_words;
  auto* check = app.add_subcommand("check", "What a car file says, and every slip in it");
  add_common(*check, check_words);

  trammel::MeasureWords measure_words;
  auto* measure = app.add_subcommand(
      "measure", "Where the joints are by the readings, how sure that is, and what was misread");
  measure->footer(measure_help);
  add_common(*measure, measure_words.common);
  add_working(*measure, measure_words.common);
  measure
      ->add_option("--for", measure_words.narrow,
                   "what the next reading should serve: the chance of the best set, or one figure")
      ->check(CLI::IsMember(std::vector<std::string>{"chance", "bump_steer", "roll_centre"})
                  .description(""))
      ->option_text("chance|bump_steer|roll_centre");
  measure->add_flag("--all", measure_words.every_reading, "list every reading");
  measure->add_flag("--blank", measure_words.blank,
                    "instead: sheets to print and write on at the car, a line for every card");
  measure->add_option("--out", measure_words.out, "where to write them; - is standard output");

  trammel::TravelWords travel_words;
  auto* travel = app.add_subcommand(
      "travel", "What the wheels do over bump and droop, steering turned, body rolled");
  travel->footer(travel_help);
  add_common(*travel, travel_words.common);
  add_working(*travel, travel_words.common);
  const auto one_of = [](std::vector<std::string> words) {
    return CLI::IsMember(std::move(words)).description("");
  };
  travel->add_option("--axle", travel_words.axle, "which axle")
      ->check(one_of({"front", "rear"}))
      ->option_text("front|rear");
  travel->add_option("--side", travel_words.side, "which side (both are shown without it)")
      ->check(one_of({"left", "right"}))
      ->option_text("left|right");
  travel->add_option("--state", travel_words.state, "a ride state of the file")
      ->option_text("NAME");
  travel
      ->add_option("--travel", travel_words.travel,
                   "wheel travels, bump positive: -30,0,30 or FROM:TO:STEP")
      ->option_text("LIST");
  travel->add_option("--rack", travel_words.rack, "rack travel, positive to the left")
      ->option_text("MM");
  travel->add_option("--roll", travel_words.roll, "body roll, positive with the left side up")
      ->option_text("DEG");

  trammel::CorrectWords correct_words;
  auto* correct =
      app.add_subcommand("correct", "Which spacers to fit, and where a bracket's hole must be");
  correct->footer(correct_help);
  add_common(*correct, correct_words.common);
  add_working(*correct, correct_words.common);
  correct->add_option("--axle", correct_words.axle, "which axle (both without it)")
      ->check(one_of({"front", "rear"}))
      ->option_text("front|rear");
  correct->add_option("--state", correct_words.state, "a ride state of the file")
      ->option_text("NAME");

  trammel::MakeWords make_words;
  auto* make =
      app.add_subcommand("make", "What to cut, drill, turn and bolt: sizes, strength, drawings");
  make->footer(make_help);
  add_common(*make, make_words.common);
  add_working(*make, make_words.common);
  make->add_option("--state", make_words.state, "a ride state of the file")->option_text("NAME");
  make->add_option("--out", make_words.out, "a folder for the drawings; made where it is not there")
      ->option_text("FOLDER");
  make->add_flag("--letter", make_words.letter, "drawings on Letter instead of A4");

  trammel::SettleWords settle_words;
  auto* settle = app.add_subcommand("settle", "How the car will sit, ride and roll");
  settle->footer(settle_help);
  add_common(*settle, settle_words.common);
  add_working(*settle, settle_words.common);
  settle->add_option("--state", settle_words.state, "a ride state of the file")
      ->option_text("NAME");

  trammel::AlignWords align_words;
  auto* align =
      app.add_subcommand("align", "What to turn and by how much, by string, level and turn plates");
  align->footer(align_help);
  add_common(*align, align_words.common);
  add_working(*align, align_words.common);
  align->add_option("--state", align_words.state, "a ride state of the file")->option_text("NAME");

  trammel::CommonWords prove_words;
  auto* prove =
      app.add_subcommand("prove", "Whether the car, with its parts, does what was predicted");
  prove->footer(prove_help);
  add_common(*prove, prove_words);
  add_working(*prove, prove_words);

  trammel::SheetWords sheet_words;
  auto* sheet = app.add_subcommand("sheet", "The build sheet: one printable document of all of it");
  sheet->footer(
      "  trammel sheet cars/pip.toml               writes pip-sheet.html\n"
      "  trammel sheet cars/pip.toml --out -       to standard output\n");
  sheet->add_option("CAR", sheet_words.common.file, "the car file")->required();
  add_units(*sheet, sheet_words.common);
  sheet->add_option("--out", sheet_words.out, "where to write it; - is standard output")
      ->option_text("FILE");

  trammel::PageWords page_words;
  auto* page = app.add_subcommand("page", "The car in the browser, on this machine alone");
  page->footer(page_help);
  page->add_option("CAR", page_words.file, "the car file (may be left out)");
  page->add_option("--port", page_words.port,
                   "the port of the page's address (any free one without)")
      ->check(CLI::Range(1024, 65535).description(""))
      ->option_text("N");
  auto* phone = page->add_flag("--phone", page_words.phone,
                               "let one phone in the local network have the page too");
  page->add_option("--address", page_words.address,
                   "with --phone: which of this machine's local addresses (the first without)")
      ->needs(phone)
      ->option_text("A");

  trammel::StartWords start_words;
  auto* start = app.add_subcommand("start", "A first car file for your own car, to be measured");
  start->footer(start_help);
  start->add_option("FILE", start_words.file, "the new file (without it the text is printed)");
  for (const auto& option : trammel::start_options())
    start
        ->add_option_function<std::string>(
            "--" + option.id,
            [&start_words, id = option.id](const std::string& answer) {
              start_words.answers.emplace_back(id, answer);
            },
            option.question)
        ->option_text(option.answers);

  std::string set_file, set_path, set_value;
  auto* set = app.add_subcommand(
      "set", "Replace one value in a car file; comments and order stay as they are");
  set->footer(set_help);
  set->add_option("CAR", set_file, "the car file")->required();
  set->add_option("PATH", set_path, "where the value stands, such as front.wheel.toe")->required();
  set->add_option("VALUE", set_value, "the new value, as you would write it in the file")
      ->required();

  // A car file alone asks for the front.
  std::vector<std::string> typed(argv + 1, argv + argc);
  if (!typed.empty() && typed.front().ends_with(".toml")) typed.insert(typed.begin(), "next");
  std::reverse(typed.begin(), typed.end());  // as CLI11 takes them
  try {
    app.parse(std::move(typed));
  } catch (const CLI::ParseError& error) {
    if (error.get_exit_code() == 0) return app.exit(error);  // help, version
    std::cerr << "trammel: " << trammel::in_short(error.what())
              << "\n(trammel --help tells what there is)\n";
    return 2;
  }
  if (next->parsed()) return trammel::run_next(next_words);
  if (check->parsed()) return trammel::run_check(check_words);
  if (measure->parsed()) return trammel::run_measure(measure_words);
  if (travel->parsed()) return trammel::run_travel(travel_words);
  if (sheet->parsed()) return trammel::run_sheet(sheet_words);
  if (correct->parsed()) return trammel::run_correct(correct_words);
  if (make->parsed()) return trammel::run_make(make_words);
  if (settle->parsed()) return trammel::run_settle(settle_words);
  if (align->parsed()) return trammel::run_align(align_words);
  if (prove->parsed()) return trammel::run_prove(prove_words);
  if (page->parsed()) return trammel::run_page(page_words);
  if (start->parsed()) return trammel::run_start(start_words);
  return trammel::run_set(set_file, set_path, set_value);
}

}  // namespace

int main(int argc, char** argv) {
  try {
    const int status = run(argc, argv);
    // What did not arrive is no answer, whatever it would have said.
    if (std::cout.flush()) return status;
    std::cerr << "trammel: standard output takes no more, expected a file or terminal with room\n";
    return 2;
  } catch (const trammel::Bug& bug) {
    std::cerr << "trammel: " << bug.what() << "\n";
  } catch (const std::exception& error) {
    std::cerr << "trammel: " << error.what() << "\n";
  }
  return 3;
}
