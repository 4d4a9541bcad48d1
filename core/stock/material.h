// What parts are made of at home: one table.
#pragma once

#include <span>
#include <string_view>
#include <variant>

#include "base/quantity.h"

namespace trammel {

enum class MaterialGroup { steel, cast_iron, aluminium };

struct Material {
  std::string_view name;
  MaterialGroup group = MaterialGroup::steel;
  double yield_mpa = 0.0, tensile_mpa = 0.0;  // minima of the form named in `source`
  double youngs_modulus_mpa = 0.0;
  bool weldable = false;     // at home, without a procedure, and keeping the strengths above
  std::string_view welding;  // what welding needs or does, in words
  std::string_view source;
};

// The same metal in a plate so thick, or a bar of that diameter: thicker metal is weaker. S275 and
// S355 above 16 mm, 4130 above 4.76 mm (the sources of the table); the others as they are.
Material in_section(const Material& material, double thickness_mm);

// Ascending by use: plate first.
std::span<const Material> materials();

// By name, whatever its letters, spaces and hyphens: "s275", "6082 T6", "ductile iron". The start
// of a name serves where only one begins like that ("6082"). Otherwise the reason, with the names
// that come nearest.
std::variant<Material, NotAQuantity> read_material(std::string_view text);

}  // namespace trammel
