#include "measure/entry.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "file/wishes.h"
#include "measure/network.h"
#include "measure/slips.h"
#include "measure/tell.h"
#include "travel/freedom.h"

namespace trammel {
namespace {

constexpr double usual_symmetry_mm = 2.0;  // where the file does not say (common practice)

using Keys = std::vector<std::pair<std::string, std::string>>;

Read<Document> fault(std::string what) { return {{}, {{0, std::move(what)}}}; }

// Names that stand in the file.
std::set<std::string> names_of(const Document& document) {
  std::set<std::string> names;
  const Value* rows = document.root.find("reading");
  if (rows && rows->array())
    for (const auto& row : *rows->array())
      if (const Value* name = row.find("name"); name && name->string())
        names.insert(*name->string());
  return names;
}

// "FL12", then "FL12 again", "FL12 again 3".
std::string free_name(const Document& document, const std::string& number) {
  const auto names = names_of(document);
  if (!names.contains(number)) return number;
  auto name = number + " again";
  for (int i = 3; names.contains(name); ++i) name = fmt::format("{} again {}", number, i);
  return name;
}

// What is wrong with a text as a quantity, or nothing.
std::optional<std::string> wrong(const std::string& text, Kind kind) {
  const auto q = read_quantity(text, kind);
  if (const auto* not_one = std::get_if<NotAQuantity>(&q)) return not_one->why;
  return {};
}

bool above_zero(const std::string& text, Kind kind) {
  const auto q = read_quantity(text, kind);
  const auto* is = std::get_if<Quantity>(&q);
  return is && is->value > 0.0;
}

// A number of a list, which the file writes bare: mm.
std::string bare_mm(const std::string& text) {
  const auto q = std::get<Quantity>(read_quantity(text, Kind::length));
  return shortest(std::round(q.value * 1e4) / 1e4);
}

std::string wheel_key(const Spot& s) { return fmt::format("{}.{}", word(s.axle), word(s.side)); }

Read<Document> floor_spot(const Document& document, const Card& card, const std::string& typed) {
  const auto height = bare_mm(typed);
  const Value* floor = at(document, "survey.floor");
  for (std::size_t i = 0; floor && floor->array() && i < floor->array()->size(); ++i) {
    const auto* spot = (*floor->array())[i].array();
    if (!spot || spot->size() != 3) continue;
    const auto x = (*spot)[0].number(), y = (*spot)[1].number();
    if (x && y && std::fabs(*x - card.at_mm[0]) < 1.0 && std::fabs(*y - card.at_mm[1]) < 1.0)
      return edit(document, fmt::format("survey.floor[{}][2]", i), height);
  }
  return append(
      document, "survey.floor",
      fmt::format("[{}, {}, {}]", shortest(card.at_mm[0]), shortest(card.at_mm[1]), height));
}

// What is chosen for an axle as a run writes it: `{ "rod-end stack" = 15 }`; empty: nothing is.
std::string sizes_chosen(const Document& document, AxleName axle) {
  const auto car = read_car(document);
  if (!car.value) return {};
  const auto wishes = read_wishes(document, *car.value);
  const auto& chosen = wishes.chosen[static_cast<std::size_t>(axle)];
  return chosen && wishes.faults.empty() ? chosen_toml(*chosen, wishes.options) : std::string();
}

// The key that says what was read, and of what.
std::pair<std::string, std::string> about(const Card& card, const Car& car) {
  const auto spot = [&](const Spot& s) { return in_quotes(spot_words(s, car, {})); };
  switch (card.kind) {
    case CardKind::height:
      return {"height", spot(card.spot)};
    case CardKind::mark:
      return {"mark", spot(card.spot)};
    case CardKind::slope:
      return {"slope", fmt::format("[{}, {}]", spot(card.spot), spot(card.other))};
    case CardKind::distance:
      return {"distance", fmt::format("[{}, {}]", spot(card.spot), spot(card.other))};
    case CardKind::camber:
      return {"camber", in_quotes(wheel_key(card.spot))};
    case CardKind::toe:
      return {"toe", in_quotes(wheel_key(card.spot))};
    case CardKind::ride_height:
      return {"ride_height", in_quotes(wheel_key(card.spot))};
    case CardKind::baseline:
    case CardKind::floor:
      break;
  }
  return {};
}

}  // namespace

std::optional<Fault> wrong_typed(const std::vector<CardField>& fields, const TypedCard& typed) {
  const auto of = [](std::size_t i, std::string what) {
    return Fault{0, std::move(what), {}, static_cast<int>(i)};
  };
  bool any = false;
  for (std::size_t i = 0; i < fields.size(); ++i) {
    const auto& f = fields[i];
    const std::string text = i < typed.values.size() ? typed.values[i] : "";
    if (text.empty()) {
      if (f.needed)
        return of(i,
                  fmt::format("{}: nothing was entered, expected {}", f.label, example_of(f.kind)));
      continue;
    }
    if (const auto why = wrong(text, f.kind)) return of(i, fmt::format("{}: {}", f.label, *why));
    any = any || f.key != "inboard";
  }
  if (!any) return of(0, fmt::format("nothing was entered, expected {}", fields[0].label));
  if (typed.sigma.empty()) return {};
  const Kind kind = fields[0].kind;
  if (const auto why = wrong(typed.sigma, kind)) return Fault{0, "±: " + *why};
  if (!above_zero(typed.sigma, kind))
    return Fault{0, "±: is not above zero, expected one standard uncertainty"};
  return {};
}

Read<Document> entered(const Document& document, const Car& car, const Card& card,
                       const TypedCard& typed) {
  if (auto bad = wrong_typed(card.fields, typed)) return {{}, {std::move(*bad)}};
  if (card.kind == CardKind::baseline)
    return put(document, "survey.baseline",
               typed.sigma.empty()
                   ? as_toml(typed.values[0])
                   : in_quotes(fmt::format("{} ± {}", typed.values[0], typed.sigma)));
  if (card.kind == CardKind::floor) return floor_spot(document, card, typed.values[0]);

  Keys keys{{"name", in_quotes(free_name(document, card.number))}, about(card, car)};
  std::string edges;
  for (std::size_t i = 0; i < card.fields.size() && i < typed.values.size(); ++i) {
    const auto& f = card.fields[i];
    if (typed.values[i].empty()) continue;
    const auto value = as_toml(typed.values[i]);
    if (f.key.starts_with("edges")) {
      edges += (edges.empty() ? "[" : ", ") + value;
      if (f.key == "edges[1]") keys.emplace_back("edges", edges + "]");
    } else {
      keys.emplace_back(f.key, value);
    }
  }
  const char* sigma = card.kind == CardKind::toe ? "edge_sigma" : "sigma";
  if (!typed.sigma.empty()) keys.emplace_back(sigma, as_toml(typed.sigma));
  else if (card.own_sigma) keys.emplace_back(sigma, shortest(card.sigma));
  return add_row(document, "reading", keys);
}

Read<Document> entered(const Document& document, const TypedGauge& typed) {
  struct Asked {
    const char* label;
    const std::string& text;
    bool needed;
  };
  const Value* rows = document.root.find("reading");
  std::optional<std::size_t> run;
  bool third = !typed.drop.empty();
  for (std::size_t i = 0; rows && rows->array() && i < rows->array()->size(); ++i) {
    const Value* name = (*rows->array())[i].find("name");
    if (typed.name.empty() || !name || !name->string() || *name->string() != typed.name) continue;
    run = i;
    third = (*rows->array())[i].find("drop") != nullptr;
  }
  if (!typed.name.empty() && !run)
    return fault(fmt::format("the file has no gauge run '{}' any more", typed.name));
  for (const auto& [label, text, needed] :
       {Asked{"travel", typed.row.travel, true}, Asked{"front dial", typed.row.front, true},
        Asked{"rear dial", typed.row.rear, true}, Asked{"low dial", typed.row.low, third},
        Asked{"base", typed.base, !run}, Asked{"drop", typed.drop, false}}) {
    if (text.empty()) {
      if (needed) return fault(fmt::format("{}: nothing was entered, expected mm", label));
    } else if (const auto why = wrong(text, Kind::length)) {
      return fault(fmt::format("{}: {}", label, *why));
    }
  }
  auto row = fmt::format("[{}, {}, {}", bare_mm(typed.row.travel), bare_mm(typed.row.front),
                         bare_mm(typed.row.rear));
  row += third ? ", " + bare_mm(typed.row.low) + "]" : "]";
  if (run) return append(document, fmt::format("reading[{}].rows", *run), row);
  Spot wheel;
  wheel.axle = typed.axle;
  wheel.side = typed.side;
  const auto name = free_name(document, "gauge " + corner_words(typed.axle, typed.side) +
                                            (typed.with.empty() ? "" : ", parts fitted"));
  Keys keys{{"name", in_quotes(name)},
            {"gauge", in_quotes(wheel_key(wheel))},
            {"base", as_toml(typed.base)}};
  if (third) keys.emplace_back("drop", as_toml(typed.drop));
  if (!typed.with.empty()) {
    // Parts chosen on another day do not change what this run was made with.
    const auto sizes = typed.with == "\"chosen\"" ? sizes_chosen(document, typed.axle) : typed.with;
    keys.emplace_back("with", sizes.empty() ? typed.with : sizes);
  }
  keys.emplace_back("rows", "[" + row + "]");
  return add_row(document, "reading", keys);
}

Read<Document> chosen_written_out(const Document& document, AxleName axle) {
  Read<Document> after{document, {}};
  const Value* rows = document.root.find("reading");
  if (!rows || !rows->array()) return after;
  std::string sizes;
  for (std::size_t i = 0; i < rows->array()->size() && after.value; ++i) {
    const Value* gauge = (*rows->array())[i].find("gauge");
    const Value* with = (*rows->array())[i].find("with");
    if (!gauge || !gauge->string() || !with || !with->string() || *with->string() != "chosen" ||
        !gauge->string()->starts_with(std::string(word(axle)) + "."))
      continue;
    if (sizes.empty()) sizes = sizes_chosen(document, axle);
    if (sizes.empty()) return after;
    after = edit(*after.value, fmt::format("reading[{}].with", i), sizes);
  }
  return after;
}

Read<Document> set_aside(const Document& document, const std::string& name, bool aside) {
  for (const char* list : {"reading", "alignment"}) {
    const Value* rows = document.root.find(list);
    for (std::size_t i = 0; rows && rows->array() && i < rows->array()->size(); ++i) {
      const Value* named = (*rows->array())[i].find("name");
      if (named && named->string() && *named->string() == name)
        return put(document, fmt::format("{}[{}].set_aside", list, i), aside ? "true" : "false");
    }
  }
  return fault(fmt::format("the file has no reading named '{}'", name));
}

std::optional<Expected> expected(const Survey& after, const Adjusted& known,
                                 const TakenReading& reading) {
  const Network net(known.car, after);
  const auto x = net.start();
  const auto told = net.tell(x, reading);
  if (!told) return {};
  // What is known of each unknown behind it: by the adjustment, through the other side, or the ±
  // that the file gives a circumstance.
  const auto& numbers = known.spread.numbers;
  std::vector<double> on(numbers.size(), 0.0);
  double variance = reading.sigma * reading.sigma;
  for (const auto& s : told->slopes) {
    const auto& u = net.unknowns()[static_cast<std::size_t>(s.unknown)];
    if (!u.of_car) {
      // What only this reading would tell, such as the height of an arch.
      if (!net.has_prior(s.unknown)) return {};
      const double sigma = net.prior_sigma(s.unknown);
      variance += s.per * s.per * sigma * sigma;
      continue;
    }
    bool found = false;
    for (std::size_t i = 0; i < numbers.size() && !found; ++i) {
      auto n = numbers[i];
      if (n == *u.of_car) {
        on[i] += s.per;
        found = true;
        continue;
      }
      // Both sides were one until this reading told them apart.
      if (!n.both_sides || n.axle != u.of_car->axle || n.of != u.of_car->of ||
          n.point != u.of_car->point || n.axis != u.of_car->axis)
        continue;
      const bool turned =
          u.of_car->side == Side::right && n.of == CarNumber::Of::coordinate && n.axis == 1;
      on[i] += turned ? -s.per : s.per;
      if (u.of_car->side == Side::right && n.of == CarNumber::Of::coordinate) {
        const double tie = s.per * after.symmetry_mm.value_or(usual_symmetry_mm);
        variance += tie * tie;
      }
      found = true;
    }
    if (!found && std::fabs(s.per) > 1e-9) return {};
  }
  for (std::size_t i = 0; i < on.size(); ++i)
    for (std::size_t j = 0; j < on.size(); ++j)
      if (on[i] != 0.0 && on[j] != 0.0)
        variance +=
            on[i] * on[j] * known.spread.covariance(static_cast<int>(i), static_cast<int>(j));
  return Expected{told->value, std::sqrt(variance)};
}

std::vector<std::string> surprises(const Survey& before, const Survey& after, const Adjusted& known,
                                   Units units) {
  std::set<std::string> old;
  for (const auto& r : before.readings) old.insert(r.name);
  std::vector<std::string> words;
  for (const auto& r : after.readings) {
    if (old.contains(r.name) || r.set_aside) continue;
    const auto e = expected(after, known, r);
    if (!e || std::fabs(r.value - e->value) <= surprises_above * e->sigma) continue;
    const auto said = [&](double v) { return reading_value(r.kind, v, units); };
    auto text = fmt::format("{} was entered. By everything so far it should be about {}: {} off.",
                            said(r.value), said(e->value), said(std::fabs(r.value - e->value)));
    const Network net(known.car, after);
    if (const auto slip = likely_slip(net, net.start(), known.car, after, r, e->value, e->sigma))
      text += fmt::format(" Perhaps {}: then it would be {}.", slip->what, said(slip->value));
    words.push_back(std::move(text));
  }
  // What looks like a slip by the file and its other readings alone.
  std::set<std::string> asked;
  for (auto& q : trammel::words(questions_of_readings(known.car, before), units))
    asked.insert(std::move(q));
  for (auto& q : trammel::words(questions_of_readings(known.car, after), units))
    if (!asked.contains(q)) words.push_back(std::move(q));
  return words;
}

}  // namespace trammel
