#include "file/wishes.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "base/words.h"
#include "file/read_axle.h"
#include "file/table_reader.h"

namespace trammel {
namespace {

constexpr std::size_t most_sizes = 200;  // of one option

Target read_target(const Value& value, const std::string& path, std::vector<Fault>& faults) {
  TableReader t(value, path, faults);
  Target target;
  target.window_mm = t.range("window", Kind::length, Need::optional);
  target.roll_centre_mm = t.range("roll_centre", Kind::length, Need::optional);
  target.camber_rad = t.range("camber", Kind::angle, Need::optional);
  target.caster_rad = t.range("caster", Kind::angle, Need::optional);
  target.toe_change_rad = t.above_zero("toe_change", Kind::angle, Need::optional);
  if (const Value* toe = t.child("toe"); toe && toe->array()) {
    target.toe_rad = t.range("toe", Kind::angle, Need::optional);
  } else if (const auto one = t.number("toe", Kind::angle, Need::optional)) {
    target.toe_rad = {*one, *one};
  }
  if (target.window_mm && ((*target.window_mm)[0] > 0.0 || (*target.window_mm)[1] < 0.0))
    t.fault_at("window",
               "does not hold ride height, expected [below zero, above zero] such as "
               "[-30, 40]");
  if (target.window_mm &&
      std::max(-(*target.window_mm)[0], (*target.window_mm)[1]) > farthest_window_mm)
    t.fault_at("window", fmt::format("is farther than any wheel goes ({} mm), expected the travel "
                                     "that matters, such as [-30, 40]",
                                     farthest_window_mm));
  t.close();
  return target;
}

void read_joint(TableReader& t, const Car& car, Option& option) {
  const auto joint = t.text("joint", Need::required);
  if (!joint) return;
  for (const AxleName name : {AxleName::front, AxleName::rear}) {
    if (!joint->starts_with(std::string(word(name)) + ".")) continue;
    option.axle = name;
    if (!car.at(name)) return;  // its own faults say why
    option.joint = joint_of(car.at(name)->layout, *joint);
    if (option.joint > 0) return;
    std::vector<std::string> names;
    for (const auto& p : car.at(name)->layout.points)
      names.push_back(fmt::format("{}.{}", word(name), p));
    const auto near = nearest_word(*joint, names);
    t.fault_at("joint", fmt::format("'{}' is no joint of this car, {}", *joint,
                                    near.empty() ? "expected one such as " + names.back()
                                                 : "did you mean '" + near + "'?"));
    return;
  }
  t.fault_at("joint", fmt::format("'{}' names no axle, expected a joint such as "
                                  "front.arm.lower.upright",
                                  *joint));
}

// Sizes of parts as somebody sells or turns them.
void on_the_shelf(TableReader& t, std::string_view key, const std::vector<double>& sizes_mm) {
  if (sizes_mm.size() > most_sizes)
    t.fault_at(key, fmt::format("has {} sizes, expected {} at most: those that are to be had",
                                sizes_mm.size(), most_sizes));
  for (const double size : sizes_mm)
    if (std::fabs(size) > farthest_part_mm) {
      t.fault_at(key, fmt::format("{} mm is more than a part moves a joint ({} mm), expected sizes "
                                  "such as [0, 10, 15]",
                                  shortest(size), farthest_part_mm));
      return;
    }
}

void read_choice(TableReader& t, Option& option, std::vector<Fault>& faults) {
  const int given = (t.has("sizes") ? 1 : 0) + (t.has("stack") ? 1 : 0) + (t.has("range") ? 1 : 0);
  if (given != 1) {
    t.fault(t.line(), fmt::format("has {} of 'sizes', 'stack' and 'range', expected exactly one of "
                                  "them",
                                  given == 0 ? "none" : "more than one"));
  }
  if (auto sizes = t.list("sizes", Kind::length)) {
    on_the_shelf(t, "sizes", *sizes);
    option.choice = OneOf{std::move(*sizes)};
  }
  if (auto stack = t.list("stack", Kind::length)) {
    on_the_shelf(t, "stack", *stack);
    option.choice = AnyOf{std::move(*stack)};
  }
  if (const Value* v = t.child("range")) {
    TableReader r(*v, t.path() + ".range", faults);
    MadeToMeasure made;
    const char* axes[] = {"x", "y", "z"};
    for (std::size_t i = 0; i < 3; ++i) {
      made.range_mm[i] = r.range(axes[i], Kind::length, Need::optional);
      if (const auto& range = made.range_mm[i];
          range && std::max(std::fabs((*range)[0]), std::fabs((*range)[1])) > farthest_part_mm)
        r.fault_at(axes[i], fmt::format("reaches farther than a bracket moves a joint ({} mm), "
                                        "expected limits such as [-40, 0]",
                                        farthest_part_mm));
    }
    r.close();
    if (!made.range_mm[0] && !made.range_mm[1] && !made.range_mm[2])
      t.fault_at("range", "leaves the joint where it is, expected limits such as { z = [-40, 0] }");
    option.choice = made;
  }
}

int made_directions(const Option& option) {
  const auto* made = std::get_if<MadeToMeasure>(&option.choice);
  if (!made) return 0;
  return static_cast<int>(std::count_if(made->range_mm.begin(), made->range_mm.end(),
                                        [](const auto& range) { return range.has_value(); }));
}

Option read_option(const Value& row, std::size_t index, const Car& car,
                   std::vector<Fault>& faults) {
  TableReader t(row, fmt::format("option[{}]", index), faults);
  Option option;
  option.line = row.line;
  option.name = t.text("name", Need::required).value_or("");
  read_joint(t, car, option);
  const Value* along = t.child("along");
  const bool by_axis = along && along->string() && *along->string() == "axis";
  if (along && !by_axis) {
    option.along = t.direction("along", Need::optional);
    if (along->string())
      t.fault_at("along", "besides a direction only \"axis\" (along the steering axis) is known");
  }
  if (!along && !t.has("range"))
    t.fault(t.line(),
            "'along' is missing, expected the direction the part moves the joint, such "
            "as [0, 0, -1]");
  if (const auto moves = t.text("moves", Need::optional)) {
    if (*moves == "upright") option.moves = Moves::upright;
    else if (*moves == "body") option.moves = Moves::body;
    else if (*moves == "member") option.moves = Moves::member;
    else
      t.fault_at("moves", fmt::format("'{}' is not known, expected \"upright\", \"body\" or "
                                      "\"member\"",
                                      *moves));
  }
  read_choice(t, option, faults);
  t.close();
  return option;
}

// Of one side or both: `key` of `t`, whose value is `v`.
SizeOrPlace read_size_or_place(TableReader& t, const Value& v, const std::string& key,
                               const Option& option, std::vector<Fault>& faults) {
  SizeOrPlace part;
  const auto* made = std::get_if<MadeToMeasure>(&option.choice);
  if (!made) {
    if (const auto size = t.number(key, Kind::length, Need::required)) {
      if (std::fabs(*size) > farthest_part_mm)
        t.fault_at(key, fmt::format("{} mm is more than a part moves a joint ({} mm)",
                                    shortest(*size), farthest_part_mm));
      part.size_mm = *size;
    }
    return part;
  }
  TableReader place(v, t.path() + "." + key_text(key), faults);
  const char* axes[] = {"x", "y", "z"};
  for (int i = 0; i < 3; ++i) {
    const auto& range = made->range_mm[static_cast<std::size_t>(i)];
    if (!range) continue;
    const auto by = place.number(axes[i], Kind::length, Need::optional);
    if (!by) continue;
    if (*by < (*range)[0] || *by > (*range)[1])
      place.fault_at(axes[i], fmt::format("lies outside the option's range, expected {} to {} mm",
                                          shortest((*range)[0]), shortest((*range)[1])));
    part.by_mm[i] = *by;
  }
  place.close();
  return part;
}

std::string part_toml(const Option& option, const SizeOrPlace& part) {
  const auto* made = std::get_if<MadeToMeasure>(&option.choice);
  if (!made) return shortest(part.size_mm);
  std::string toml;
  for (int i = 0; i < 3; ++i)
    if (made->range_mm[static_cast<std::size_t>(i)])
      toml += fmt::format("{}{} = {}", toml.empty() ? "{ " : ", ", "xyz"[i],
                          shortest(std::round(part.by_mm[i] * 100.0) / 100.0));
  return toml + " }";
}

}  // namespace

std::vector<Chosen> read_chosen(const Value& value, const std::string& path, AxleName axle,
                                const std::vector<Option>& options, std::vector<Fault>& faults) {
  TableReader t(value, path, faults);
  std::vector<Chosen> all;
  for (std::size_t k = 0; k < options.size(); ++k) {
    const auto& option = options[k];
    const auto& name = option.name;
    if (option.axle != axle || !t.child(name)) continue;
    Chosen chosen;
    chosen.option = k;
    const auto path_of = t.path() + "." + key_text(name);
    const Value& said = *t.child(name);
    if (said.find("left") || said.find("right")) {
      TableReader apart(said, path_of, faults);
      for (const Side side : each_side) {
        if (const Value* v = apart.child(word(side)))
          chosen.part[side] = read_size_or_place(apart, *v, word(side), option, faults);
        else
          apart.fault(apart.line(), fmt::format("says one side only, expected '{}' too: {{ left = "
                                                "..., right = ... }}, zero for none",
                                                word(side)));
      }
      apart.close();
    } else {
      chosen.part.left = chosen.part.right = read_size_or_place(t, said, name, option, faults);
    }
    all.push_back(chosen);
  }
  t.close();
  return all;
}

std::string chosen_toml(const Option& option, const Chosen& chosen) {
  const auto& [left, right] = chosen.part;
  if (left == right) return part_toml(option, left);
  return fmt::format("{{ left = {}, right = {} }}", part_toml(option, left),
                     part_toml(option, right));
}

std::string chosen_toml(const std::vector<Chosen>& all, const std::vector<Option>& options) {
  std::string toml;
  for (const auto& c : all)
    toml += fmt::format("{}{} = {}", toml.empty() ? "{ " : ", ", key_text(options[c.option].name),
                        chosen_toml(options[c.option], c));
  return toml.empty() ? "{}" : toml + " }";
}

Wishes read_wishes(const Document& document, const Car& car) {
  Wishes wishes;
  for (const AxleName name : {AxleName::front, AxleName::rear})
    if (const Value* axle = document.root.find(word(name)))
      if (const Value* target = axle->find("target"))
        wishes.target[static_cast<std::size_t>(name)] =
            read_target(*target, fmt::format("{}.target", word(name)), wishes.faults);
  const Value* rows = document.root.find("option");
  if (rows && !rows->array()) {
    wishes.faults.push_back({rows->line, "option: is not a list of rows, expected [[option]]"});
    return wishes;
  }
  std::map<std::string, int> lines;
  std::array<int, 2> made{};
  for (std::size_t i = 0; rows && i < rows->array()->size(); ++i) {
    auto option = read_option((*rows->array())[i], i, car, wishes.faults);
    const auto [taken, fresh] = lines.emplace(option.name, option.line);
    if (!option.name.empty() && !fresh)
      wishes.faults.push_back(
          {option.line, fmt::format("option[{}]: the name '{}' is taken by line "
                                    "{}, expected a name of its own",
                                    i, option.name, taken->second)});
    if (const int more = made_directions(option); more > 0) {
      auto& all = made[static_cast<std::size_t>(option.axle)];
      if (all <= most_made_directions && all + more > most_made_directions)
        wishes.faults.push_back(
            {option.line,
             fmt::format("option[{}]: with it the made-to-measure joints of the {} axle move in {} "
                         "directions, expected {} at most: leave a direction out of a 'range', or "
                         "give one of these options 'sizes' instead",
                         i, word(option.axle), all + more, most_made_directions)});
      all += more;
    }
    wishes.options.push_back(std::move(option));
  }
  for (const AxleName name : {AxleName::front, AxleName::rear})
    if (const Value* axle = document.root.find(word(name)))
      if (const Value* chosen = axle->find("chosen"))
        wishes.chosen[static_cast<std::size_t>(name)] = read_chosen(
            *chosen, fmt::format("{}.chosen", word(name)), name, wishes.options, wishes.faults);
  return wishes;
}

}  // namespace trammel
