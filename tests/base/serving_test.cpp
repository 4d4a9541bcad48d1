#include "base/serving.h"

#include <gtest/gtest.h>

namespace trammel {
namespace {

TEST(Serving, WhatFailsDecidesThenWhatIsNotJudged) {
  EXPECT_EQ((Judgement{"a", {}, {}}.verdict()), Serving::serves);
  EXPECT_EQ((Judgement{"a", {}, {{"b", "c"}}}.verdict()), Serving::not_judged);
  EXPECT_EQ((Judgement{"a", {"d"}, {{"b", "c"}}}.verdict()), Serving::does_not_serve);
}

TEST(Serving, AllOfItServesOnlyWhereAllWasJudged) {
  const Judgement good{"the disc", {}, {}}, open{"the weld", {}, {{"base metal", "'boss'"}}},
      bad{"the stack", {"it opens"}, {}};
  EXPECT_EQ(counted({}), "");
  EXPECT_EQ(counted({good}), "All of it serves: 1 thing judged.");
  EXPECT_EQ(counted({good, good}), "All of it serves: 2 things judged.");
  EXPECT_EQ(counted({good, open}),
            "1 judged and OK; 1 not judged: the weld: base metal (needs 'boss').");
  EXPECT_EQ(counted({open, good, bad}),
            "1 does not serve: the stack: it opens. 1 judged and OK; 1 not judged: the weld: base "
            "metal (needs 'boss').");
  EXPECT_EQ(counted({bad, bad}),
            "2 do not serve: the stack, the stack: it opens. 0 judged and OK.");
}

}  // namespace
}  // namespace trammel
