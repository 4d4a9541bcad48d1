// The page's types, made from the tables of fields.
#pragma once

#include <set>
#include <string>

#include "wire/fields.h"

namespace trammel::wire {

// Collects the interfaces that a type needs, each once, those it uses first.
class Typescript {
 public:
  // The name of T in the page's language.
  template <class T>
  std::string type() {
    if constexpr (std::is_same_v<T, bool>) {
      return "boolean";
    } else if constexpr (std::is_arithmetic_v<T>) {
      return "number";
    } else if constexpr (std::is_same_v<T, std::string>) {
      return "string";
    } else if constexpr (is_optional<T>) {
      return type<typename T::value_type>();
    } else if constexpr (is_list<T>) {
      const auto item = type<typename T::value_type>();
      return (item.find('|') == std::string::npos ? item : "(" + item + ")") + "[]";
    } else if constexpr (is_variant<T>) {
      return alternatives(static_cast<const T*>(nullptr));
    } else {
      declare<T>();
      return Fields<T>::name;
    }
  }

  const std::string& text() const { return text_; }

 private:
  template <class... S>
  std::string alternatives(const std::variant<S...>*) {
    std::string all;
    ((all += (all.empty() ? "" : " | ") + std::string("({ kind: '") + Fields<S>::kind + "' } & " +
             type<S>() + ")"),
     ...);
    return all;
  }

  template <class S>
  void declare() {
    if (!declared_.insert(Fields<S>::name).second) return;
    std::string body;
    each_field<S>([&](const auto& f) {
      using M = std::decay_t<decltype(std::declval<S&>().*f.member)>;
      // A double that is not finite arrives as null; no message holds one on purpose.
      body += std::string("  ") + f.key + (is_optional<M> ? "?" : "") + ": " + type<M>() + ";\n";
    });
    text_ += std::string("export interface ") + Fields<S>::name + " {\n" + body + "}\n\n";
  }

  std::set<std::string> declared_;
  std::string text_;
};

}  // namespace trammel::wire
