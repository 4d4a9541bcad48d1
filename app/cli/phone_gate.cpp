#include "cli/phone_gate.h"

namespace trammel {

PhoneGate::Worth PhoneGate::judge_alone(std::string_view token) {
  if (wrong_ >= most_wrong) return Worth::closed;
  if (same_secret(token, token_)) return used_ ? Worth::used : Worth::opens;
  if (used_ || ++wrong_ < most_wrong) return Worth::wrong;
  return Worth::last_wrong;
}

PhoneGate::Worth PhoneGate::judge(std::string_view token) {
  const std::lock_guard lock(judging_);
  return judge_alone(token);
}

PhoneGate::Opened PhoneGate::open(std::string_view token) {
  const std::lock_guard lock(judging_);
  const auto worth = judge_alone(token);
  if (worth != Worth::opens) return {worth, ""};
  used_ = true;
  return {worth, session_};
}

bool PhoneGate::knows(std::string_view session) const {
  const std::lock_guard lock(judging_);
  return used_ && same_secret(session, session_);
}

bool PhoneGate::closed() const {
  const std::lock_guard lock(judging_);
  return wrong_ >= most_wrong;
}

}  // namespace trammel
