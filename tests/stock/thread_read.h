// A thread by its name, where a test takes for granted that it can be read.
#pragma once

#include <gtest/gtest.h>

#include <string_view>
#include <variant>

#include "stock/thread.h"

namespace trammel::testing {

inline constexpr double three_figures = 0.005;  // the tables round stress areas to three figures

inline Thread thread(std::string_view text) {
  const auto t = read_thread(text);
  if (const auto* bad = std::get_if<NotAQuantity>(&t)) {
    ADD_FAILURE() << bad->why;
    return {10, 1.5, false, "?"};
  }
  return std::get<Thread>(t);
}

}  // namespace trammel::testing
