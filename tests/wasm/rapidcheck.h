// RapidCheck's words, as far as these tests use them, for WebAssembly: its package has only a
// native library. Draws a hundred cases of each property, the same in every run; makes no failing
// case smaller, which the native run does.
#pragma once

#include <cstdint>
#include <random>
#include <string>
#include <vector>

namespace rc {

inline constexpr int cases_of_a_property = 100;
inline constexpr int discards_for_a_case = 10;  // on average, or the property says too little

struct Discarded {};
struct Broken {
  std::string claim;
};

inline std::mt19937_64& randomness() {
  static std::mt19937_64 source;
  return source;
}

namespace gen {

template <class T>
class Range {
 public:
  Range(T first, T end) : first_(first), count_(static_cast<std::uint64_t>(end - first)) {}
  T operator*() const {
    // The ends are where faults like to be.
    constexpr std::uint64_t one_in = 16;
    const std::uint64_t drawn = randomness()();
    const std::uint64_t kind = drawn % one_in, rest = drawn / one_in;
    return first_ + static_cast<T>(kind == 0 ? 0 : kind == 1 ? count_ - 1 : rest % count_);
  }

 private:
  T first_;
  std::uint64_t count_;
};
template <class T>
Range<T> inRange(T first, T end) {
  return {first, end};
}

template <class T>
class ElementOf {
 public:
  explicit ElementOf(std::vector<T> all) : all_(std::move(all)) {}
  T operator*() const { return all_[*inRange<std::size_t>(0, all_.size())]; }

 private:
  std::vector<T> all_;
};
template <class T>
ElementOf<T> elementOf(std::vector<T> all) {
  return ElementOf<T>(std::move(all));
}

template <class Container, class Gen>
class ContainerOf {
 public:
  ContainerOf(std::size_t count, Gen of) : count_(count), of_(of) {}
  Container operator*() const {
    Container all;
    while (all.size() < count_) all.push_back(*of_);
    return all;
  }

 private:
  std::size_t count_;
  Gen of_;
};
template <class Container, class Gen>
ContainerOf<Container, Gen> container(std::size_t count, Gen of) {
  return {count, of};
}

}  // namespace gen

// What breaks the property; empty: nothing of the cases drawn.
template <class Property>
std::string broken_by(Property property) {
  randomness().seed(std::mt19937_64::default_seed);
  int held = 0, discarded = 0;
  while (held < cases_of_a_property) {
    try {
      property();
      ++held;
    } catch (const Discarded&) {
      if (++discarded > discards_for_a_case * cases_of_a_property)
        return "gave up: " + std::to_string(discarded) + " cases discarded";
    } catch (const Broken& b) {
      return "case " + std::to_string(held + discarded + 1) + ": " + b.claim;
    }
  }
  return {};
}

}  // namespace rc

#define RC_ASSERT(claim)                      \
  do {                                        \
    if (!(claim)) throw ::rc::Broken{#claim}; \
  } while (false)
#define RC_PRE(claim)                      \
  do {                                     \
    if (!(claim)) throw ::rc::Discarded{}; \
  } while (false)
