#include "cli/commands.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <ctime>
#include <filesystem>
#include <iostream>

#include "base/plain_text.h"
#include "cli/files.h"
#include "cli/opened_car.h"
#include "correct/advice.h"
#include "correct/correct.h"
#include "correct/reasons.h"
#include "file/edit.h"
#include "file/tell.h"
#include "file/wishes.h"
#include "make/tell.h"
#include "measure/entry.h"
#include "measure/tell.h"
#include "sheet/blank_sheets.h"
#include "sheet/sheet.h"
#include "told/html.h"
#include "told/text.h"
#include "travel/freedom.h"
#include "travel/reasons.h"
#include "travel/tell.h"
#include "wire/check_json.h"
#include "wire/correct_json.h"
#include "wire/measure_json.h"
#include "wire/travel_json.h"

namespace trammel {
namespace {

constexpr double farthest_travel_mm = 1000.0;
constexpr std::size_t most_positions = 10000;
constexpr int band_samples = 2000;

// One quantity typed as an option.
std::optional<double> typed(const std::string& option, const std::string& text, Kind kind,
                            double limit, std::string& why) {
  const auto q = read_quantity(text, kind);
  if (const auto* bad = std::get_if<NotAQuantity>(&q)) {
    why = fmt::format("{}: {}", option, bad->why);
    return {};
  }
  const double value = std::get<Quantity>(q).value;
  if (std::fabs(value) > limit) {
    why = fmt::format("{}: '{}' is farther than any suspension goes", option, text);
    return {};
  }
  return value;
}

std::vector<std::string> split(const std::string& text, char at) {
  std::vector<std::string> parts;
  std::size_t from = 0;
  for (;;) {
    const auto stop = text.find(at, from);
    parts.push_back(text.substr(from, stop - from));
    if (stop == std::string::npos) return parts;
    from = stop + 1;
  }
}

// "-60,-30,0" or "-60:60:5".
std::optional<std::vector<double>> typed_travels(const std::string& text, std::string& why) {
  std::vector<double> travels;
  for (const auto& part : split(text, ',')) {
    const auto ends = split(part, ':');
    std::vector<double> n;
    for (const auto& end : ends) {
      const auto x = typed("--travel", end, Kind::length, farthest_travel_mm, why);
      if (!x) return {};
      n.push_back(*x);
    }
    if (n.size() == 1) {
      travels.push_back(n[0]);
    } else if (n.size() == 3 && n[2] > 0.0 && n[0] <= n[1] &&
               (n[1] - n[0]) / n[2] < static_cast<double>(most_positions)) {
      const auto steps = static_cast<int>(std::floor((n[1] - n[0]) / n[2] + 1e-9));
      for (int i = 0; i <= steps; ++i) travels.push_back(n[0] + i * n[2]);
    } else {
      why =
          fmt::format("--travel: '{}' is no range, expected FROM:TO:STEP such as -60:60:10", part);
      return {};
    }
  }
  if (travels.size() > most_positions) {
    why = fmt::format("--travel: more than {} positions", most_positions);
    return {};
  }
  return travels;
}

// The axle asked for, or the only one there is.
std::optional<AxleName> typed_axle(const std::string& text, const Car& car, const std::string& file,
                                   std::string& why) {
  std::optional<AxleName> axle;
  if (text == "front") axle = AxleName::front;
  else if (text == "rear") axle = AxleName::rear;
  else if (!car.at(AxleName::rear)) axle = AxleName::front;
  else if (!car.at(AxleName::front)) axle = AxleName::rear;
  if (!axle) {
    why = "say which axle: --axle front or --axle rear";
  } else if (!car.at(*axle)) {
    why = fmt::format("{} describes no {} axle", file, word(*axle));
    axle.reset();
  }
  return axle;
}

int travel_overview(const TravelWords& words, Worked& worked) {
  const auto& wishes = worked.wishes();
  const Car& car = worked.car();
  std::array<std::array<double, 2>, 2> windows{};
  for (std::size_t i = 0; i < 2; ++i)
    windows[i] = wishes.target[i].window_mm.value_or(usual_window_mm);
  const auto axles = overview(car, windows);
  if (!axles.value) {
    complain(words.common.file, {{0, trammel::words(axles.why, words.common.units)}});
    return no_answer;
  }
  std::cout << name_line(car)
            << told(tell(car, *axles.value, worked.adjusted().spread, words.common.units), worked,
                    words.common);
  return 0;
}

// Only a sheet is written over, never somebody's file.
bool may_write_sheet(const std::string& out) {
  if (out == "-" || !std::filesystem::exists(out)) return true;
  const auto there = read_file(out);
  if (there.text && there.text->find(sheet_mark) != std::string::npos) return true;
  complain(out, {{0, "is there and is no sheet, expected another name (--out FILE)"}});
  return false;
}

TitleBlock title_of(const std::filesystem::path& file, const Car& car, SheetKind kind) {
  std::array<char, 16> date{};
  const std::time_t now = std::time(nullptr);
  std::strftime(date.data(), date.size(), "%Y-%m-%d", std::localtime(&now));
  return {car.name.empty() ? file.stem().string() : car.name, date.data(), file.filename().string(),
          car.demo, kind};
}

int write_sheet(const std::string& out, const std::string& html, const char* what) {
  if (out == "-") {
    std::cout << html;
    return 0;
  }
  if (const auto failed = write_file(out, html); !failed.empty()) {
    complain(out, {{0, failed}});
    return bad_input;
  }
  std::cout << fmt::format("{} in {}: open it in a browser and print it.\n", what, printable(out));
  return 0;
}

int run_blank(const MeasureWords& words) {
  int status = 0;
  const auto opened = surveyed_car(words.common.file, status);
  if (!opened) return status;
  const Car& car = opened->worked->car();
  const std::filesystem::path file(words.common.file);
  const std::string out = words.out.empty() ? file.stem().string() + "-blank.html" : words.out;
  if (!may_write_sheet(out)) return bad_input;
  return write_sheet(
      out, as_html(title_of(file, car, SheetKind::blank), blank_sheets(car, words.common.units)),
      "The survey sheets are");
}

}  // namespace

int run_check(const CommonWords& words) {
  const auto loaded = load(words.file);
  if (!loaded) return bad_input;
  if (words.json) {
    std::cout << to_json(loaded->car).dump(2) << "\n";
    return 0;
  }
  const auto& survey = loaded->tables.survey;
  auto section = tell(loaded->car, loaded->tables.wishes, survey, words.units);
  const auto adjusted = adjust(loaded->car, survey);
  const auto asked =
      adjusted.value ? adjusted.value->asked : questions_of_readings(loaded->car, survey);
  for (const auto& q : trammel::words(asked, words.units))
    section.blocks.emplace_back(Paragraph{"Look again: " + q});
  std::cout << as_text(section);
  return 0;
}

int run_measure(const MeasureWords& words) {
  int status = 0;
  if (words.blank) return run_blank(words);
  const auto opened = surveyed_car(words.common.file, status);
  if (!opened) return status;
  auto& worked = *opened->worked;
  const Car& car = worked.car();
  const auto what = words.narrow == "bump_steer"    ? NarrowWhat::bump_steer
                    : words.narrow == "roll_centre" ? NarrowWhat::roll_centre
                                                    : NarrowWhat::chance;
  std::vector<Advices> advices;
  if (worked.stands().value) {
    worked.watch(opened->progress.teller("what to measure next"));
    advices = worked.advices(what);
  }
  opened->progress.clear();
  if (words.common.json) {
    auto j = to_json(worked.adjusted());
    j["next"] = to_json(advices);
    std::cout << j.dump(2) << "\n";
    return 0;
  }
  std::cout << name_line(car)
            << (words.common.working || words.every_reading
                    ? as_text(tell(worked.adjusted(), words.common.units, words.every_reading))
                    : brief_text(tell(worked.adjusted(), words.common.units, false)))
            << "\n"
            << told(tell(advices, what, words.common.units), words.common);
  return 0;
}

int run_travel(const TravelWords& words) {
  int status = 0;
  const bool details = !words.axle.empty() || !words.side.empty() || !words.state.empty() ||
                       !words.travel.empty() || !words.rack.empty() || !words.roll.empty();
  if (!details && !words.common.json) {
    const auto opened = surveyed_car(words.common.file, status);
    return opened ? travel_overview(words, *opened->worked) : status;
  }
  const auto opened = standing_car(words.common, words.state, "", status);
  if (!opened) return status;
  auto& worked = *opened->worked;
  const Car& car = worked.car();
  std::string why;
  const auto axle = typed_axle(words.axle, car, words.common.file, why);
  if (!axle) return misused(why);
  Ask ask;
  if (words.travel.empty()) {
    for (int t = -60; t <= 60; t += 10) ask.travel_mm.push_back(t);
  } else if (auto travels = typed_travels(words.travel, why)) {
    ask.travel_mm = std::move(*travels);
  } else {
    return misused(why);
  }
  if (!words.rack.empty()) {
    const auto rack = typed("--rack", words.rack, Kind::length, farthest_travel_mm, why);
    if (!rack) return misused(why);
    if (!car.at(*axle)->layout.steered())
      return misused(fmt::format("--rack: the {} axle has no steered rod", word(*axle)));
    ask.rack_mm = *rack;
  }
  if (!words.roll.empty()) {
    const auto roll = typed("--roll", words.roll, Kind::angle, 0.8, why);
    if (!roll) return misused(why);
    ask.roll_rad = *roll;
  }

  const auto& stands = worked.stands();
  const auto swept = sweep(*stands.value, *axle, ask);
  // Of rolled positions there are none: the two wheels' travels differ from car to car.
  const auto banded = ask.roll_rad != 0.0
                          ? Bands{}
                          : bands(*stands.value, worked.adjusted().spread, *axle,
                                  {ask.travel_mm, told_bands(), ask.rack_mm, band_samples, 1});
  std::vector<Side> sides{Side::left, Side::right};
  if (words.side == "left") sides = {Side::left};
  if (words.side == "right") sides = {Side::right};
  if (words.common.json) {
    std::cout << to_json(swept, banded, sides.front(), car.at(*axle)->layout).dump(2) << "\n";
  } else {
    std::cout << name_line(car)
              << told(tell(car, swept, banded, sides, words.common.units), worked, words.common);
  }
  status = 0;
  const auto sides_told = words.common.json ? std::vector<Side>{sides.front()} : sides;
  for (const auto& p : swept.positions)
    for (const Side side : sides_told)
      if (const auto& l = p.locked[static_cast<std::size_t>(side)]) {
        if (words.common.json)
          complain(words.common.file, {{0, trammel::words(*l, words.common.units)}});
        status = no_answer;
      }
  return status;
}

int run_correct(const CorrectWords& words) {
  int status = 0;
  const auto opened = standing_car(words.common, words.state, "both axles", status);
  if (!opened) return status;
  auto& worked = *opened->worked;
  const Car& car = worked.car();
  const auto& wishes = worked.wishes();
  const auto& stands = worked.stands();
  const auto no = [&](const std::string& reason) {
    complain(words.common.file, {{0, reason}});
    return no_answer;
  };
  if (!words.axle.empty()) {
    std::string why;
    const auto axle = typed_axle(words.axle, car, words.common.file, why);
    if (!axle) return misused(why);
    worked.watch(opened->progress.teller(word(*axle)));
    const auto& c = worked.correction(*axle);
    if (!c.value) return no(trammel::words(c.why, words.common.units));
    if (!c.value->ranking.best())
      return no(fmt::format(
          "none of the {} combinations is possible: {}", c.value->ranking.candidates.size(),
          trammel::words(c.value->ranking.candidates.front().why, words.common.units)));
    if (words.common.json) {
      std::cout << to_json(*c.value).dump(2) << "\n";
      return 0;
    }
    Correction one;
    one.axle[static_cast<std::size_t>(*axle)] = *c.value;
    auto section = tell(*stands.value, one, words.common.units);
    section.answer +=
        " " + strength_words(make(*stands.value, one, wishes, worked.file().tables.workshop), *axle,
                             words.common.units);
    std::cout << told(std::move(section), worked, words.common);
    return 0;
  }
  const auto& both = worked.correction();
  if (!both.axle[0] && !both.axle[1])
    return no(trammel::words(both.why[0] ? *both.why[0] : *both.why[1], words.common.units));
  if (words.common.json) {
    // By axle; one that has no answer says why.
    nlohmann::ordered_json j;
    for (const AxleName a : each_axle) {
      const auto i = static_cast<std::size_t>(a);
      if (both.axle[i]) j[word(a)] = to_json(*both.axle[i]);
      else if (both.why[i]) j[word(a)] = {{"why", trammel::words(*both.why[i], Units::metric)}};
    }
    std::cout << j.dump(2) << "\n";
    return 0;
  }
  auto section = tell(*stands.value, both, words.common.units);
  section.answer += " " + strength_words(worked.making(), words.common.units);
  std::cout << name_line(car) << told(std::move(section), worked, words.common);
  const auto possible = [](const auto& c) { return c && c->ranking.best(); };
  return possible(both.axle[0]) || possible(both.axle[1]) ? 0 : no_answer;
}

int run_sheet(const SheetWords& words) {
  int status = 0;
  const auto opened = standing_car(words.common, "", "sheet", status);
  if (!opened) return status;
  auto& worked = *opened->worked;
  const std::filesystem::path file(words.common.file);
  const std::string out = words.out.empty() ? file.stem().string() + "-sheet.html" : words.out;
  if (!may_write_sheet(out)) return bad_input;
  const auto sections = build_sheet(worked, words.common.units);
  if (!sections.value) {
    complain(words.common.file, {{0, sections.why}});
    return no_answer;
  }
  return write_sheet(out, as_html(title_of(file, worked.car(), SheetKind::build), *sections.value),
                     "The build sheet is");
}

int run_set(const std::string& file, const std::string& path, const std::string& value) {
  // From reading to written: of two edits at once neither is lost.
  HeldFile held(file);
  if (!held.read().text) {
    complain(file, {{0, held.read().why}});
    return bad_input;
  }
  const auto before = parse(*held.read().text);
  if (!before.value) {
    complain(file, before.faults);
    return bad_input;
  }
  const auto toml = as_toml(value);
  Read<Document> kept{*before.value, {}};
  for (const AxleName axle : {AxleName::front, AxleName::rear})
    if (kept.value && path.starts_with(std::string(word(axle)) + ".chosen"))
      kept = chosen_written_out(*before.value, axle);
  const auto after = kept.value ? put(*kept.value, path, toml) : kept;
  if (!after.value) {
    complain(file, after.faults);
    return bad_input;
  }
  // What was at fault before may stay so; nothing new may come.
  if (const auto faults = new_faults(*before.value, *after.value); !faults.empty()) {
    complain(file, faults);
    return bad_input;
  }
  if (const auto failed = held.replace(after.value->text); !failed.empty()) {
    complain(file, {{0, failed}});
    return bad_input;
  }
  std::cout << printable(
                   fmt::format("{}:{}: {} = {}", file, at(*after.value, path)->line, path, toml))
            << "\n";
  return 0;
}

}  // namespace trammel
