// One table of fields for each message between the page and the core: JSON is read and written by
// it, and the page's types are made from it (typescript.h).
//
// A struct has a table when Fields<S> names it:
//   template <> struct Fields<Spot> {
//     static constexpr const char* name = "Spot";
//     static auto table() { return std::tuple{field("x", &Spot::x), field("y", &Spot::y)}; }
//   };
// A variant is written as its alternative with one key more, "kind": the alternative's `kind`.
#pragma once

#include <array>
#include <cmath>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <tuple>
#include <type_traits>
#include <variant>
#include <vector>

#include "wire/json_values.h"

namespace trammel::wire {

template <class S>
struct Fields;

template <class S, class M>
struct Field {
  const char* key;
  M S::*member;
};
template <class S, class M>
constexpr Field<S, M> field(const char* key, M S::*member) {
  return {key, member};
}

template <class S, class F>
void each_field(F f) {
  std::apply([&](const auto&... fields) { (f(fields), ...); }, Fields<S>::table());
}

template <class S, class = void>
inline constexpr bool has_fields = false;
template <class S>
inline constexpr bool has_fields<S, std::void_t<decltype(Fields<S>::name)>> = true;

template <class>
inline constexpr bool is_optional = false;
template <class T>
inline constexpr bool is_optional<std::optional<T>> = true;
template <class>
inline constexpr bool is_list = false;
template <class T>
inline constexpr bool is_list<std::vector<T>> = true;
template <class T, std::size_t n>
inline constexpr bool is_list<std::array<T, n>> = true;
template <class>
inline constexpr bool is_variant = false;
template <class... T>
inline constexpr bool is_variant<std::variant<T...>> = true;

// A number that is not finite becomes null: JSON has no other word for it.
template <class T>
Json written(const T& value) {
  if constexpr (std::is_same_v<T, double>) {
    return std::isfinite(value) ? Json(value) : Json();
  } else if constexpr (is_list<T>) {
    Json list = Json::array();
    for (const auto& item : value) list.push_back(written(item));
    return list;
  } else if constexpr (is_variant<T>) {
    return std::visit(
        [](const auto& is) {
          using S = std::decay_t<decltype(is)>;
          Json j{{"kind", Fields<S>::kind}};
          j.update(written(is));
          return j;
        },
        value);
  } else if constexpr (has_fields<T>) {
    Json j = Json::object();
    each_field<T>([&](const auto& f) {
      const auto& member = value.*f.member;
      if constexpr (is_optional<std::decay_t<decltype(member)>>) {
        if (member) j[f.key] = written(*member);
      } else {
        j[f.key] = written(member);
      }
    });
    return j;
  } else {
    return Json(value);
  }
}

// Reads `json` into `into`; where it is something else, `why` says at which key and what was
// expected, and false comes back.
template <class T>
bool read(const Json& json, T& into, std::string& why) {
  const auto fail = [&](const char* expected) {
    why = std::string("expected ") + expected;
    return false;
  };
  if constexpr (std::is_same_v<T, bool>) {
    if (!json.is_boolean()) return fail("true or false");
    into = json.get<bool>();
  } else if constexpr (std::is_arithmetic_v<T>) {
    if (!json.is_number()) return fail("a number");
    into = json.get<T>();
  } else if constexpr (std::is_same_v<T, std::string>) {
    if (!json.is_string()) return fail("a text");
    into = json.get<std::string>();
  } else if constexpr (is_list<T>) {
    if (!json.is_array()) return fail("a list");
    if constexpr (requires { into.resize(0); }) into.resize(json.size());
    if (json.size() != into.size()) return fail("a list of another length");
    for (std::size_t i = 0; i < json.size(); ++i)
      if (!read(json[i], into[i], why)) {
        why.insert(0, "[" + std::to_string(i) + "] ");
        return false;
      }
  } else {
    static_assert(has_fields<T>);
    if (!json.is_object()) return fail("an object");
    bool good = true;
    each_field<T>([&](const auto& f) {
      if (!good) return;
      auto& member = into.*f.member;
      const auto found = json.find(f.key);
      using M = std::decay_t<decltype(member)>;
      if constexpr (is_optional<M>) {
        if (found == json.end() || found->is_null()) return;
        good = read(*found, member.emplace(), why);
      } else {
        if (found == json.end()) good = fail("this key");
        else good = read(*found, member, why);
      }
      if (!good) why.insert(0, std::string(f.key) + ": ");
    });
    return good;
  }
  return true;
}

}  // namespace trammel::wire
