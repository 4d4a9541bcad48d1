// Who is let in over the network, and by what secret.
#include "cli/phone_gate.h"

#include <gtest/gtest.h>

#include <atomic>
#include <map>
#include <set>
#include <thread>
#include <vector>

#include "cli/secret.h"

namespace trammel::testing {
namespace {

using Worth = PhoneGate::Worth;

TEST(Secret, IsOf130EvenlyDrawnBits) {
  std::set<std::string> all;
  std::map<char, int> signs;
  constexpr int many = 2000;
  for (int i = 0; i < many; ++i) {
    const auto secret = new_secret();
    EXPECT_EQ(secret.size(), 26U);
    all.insert(secret);
    for (const char c : secret) ++signs[c];
  }
  EXPECT_EQ(all.size(), static_cast<std::size_t>(many));
  EXPECT_EQ(signs.size(), 32U);
  for (const char c : {'l', 'o', '0', '1'}) EXPECT_EQ(signs.count(c), 0U) << c;
  // Each is drawn 1625 times in the mean, with a standard deviation of 40: eight of these allow a
  // fair source one alarm in 10^13 runs.
  for (const auto& [sign, count] : signs) EXPECT_NEAR(count, many * 26 / 32, 320) << sign;
}

TEST(Secret, IsTheSameOnlyAsAWhole) {
  const auto secret = new_secret();
  EXPECT_TRUE(same_secret(secret, std::string(secret)));
  EXPECT_TRUE(same_secret("", ""));
  for (std::size_t i = 0; i < secret.size(); ++i) {
    auto other = secret;
    other[i] = other[i] == 'a' ? 'b' : 'a';
    EXPECT_FALSE(same_secret(secret, other));
    EXPECT_FALSE(same_secret(secret, secret.substr(0, i)));
  }
  EXPECT_FALSE(same_secret(secret, secret + "a"));
}

TEST(PhoneGate, OpensOnce) {
  PhoneGate gate;
  EXPECT_EQ(gate.judge(gate.token()), Worth::opens);
  EXPECT_EQ(gate.judge(gate.token()), Worth::opens);  // a look does not use it up
  EXPECT_FALSE(gate.knows(""));
  EXPECT_FALSE(gate.knows(gate.token()));
  const auto opened = gate.open(gate.token());
  EXPECT_EQ(opened.worth, Worth::opens);
  EXPECT_EQ(opened.session.size(), 26U);
  EXPECT_NE(opened.session, gate.token());
  EXPECT_TRUE(gate.knows(opened.session));
  EXPECT_FALSE(gate.knows(""));
  EXPECT_FALSE(gate.knows(gate.token()));
  EXPECT_EQ(gate.judge(gate.token()), Worth::used);
  const auto second = gate.open(gate.token());
  EXPECT_EQ(second.worth, Worth::used);
  EXPECT_EQ(second.session, "");
  EXPECT_TRUE(gate.knows(opened.session));
  EXPECT_NE(PhoneGate().token(), gate.token());
}

TEST(PhoneGate, OfManyAtOnceOneIsLetIn) {
  for (int round = 0; round < 20; ++round) {
    PhoneGate gate;
    std::atomic<int> in = 0, out = 0;
    std::vector<std::thread> phones;
    for (int i = 0; i < 8; ++i)
      phones.emplace_back([&] {
        const auto opened = gate.open(gate.token());
        if (opened.worth == Worth::opens && gate.knows(opened.session)) ++in;
        if (opened.worth == Worth::used && opened.session.empty()) ++out;
      });
    for (auto& phone : phones) phone.join();
    EXPECT_EQ(in, 1);
    EXPECT_EQ(out, 7);
  }
}

TEST(PhoneGate, ClosesByWrongTokensWhileNobodyHasOpenedIt) {
  PhoneGate gate;
  for (int i = 1; i < PhoneGate::most_wrong; ++i)
    EXPECT_EQ(i % 2 != 0 ? gate.judge("x") : gate.open("").worth, Worth::wrong);
  EXPECT_FALSE(gate.closed());
  EXPECT_EQ(gate.judge(gate.token()), Worth::opens);
  EXPECT_EQ(gate.judge("x"), Worth::last_wrong);
  EXPECT_TRUE(gate.closed());
  EXPECT_EQ(gate.judge("x"), Worth::closed);
  EXPECT_EQ(gate.open(gate.token()).worth, Worth::closed);
  EXPECT_EQ(gate.open(gate.token()).session, "");

  PhoneGate opened;
  const auto session = opened.open(opened.token()).session;
  for (int i = 0; i < 3 * PhoneGate::most_wrong; ++i) EXPECT_EQ(opened.judge("x"), Worth::wrong);
  EXPECT_FALSE(opened.closed());
  EXPECT_TRUE(opened.knows(session));
}

}  // namespace
}  // namespace trammel::testing
