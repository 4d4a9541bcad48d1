#include "cli/local_network.h"

#include <arpa/inet.h>
#include <gtest/gtest.h>

namespace trammel::testing {
namespace {

std::uint32_t number(const std::string& address) {
  in_addr read{};
  if (::inet_pton(AF_INET, address.c_str(), &read) != 1) throw std::runtime_error(address);
  return ntohl(read.s_addr);
}

// The first and last of each range, and their neighbours: RFC 1918 section 3, RFC 3927 section 2.1.
TEST(LocalNetwork, IsWhatTheRfcsSetAside) {
  for (const char* in : {"10.0.0.0", "10.255.255.255", "172.16.0.0", "172.31.255.255",
                         "192.168.0.0", "192.168.255.255", "169.254.0.0", "169.254.255.255"})
    EXPECT_TRUE(is_local(number(in))) << in;
  for (const char* out : {"9.255.255.255", "11.0.0.0", "172.15.255.255", "172.32.0.0",
                          "192.167.255.255", "192.169.0.0", "169.253.255.255", "169.255.0.0",
                          "127.0.0.1", "0.0.0.0", "8.8.8.8", "255.255.255.255", "100.64.0.1"})
    EXPECT_FALSE(is_local(number(out))) << out;
}

TEST(LocalNetwork, ListsOnlyLocalAddresses) {
  for (const auto& address : local_addresses()) EXPECT_TRUE(is_local(number(address))) << address;
}

TEST(LocalNetwork, TakesTheFirstOrTheOneAskedFor) {
  const std::vector<std::string> here{"192.168.1.20", "10.0.0.7"};
  EXPECT_EQ(choose_address(here, "").address, "192.168.1.20");
  EXPECT_EQ(choose_address(here, "10.0.0.7").address, "10.0.0.7");
  EXPECT_EQ(choose_address({}, "127.0.0.2").address, "127.0.0.2");
  for (const char* bad : {"10.0.0.8", "8.8.8.8", "0.0.0.0", "localhost", "127.0.0.1:80",
                          "10.0.0.7 ", "::1", "127.1"}) {
    const auto chosen = choose_address(here, bad);
    EXPECT_EQ(chosen.address, "") << bad;
    EXPECT_TRUE(chosen.asked_wrongly);
    EXPECT_NE(chosen.why.find("expected one of 192.168.1.20, 10.0.0.7"), std::string::npos)
        << chosen.why;
  }
}

TEST(LocalNetwork, SaysWhyThereIsNone) {
  const auto none = choose_address({}, "");
  EXPECT_EQ(none.address, "");
  EXPECT_FALSE(none.asked_wrongly);
  EXPECT_NE(none.why.find("join the network that the phone is in"), std::string::npos);
}

}  // namespace
}  // namespace trammel::testing
