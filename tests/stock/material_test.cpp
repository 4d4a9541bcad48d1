#include "stock/material.h"

#include <gtest/gtest.h>

#include <string>

#include "base/why_not.h"

namespace trammel {
namespace {

Material material(std::string_view text) {
  const auto m = read_material(text);
  if (const auto* bad = std::get_if<NotAQuantity>(&m)) {
    ADD_FAILURE() << bad->why;
    return {};
  }
  return std::get<Material>(m);
}

TEST(Material, Strengths) {
  EXPECT_EQ(material("S275").yield_mpa, 275);             // EN 10025-2 table 7
  EXPECT_EQ(material("S275").tensile_mpa, 410);           // EN 10025-2 table 7
  EXPECT_EQ(material("S355").yield_mpa, 355);             // EN 10025-2 table 7
  EXPECT_EQ(material("A36").yield_mpa, 250);              // ASTM A36
  EXPECT_EQ(material("6061-T6").tensile_mpa, 290);        // ASTM B209 (from memory)
  EXPECT_EQ(material("4130 normalised").yield_mpa, 517);  // MIL-HDBK-5J (from memory)
  EXPECT_EQ(material("cast iron").yield_mpa, 250);        // EN 1563 (from memory)
  EXPECT_EQ(material("cast iron").tensile_mpa, 400);
  for (const auto& m : materials()) {
    EXPECT_EQ(material(m.name).name, m.name);
    EXPECT_GT(m.yield_mpa, 0) << m.name;
    EXPECT_GT(m.tensile_mpa, m.yield_mpa) << m.name;
    EXPECT_GT(m.youngs_modulus_mpa, 60e3) << m.name;
    EXPECT_LT(m.youngs_modulus_mpa, 215e3) << m.name;
    EXPECT_FALSE(m.source.empty()) << m.name;
    EXPECT_FALSE(m.welding.empty()) << m.name;
  }
  EXPECT_TRUE(material("S275").weldable);
  EXPECT_FALSE(material("cast iron").weldable);
  EXPECT_FALSE(material("6082-T6").weldable);
}

TEST(Material, ReadsNamesLoosely) {
  EXPECT_EQ(material("s275jr").name, "S275");
  EXPECT_EQ(material("6082 t6").name, "6082-T6");
  EXPECT_EQ(material("6082").name, "6082-T6");
  EXPECT_EQ(material("EN GJS 400-15").name, "EN-GJS-400-15");
  EXPECT_EQ(material("Ductile iron").name, "EN-GJS-400-15");
  EXPECT_EQ(material("4130").name, "4130 normalised");
}

TEST(Material, NamesTheNearest) {
  EXPECT_NE(why_not(read_material("S235")).find("S275"), std::string::npos)
      << why_not(read_material("S235"));
  EXPECT_NE(why_not(read_material("6063-T6")).find("6061-T6"), std::string::npos)
      << why_not(read_material("6063-T6"));
  EXPECT_EQ(why_not(read_material("S")), "'S' may be S275 or S355");
  EXPECT_NE(why_not(read_material("")).find("expected S275"), std::string::npos)
      << why_not(read_material(""));
  EXPECT_NE(why_not(read_material("???")).find("expected"), std::string::npos);
  EXPECT_NE(why_not(read_material("unobtainium of the finest sort")).find("no material"),
            std::string::npos);
}

}  // namespace
}  // namespace trammel
