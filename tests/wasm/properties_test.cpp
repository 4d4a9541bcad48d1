// The stand-in for RapidCheck finds what is wrong.
#include <rapidcheck/gtest.h>

#include <set>

namespace {

TEST(PropertiesInWasm, AFalseClaimIsFound) {
  const auto rare = [] { RC_ASSERT(*rc::gen::inRange(-20, 21) != 7); };
  EXPECT_NE(rc::broken_by(rare).find("!= 7"), std::string::npos);
}

TEST(PropertiesInWasm, ToDiscardEverythingIsNoProof) {
  EXPECT_NE(rc::broken_by([] { RC_PRE(false); }).find("gave up"), std::string::npos);
}

TEST(PropertiesInWasm, DrawsEveryValueWithBothEnds) {
  std::set<int> drawn;
  EXPECT_EQ(rc::broken_by([&] { drawn.insert(*rc::gen::inRange(-2, 3)); }), "");
  EXPECT_EQ(drawn, (std::set<int>{-2, -1, 0, 1, 2}));
}

}  // namespace
