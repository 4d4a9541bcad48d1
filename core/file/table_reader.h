// One table of a car file, read key by key: every fault is collected with its line, and keys that
// nobody asked for are reported with the nearest known one.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/quantity.h"
#include "base/vec.h"
#include "file/document.h"

namespace trammel {

enum class Need { required, optional };

inline constexpr double farthest_mm = 10000.0;  // of what is written about a car

struct PointRead {
  Vec3<double> at_mm;
  Vec3<double> sigma_mm;
};

class TableReader {
 public:
  // `value` should be a table; if it is not, that is the one fault and every key is absent.
  TableReader(const Value& value, std::string path, std::vector<Fault>& faults);

  const std::string& path() const { return path_; }
  int line() const { return value_.line; }
  bool has(std::string_view key) const { return value_.find(key) != nullptr; }

  // Each marks its key as known. Nothing comes back where the key is absent or at fault.
  std::optional<Quantity> quantity(std::string_view key, Kind kind, Need need);
  std::optional<double> number(std::string_view key, Kind kind, Need need);  // its value alone
  std::optional<double> above_zero(std::string_view key, Kind kind, Need need);
  std::optional<PointRead> point(std::string_view key, double default_sigma_mm, Need need);
  std::optional<Vec3<double>> direction(std::string_view key, Need need);  // unit length
  std::optional<std::string> text(std::string_view key, Need need);
  std::optional<bool> flag(std::string_view key);
  std::optional<std::array<double, 2>> range(std::string_view key, Kind kind, Need need);
  std::optional<std::vector<double>> list(std::string_view key, Kind kind);
  // One quantity, or a list of them. Nothing where any of them is at fault.
  std::optional<std::vector<Quantity>> quantities(std::string_view key, Kind kind, Need need);
  // A table or anything below; marks the key.
  const Value* child(std::string_view key);

  // Marks a key that has been dealt with and should not be suggested.
  void pass_over(std::string_view key) { passed_over_.emplace_back(key); }

  void fault(int line, std::string what);
  void fault_at(std::string_view key, std::string what);
  // Reports every key that nobody asked for.
  void close();

 private:
  std::optional<Quantity> quantity_of(const Value& value, const std::string& where, Kind kind);
  const Value* asked(std::string_view key, Need need, std::string_view expected);

  Value empty_;
  const Value& value_;
  std::string path_;
  std::vector<Fault>& faults_;
  std::vector<std::string> known_, passed_over_;
};

}  // namespace trammel
