#include "file/table_reader.h"
#include "base/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <unordered_set>

#include "base/plain_text.h"

namespace trammel {
namespace {

// Beyond these no number says anything of a car: twice its length, a full turn, its mass, ten times
// what the strongest rod end bears, a spring that stands for none at all. A ± is no finer than what
// a workshop can measure: a thousandth of a millimetre. In the unit of a bare number.
struct Plausible {
  double largest, finest;
};
constexpr Plausible plausible(Kind kind) {
  switch (kind) {
    case Kind::length:
      return {farthest_mm, 0.001};
    case Kind::angle:
      return {360.0, 0.0001};
    case Kind::mass:
      return {20000.0, 0.001};
    case Kind::force:
      return {1e6, 0.001};
    case Kind::spring_rate:
      return {1e7, 0.0001};
    case Kind::torque:
      return {1e4, 0.0001};
    case Kind::roll_rate:
      return {1e5, 0.0001};
    case Kind::ratio:
      return {1e4, 0.0001};
  }
  return {};
}
// What has to be above zero is at least that much of its ±.
constexpr double least_share = 0.01;

std::string kind_of(const Value& v) {
  switch (v.is.index()) {
    case 1:
      return "true or false";
    case 2:
    case 3:
      return "a number";
    case 4:
      return "a text";
    case 5:
      return "a list";
    case 6:
      return "a table";
    default:
      return "a date";
  }
}

}  // namespace

TableReader::TableReader(const Value& value, std::string path, std::vector<Fault>& faults)
    : empty_{Table{}, value.line, value.begin, value.end},
      value_(value.table() ? value : empty_),
      path_(std::move(path)),
      faults_(faults) {
  if (!value.table())
    fault(value.line, fmt::format("is {}, expected a table such as [{}]", kind_of(value), path_));
}

void TableReader::fault(int line, std::string what) {
  faults_.push_back({line, path_.empty() ? std::move(what) : fmt::format("{}: {}", path_, what)});
}

void TableReader::fault_at(std::string_view key, std::string what) {
  int line = value_.line;
  if (const auto* t = value_.table())
    for (const auto& e : *t)
      if (e.key == key) line = e.line;
  faults_.push_back({line, fmt::format("{}{}{}: {}", path_, path_.empty() ? "" : ".", key, what)});
}

const Value* TableReader::child(std::string_view key) {
  known_.emplace_back(key);
  return value_.find(key);
}

const Value* TableReader::asked(std::string_view key, Need need, std::string_view expected) {
  const Value* v = child(key);
  if (!v && need == Need::required) {
    fault(value_.line, fmt::format("'{}' is missing, expected {}", key, expected));
    faults_.back().missing = fmt::format("{}.{}", path_, key);
  }
  return v;
}

std::optional<Quantity> TableReader::quantity_of(const Value& value, const std::string& where,
                                                 Kind kind) {
  const auto bad = [&](std::string what) -> std::optional<Quantity> {
    faults_.push_back({value.line, fmt::format("{}: {}", where, what)});
    return {};
  };
  const auto limits = plausible(kind);
  const double unit = from_bare(1.0, kind);
  const auto sensible = [&](const Quantity& q) -> std::optional<Quantity> {
    if (std::fabs(q.value) > limits.largest * unit)
      return bad(fmt::format("{} is {}beyond anything of a car, expected {}",
                             shortest(q.value / unit),
                             kind == Kind::length ? "more than 10 m and " : "", example_of(kind)));
    if (q.sigma && *q.sigma < limits.finest * unit)
      return bad(fmt::format("has a ± of {}, finer than anything is measured, expected {} or more",
                             shortest(*q.sigma / unit), shortest(limits.finest)));
    if (q.sigma && *q.sigma > limits.largest * unit)
      return bad(fmt::format("has a ± of {}, beyond anything of a car", shortest(*q.sigma / unit)));
    return q;
  };
  if (const auto n = value.number()) {
    if (!std::isfinite(*n))
      return bad(fmt::format("is not a number, expected {}", example_of(kind)));
    return sensible({from_bare(*n, kind), {}});
  }
  if (const auto* s = value.string()) {
    auto q = read_quantity(*s, kind);
    if (auto* why = std::get_if<NotAQuantity>(&q)) return bad(why->why);
    return sensible(std::get<Quantity>(q));
  }
  return bad(fmt::format("is {}, expected {}", kind_of(value), example_of(kind)));
}

std::optional<Quantity> TableReader::quantity(std::string_view key, Kind kind, Need need) {
  const Value* v = asked(key, need, example_of(kind));
  if (!v) return {};
  return quantity_of(*v, fmt::format("{}{}{}", path_, path_.empty() ? "" : ".", key), kind);
}

std::optional<double> TableReader::number(std::string_view key, Kind kind, Need need) {
  if (const auto q = quantity(key, kind, need)) return q->value;
  return {};
}

std::optional<double> TableReader::above_zero(std::string_view key, Kind kind, Need need) {
  const auto n = number(key, kind, need);
  if (n && !(*n > 0.0)) {
    fault_at(key, "is not above zero, expected " + std::string(example_of(kind)));
    return {};
  }
  if (n && *n < least_share * plausible(kind).finest * from_bare(1.0, kind)) {
    fault_at(key, "is next to nothing, expected " + std::string(example_of(kind)));
    return {};
  }
  return n;
}

std::optional<PointRead> TableReader::point(std::string_view key, double default_sigma_mm,
                                            Need need) {
  const Value* v = asked(key, need, "a point [x, y, z] in mm");
  if (!v) return {};
  const auto where = fmt::format("{}.{}", path_, key);
  const auto* items = v->array();
  if (!items) {
    fault_at(key, fmt::format("is {}, expected a point [x, y, z] in mm", kind_of(*v)));
    return {};
  }
  if (items->size() != 3) {
    fault_at(key, fmt::format("has {} number{} where three belong, expected [x, y, z] in mm",
                              items->size(), items->size() == 1 ? "" : "s"));
    return {};
  }
  PointRead p;
  bool good = true;
  for (int i = 0; i < 3; ++i) {
    const auto& item = (*items)[static_cast<std::size_t>(i)];
    const auto q = quantity_of(item, fmt::format("{}[{}]", where, i), Kind::length);
    if (!q) {
      good = false;
      continue;
    }
    if (std::fabs(q->value) > farthest_mm) {
      faults_.push_back(
          {item.line,
           fmt::format("{}[{}]: is more than 10 m from the front axle, expected mm", where, i)});
      good = false;
    }
    p.at_mm[i] = q->value;
    p.sigma_mm[i] = q->sigma.value_or(default_sigma_mm);
  }
  if (!good) return {};
  return p;
}

std::optional<Vec3<double>> TableReader::direction(std::string_view key, Need need) {
  const Value* v = asked(key, need, "a direction [x, y, z]");
  if (!v) return {};
  const auto* items = v->array();
  Vec3<double> d;
  bool good = items && items->size() == 3;
  for (int i = 0; good && i < 3; ++i) {
    const auto n = (*items)[static_cast<std::size_t>(i)].number();
    good = n && std::isfinite(*n) && std::fabs(*n) < 1e6;
    if (good) d[i] = *n;
  }
  if (!good || !(length(d) > 1e-6)) {
    fault_at(key, "is not a direction, expected three numbers such as [0, 0, -1]");
    return {};
  }
  return unit(d);
}

std::optional<std::string> TableReader::text(std::string_view key, Need need) {
  const Value* v = asked(key, need, "a text in quotes");
  if (!v) return {};
  if (const auto* s = v->string()) return *s;
  fault_at(key, fmt::format("is {}, expected a text in quotes", kind_of(*v)));
  return {};
}

std::optional<bool> TableReader::flag(std::string_view key) {
  const Value* v = child(key);
  if (!v) return {};
  if (const auto* b = std::get_if<bool>(&v->is)) return *b;
  fault_at(key, fmt::format("is {}, expected true or false", kind_of(*v)));
  return {};
}

std::optional<std::vector<double>> TableReader::list(std::string_view key, Kind kind) {
  const Value* v = child(key);
  if (!v) return {};
  const auto* items = v->array();
  if (!items) {
    fault_at(key, fmt::format("is {}, expected a list of lengths such as [5, 10]", kind_of(*v)));
    return {};
  }
  std::vector<double> numbers;
  for (std::size_t i = 0; i < items->size(); ++i) {
    const auto q = quantity_of((*items)[i], fmt::format("{}.{}[{}]", path_, key, i), kind);
    if (!q) return {};
    numbers.push_back(q->value);
  }
  return numbers;
}

std::optional<std::vector<Quantity>> TableReader::quantities(std::string_view key, Kind kind,
                                                             Need need) {
  const Value* v = asked(key, need, example_of(kind));
  if (!v) return {};
  const auto where = fmt::format("{}{}{}", path_, path_.empty() ? "" : ".", key);
  if (!v->array()) {
    const auto one = quantity_of(*v, where, kind);
    if (!one) return {};
    return std::vector<Quantity>{*one};
  }
  if (v->array()->empty()) {
    fault_at(key, fmt::format("is an empty list, expected {}", example_of(kind)));
    return {};
  }
  std::vector<Quantity> all;
  bool good = true;
  for (std::size_t i = 0; i < v->array()->size(); ++i) {
    const auto q = quantity_of((*v->array())[i], fmt::format("{}[{}]", where, i), kind);
    good = good && q.has_value();
    if (q) all.push_back(*q);
  }
  if (!good) return {};
  return all;
}

std::optional<std::array<double, 2>> TableReader::range(std::string_view key, Kind kind,
                                                        Need need) {
  const Value* v = asked(key, need, "two limits [from, to]");
  if (!v) return {};
  if (!v->array()) {
    fault_at(key, fmt::format("is {}, expected two limits [from, to]", kind_of(*v)));
    return {};
  }
  const auto numbers = list(key, kind);
  if (!numbers) return {};
  if (numbers->size() != 2) {
    fault_at(key, fmt::format("has {} number{} where two belong, expected [from, to]",
                              numbers->size(), numbers->size() == 1 ? "" : "s"));
    return {};
  }
  if (!((*numbers)[0] <= (*numbers)[1])) {
    fault_at(key, "runs downwards, expected the lower limit first");
    return {};
  }
  return std::array<double, 2>{(*numbers)[0], (*numbers)[1]};
}

void TableReader::close() {
  std::vector<std::string> unique;
  std::unordered_set<std::string_view> dealt_with(passed_over_.begin(), passed_over_.end());
  for (const auto& k : known_)
    if (dealt_with.insert(k).second) unique.push_back(k);
  std::unordered_set<std::string> cleared;
  for (const auto& entry : *value_.table()) {
    if (dealt_with.contains(entry.key)) continue;
    if (!path_.empty() && (entry.key == "reading" || entry.key == "option" || entry.key == "job")) {
      fault(entry.line, fmt::format("'{0}' belongs to the file as a whole, expected it above the "
                                    "first [table], or as rows of [[{0}]]",
                                    entry.key));
      continue;
    }
    const auto near = nearest_word(entry.key, unique);
    // A misspelt key is one slip: that the right one is missing need not be said too.
    const auto missing = fmt::format("{}.{}", path_, near);
    if (!near.empty() && !has(near) && cleared.insert(near).second)
      std::erase_if(faults_, [&](const Fault& f) { return f.missing == missing; });
    auto what = near.empty()
                    ? fmt::format("'{}' is not known here, expected one of {}", in_short(entry.key),
                                  listed(unique, "or"))
                    : fmt::format("'{}' is not known here, did you mean '{}'? (expected one of {})",
                                  in_short(entry.key), near, listed(unique, "or"));
    fault(entry.line, std::move(what));
  }
}

}  // namespace trammel
