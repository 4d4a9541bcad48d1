#include "stock/material.h"

#include <fmt/format.h>

#include <algorithm>
#include <string>
#include <vector>

#include "base/plain_text.h"
#include "base/words.h"

namespace trammel {
namespace {

constexpr std::string_view plainly = "welds with ordinary low-hydrogen wire or rods";
constexpr std::string_view softens =
    "loses up to half of its strength beside a weld: bolt it, or have it aged again";
constexpr std::string_view never = "never: it cracks";

// EN 10025-2 and ASTM A36 for plate up to 16 mm; the others from memory of the standard named.
constexpr Material table[] = {
    {"S275", MaterialGroup::steel, 275, 410, 210e3, true, plainly, "EN 10025-2, up to 16 mm"},
    {"S355", MaterialGroup::steel, 355, 470, 210e3, true, plainly, "EN 10025-2, up to 16 mm"},
    {"A36", MaterialGroup::steel, 250, 400, 200e3, true, plainly, "ASTM A36"},
    {"C45", MaterialGroup::steel, 305, 580, 210e3, false,
     "not at home: it hardens beside the weld and cracks unless it is preheated",
     "EN 10083-2, normalised, 16 to 100 mm (from memory)"},
    {"4130 normalised", MaterialGroup::steel, 517, 655, 205e3, false,
     "only by a procedure: preheat, right rod, slow cooling",
     "MIL-HDBK-5J, up to 4.76 mm (from memory); thicker 483 and 621 MPa"},
    {"6082-T6", MaterialGroup::aluminium, 240, 295, 70e3, false, softens,
     "EN 485-2, plate 12.5 to 100 mm (from memory)"},
    {"6061-T6", MaterialGroup::aluminium, 240, 290, 69e3, false, softens,
     "ASTM B209 (from memory)"},
    {"7075-T6", MaterialGroup::aluminium, 460, 530, 71.7e3, false, never,
     "EN 485-2, plate 25 to 50 mm (from memory)"},
    {"EN-GJS-400-15", MaterialGroup::cast_iron, 250, 400, 169e3, false, never,
     "EN 1563, ductile cast iron (from memory)"},
};

struct OtherName {
  std::string_view folded, name;
};
constexpr OtherName other_names[] = {
    {"s275jr", "S275"},
    {"s355jr", "S355"},
    {"s355j2", "S355"},
    {"astma36", "A36"},
    {"ck45", "C45"},
    {"4130n", "4130 normalised"},
    {"4130normalized", "4130 normalised"},
    {"castiron", "EN-GJS-400-15"},
    {"ductileiron", "EN-GJS-400-15"},
    {"ductilecastiron", "EN-GJS-400-15"},
    {"gjs40015", "EN-GJS-400-15"},
};

}  // namespace

std::span<const Material> materials() { return table; }

Material in_section(const Material& material, double thickness_mm) {
  struct Thicker {
    std::string_view name;
    double above_mm, yield_mpa, tensile_mpa;
  };
  // EN 10025-2, over 16 up to 40 mm; MIL-HDBK-5J (from memory).
  constexpr Thicker thicker[] = {
      {"S275", 16.0, 265, 410}, {"S355", 16.0, 345, 470}, {"4130 normalised", 4.7625, 483, 621}};
  Material m = material;
  for (const auto& t : thicker)
    if (m.name == t.name && thickness_mm > t.above_mm) {
      m.yield_mpa = t.yield_mpa;
      m.tensile_mpa = t.tensile_mpa;
    }
  return m;
}

std::variant<Material, NotAQuantity> read_material(std::string_view text) {
  const std::string wanted = letters_and_digits(text);
  const auto by_name = [](std::string_view n) {
    return *std::find_if(std::begin(table), std::end(table),
                         [&](const Material& m) { return m.name == n; });
  };
  for (const auto& other : other_names)
    if (other.folded == wanted) return by_name(other.name);
  std::vector<std::string> begun, folded, all;
  for (const auto& m : table) {
    const auto own = letters_and_digits(m.name);
    if (own == wanted) return m;
    if (!wanted.empty() && own.starts_with(wanted)) begun.emplace_back(m.name);
    folded.push_back(own);
    all.emplace_back(m.name);
  }
  if (begun.size() == 1) return by_name(begun[0]);
  if (begun.size() > 1)
    return NotAQuantity{fmt::format("'{}' may be {}", text, listed(begun, "or"))};
  // The names nearest by edits, at most two.
  std::vector<std::string> near;
  for (int i = 0; i < 2 && !wanted.empty(); ++i) {
    const auto word = nearest_word(wanted, folded);
    if (word.empty()) break;
    const auto at = std::find(folded.begin(), folded.end(), word) - folded.begin();
    near.push_back(all[static_cast<std::size_t>(at)]);
    folded.erase(folded.begin() + at);
    all.erase(all.begin() + at);
  }
  if (!near.empty())
    return NotAQuantity{fmt::format("'{}' is no material that is known here, did you mean {}?",
                                    text, listed(near, "or"))};
  return NotAQuantity{
      fmt::format("'{}' is no material that is known here, expected {}", text, listed(all, "or"))};
}

}  // namespace trammel
