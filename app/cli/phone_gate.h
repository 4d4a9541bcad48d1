// Who may ask over the local network: the one phone that opened the link first, and nobody else.
#pragma once

#include <mutex>
#include <optional>
#include <string>
#include <string_view>

#include "cli/secret.h"

namespace trammel {

class PhoneGate {
 public:
  // So many wrong tokens close the gate while nobody has opened it. Later they are harmless: the
  // token opens nothing any more, and closing would take the page from the one who works on it.
  static constexpr int most_wrong = 10;

  // What a token is worth.
  enum class Worth {
    opens,       // the right one, and nobody has used it
    used,        // the right one, and somebody has
    wrong,       // another one
    last_wrong,  // another one, which closed the gate: said once
    closed,      // nothing is worth anything any more
  };

  const std::string& token() const { return token_; }

  // Without using it up.
  Worth judge(std::string_view token);
  // Uses it up: the session of the phone that came with it, where it opens.
  struct Opened {
    Worth worth;
    std::string session;  // empty where it does not open
  };
  Opened open(std::string_view token);
  // Whether this is the session that was opened.
  bool knows(std::string_view session) const;
  bool closed() const;

 private:
  Worth judge_alone(std::string_view token);  // while nobody else does

  const std::string token_ = new_secret();
  const std::string session_ = new_secret();
  mutable std::mutex judging_;
  bool used_ = false;
  int wrong_ = 0;
};

}  // namespace trammel
