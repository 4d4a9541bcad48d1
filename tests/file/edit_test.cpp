// Edits of a car file's text: what is asked for changes, every other byte stays.
#include "file/edit.h"

#include <gtest/gtest.h>

#include "cars.h"
#include "whole_set.h"

namespace trammel {
namespace {

using testing::demo_text;

Document parsed(const std::string& text) {
  auto d = parse(text);
  EXPECT_TRUE(d.value) << text;
  return std::move(*d.value);
}

std::string put_in(const std::string& text, const std::string& path, const std::string& toml) {
  const auto after = put(parsed(text), path, toml);
  return after.value ? after.value->text : "fault: " + after.faults.front().what;
}

TEST(Edit, PutReplacesWhatStandsAndWritesWhatDoesNot) {
  EXPECT_EQ(put_in("a = 1 # why\n", "a", "2"), "a = 2 # why\n");
  EXPECT_EQ(put_in("a = 1\n[t]\nb = 2 # two\n[u]\n", "t.c", "3"),
            "a = 1\n[t]\nb = 2 # two\nc = 3\n[u]\n");
  EXPECT_EQ(put_in("a = 1\n[t]\n", "b", "2"), "a = 1\nb = 2\n[t]\n");
  EXPECT_EQ(put_in("# head\n[t]\n", "b", "2"), "b = 2\n# head\n[t]\n");
  EXPECT_EQ(put_in("[t]\nx = { a = 1 }\n", "t.x.b", "2"), "[t]\nx = { a = 1, b = 2 }\n");
  EXPECT_EQ(put_in("[t]\nx = {}\n", "t.x.b", "2"), "[t]\nx = { b = 2 }\n");
  EXPECT_EQ(put_in("[[r]]\na = 1\n[[r]]\na = 2\n", "r[0].b", "3"),
            "[[r]]\na = 1\nb = 3\n[[r]]\na = 2\n");
  // A list over several lines is one value.
  EXPECT_EQ(put_in("[t]\nb = [1,\n  2]\n", "t.c", "3"), "[t]\nb = [1,\n  2]\nc = 3\n");
}

TEST(Edit, PutMakesTheTableItNeeds) {
  const auto text =
      put_in("[front.wheel]\na = 1", "front.chosen.\"toe link bracket\"", "{ y = 1, z = -2 }");
  EXPECT_EQ(text,
            "[front.wheel]\na = 1\n\n[front.chosen]\n\"toe link bracket\" = { y = 1, z = -2 }\n");
  EXPECT_EQ(put_in(text, "front.chosen.\"toe link bracket\".z", "-2.5"),
            "[front.wheel]\na = 1\n\n[front.chosen]\n\"toe link bracket\" = { y = 1, z = -2.5 }\n");
  // Keys written with dots give their table no header: it cannot get one afterwards, and says so.
  EXPECT_TRUE(put_in("front = 3\n", "front.chosen.a", "1").starts_with("fault: "));
  EXPECT_TRUE(put_in("a = 1\n", "b", "1 # x").starts_with("fault: "));
  EXPECT_TRUE(put_in("a = 1\n", "b[0]", "1").starts_with("fault: "));
}

TEST(Edit, KeepsTheLineEndingsOfTheFile) {
  EXPECT_EQ(put_in("[t]\r\na = 1\r\n", "t.b", "2"), "[t]\r\na = 1\r\nb = 2\r\n");
}

TEST(Edit, ATableIsTakenOutWithItsHeader) {
  const auto out = [](const std::string& text, const std::string& path) {
    const auto after = without_table(parsed(text), path);
    return after.value ? after.value->text : "fault: " + after.faults.front().what;
  };
  const std::string text = "[a]\nx = 1\n";
  EXPECT_EQ(out(put_in(text, "a.chosen.s", "20"), "a.chosen"), text);
  EXPECT_EQ(out("[a]\nx = 1\n[b]\ny = 2\n[c]\n", "b"), "[a]\nx = 1\n[c]\n");
  EXPECT_EQ(out(text, "b"), text);
  EXPECT_TRUE(out("a = { x = 1 }\n", "a").starts_with("fault: "));
  EXPECT_TRUE(out("[[a]]\nx = 1\n", "a[0]").starts_with("fault: "));
}

TEST(Edit, ARowIsAddedWhereItsLikeStand) {
  const auto added = [](const std::string& text) {
    const auto after = add_row(parsed(text), "job", {{"step", "\"x\""}, {"done", "true"}});
    return after.value ? after.value->text : "fault: " + after.faults.front().what;
  };
  EXPECT_EQ(added("a = 1\n"), "a = 1\n\n[[job]]\nstep = \"x\"\ndone = true\n");
  EXPECT_EQ(added("job = [ { step = \"a\" } ]\n"),
            "job = [ { step = \"a\" },\n  { step = \"x\", done = true } ]\n");
  EXPECT_EQ(added("job = []\n"), "job = [{ step = \"x\", done = true }]\n");
}

TEST(Edit, WhatIsTypedBecomesOneTomlValue) {
  EXPECT_EQ(as_toml(" 12.5 "), "12.5");
  EXPECT_EQ(as_toml("12.5 mm"), "\"12.5 mm\"");
  EXPECT_EQ(as_toml("0°30'"), "\"0°30'\"");
  EXPECT_EQ(as_toml("[1, 2]"), "[1, 2]");
  EXPECT_EQ(as_toml("true"), "true");
  EXPECT_EQ(as_toml("\"a\""), "\"a\"");
  EXPECT_EQ(as_toml("a \"b\" \\ c"), R"("a \"b\" \\ c")");
  EXPECT_EQ(as_toml("1 # 2"), "\"1 # 2\"");
  EXPECT_EQ(as_toml("2026-11-25"), "\"2026-11-25\"");
  EXPECT_EQ(as_toml(""), "\"\"");
  // Whatever was typed, the file still parses and holds it.
  for (const char* typed : {"x = 1", "]", "'''", "\n[t]", "\x01", "1\n2"}) {
    const auto after = edit(parsed("v = 1\nw = 2\n"), "v", as_toml(typed));
    ASSERT_TRUE(after.value) << typed;
    EXPECT_EQ(at(*after.value, "w")->number(), 2.0);
  }
}

TEST(Edit, ALengthIsNudgedAndNothingBesides) {
  const auto to = [](const std::string& text, const std::string& path, double by) {
    const auto after = nudged(parsed(text), path, by);
    return after.value ? after.value->text : "fault: " + after.faults.front().what;
  };
  EXPECT_EQ(to("p = [ 5, \"640 ± 1.5 mm\", -1.25] # ball joint\n", "p[1]", 0.5),
            "p = [ 5, \"640.5 ± 1.5 mm\", -1.25] # ball joint\n");
  EXPECT_EQ(to("p = [ 5, 640, -1.25] # ball joint\n", "p[2]", -0.5),
            "p = [ 5, 640, -1.75] # ball joint\n");
  EXPECT_EQ(to("p = [ 5, 640]\n", "p[0]", 0.5), "p = [ 5.5, 640]\n");
  EXPECT_NE(to("p = [ 5, 640]\n", "p[2]", 0.5).find("no value 'p[2]'"), std::string::npos);
  EXPECT_NE(to("p = [true]\n", "p[0]", 0.5).find("no length"), std::string::npos);
  EXPECT_NE(to("p = [\"3 kg\"]\n", "p[0]", 0.5).find("no length"), std::string::npos);
}

TEST(Edit, EveryLeafOfADemoCarCanBeFoundAndPutBack) {
  for (const char* name : {"pip.toml", "pip-survey.toml", "nibbet.toml"}) {
    const auto d = parsed(demo_text(name));
    const auto all = leaves(d);
    EXPECT_GT(all.size(), 80U);
    const std::size_t each = testing::whole_set() ? 1 : 7;
    for (std::size_t i = 0; i < all.size(); i += each) {
      const auto& leaf = all[i];
      const auto again = edit(d, leaf.path, leaf.written);
      ASSERT_TRUE(again.value) << leaf.path;
      EXPECT_EQ(again.value->text, d.text) << leaf.path;
    }
  }
}

TEST(Append, PutsAnElementBehindTheLastAndLeavesTheRestAlone) {
  const auto after = [](const std::string& text, const char* path, const char* toml) {
    const auto r = append(*parse(text).value, path, toml);
    return r.value ? r.value->text : "fault: " + r.faults[0].what;
  };
  EXPECT_EQ(after("a = [1, 2]  # two\n", "a", "3"), "a = [1, 2, 3]  # two\n");
  EXPECT_EQ(after("a = []\n", "a", "[0, 1]"), "a = [[0, 1]]\n");
  // A list of lists begins like the header of a row, and is none.
  EXPECT_EQ(after("a = [[1, 2],\n  [3, 4]]\n", "a", "[5, 6]"), "a = [[1, 2],\n  [3, 4], [5, 6]]\n");
  EXPECT_EQ(after("[t]\nb = 1\n", "t.a", "[5, 6]"), "[t]\nb = 1\na = [[5, 6]]\n");
  EXPECT_EQ(after("[[r]]\nrows = [[0, 0]]\n", "r[0].rows", "[1, 1]"),
            "[[r]]\nrows = [[0, 0], [1, 1]]\n");
  EXPECT_EQ(after("[[r]]\na = 1\n", "r", "1").find("fault: "), 0u);
  EXPECT_EQ(after("a = 1\n", "a", "1").find("fault: "), 0u);
  EXPECT_EQ(after("a = [1]\n", "a", "1, 2").find("fault: "), 0u);
}

}  // namespace
}  // namespace trammel
