// A property as a test: see ../rapidcheck.h.
#pragma once

#include <gtest/gtest.h>
#include <rapidcheck.h>

#define RC_GTEST_PROP(TestCase, Name, ArgList)                                           \
  void property_##TestCase##_##Name ArgList;                                             \
  TEST(TestCase, Name) { EXPECT_EQ(::rc::broken_by(property_##TestCase##_##Name), ""); } \
  void property_##TestCase##_##Name ArgList
