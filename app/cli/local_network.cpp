#include "cli/local_network.h"

#include <arpa/inet.h>
#include <fmt/format.h>
#include <ifaddrs.h>
#include <net/if.h>
#include <netinet/in.h>

#include <algorithm>
#include <array>

namespace trammel {
namespace {

constexpr bool begins(std::uint32_t address, std::uint32_t with, int bits) {
  return (address ^ with) >> (32 - bits) == 0;
}
constexpr bool is_without_router(std::uint32_t address) {
  return begins(address, 0xa9fe0000U, 16);  // 169.254
}

}  // namespace

bool is_local(std::uint32_t address) {
  return begins(address, 0x0a000000U, 8) || begins(address, 0xac100000U, 12) ||
         begins(address, 0xc0a80000U, 16) || is_without_router(address);
}

std::vector<std::string> local_addresses() {
  std::vector<std::uint32_t> found;
  ifaddrs* all = nullptr;
  if (::getifaddrs(&all) != 0) return {};
  for (const ifaddrs* at = all; at != nullptr; at = at->ifa_next) {
    if (at->ifa_addr == nullptr || at->ifa_addr->sa_family != AF_INET) continue;
    if ((at->ifa_flags & IFF_UP) == 0U || (at->ifa_flags & IFF_RUNNING) == 0U) continue;
    const auto address = ntohl(reinterpret_cast<const sockaddr_in*>(at->ifa_addr)->sin_addr.s_addr);
    if (is_local(address)) found.push_back(address);
  }
  ::freeifaddrs(all);
  std::stable_partition(found.begin(), found.end(),
                        [](std::uint32_t a) { return !is_without_router(a); });
  std::vector<std::string> words;
  words.reserve(found.size());
  for (const auto a : found)
    words.push_back(
        fmt::format("{}.{}.{}.{}", a >> 24U, a >> 16U & 255U, a >> 8U & 255U, a & 255U));
  return words;
}

ChosenAddress choose_address(const std::vector<std::string>& here, const std::string& asked) {
  const auto listed = fmt::format("{}", fmt::join(here, ", "));
  if (!asked.empty()) {
    in_addr read{};
    const bool is_address = ::inet_pton(AF_INET, asked.c_str(), &read) == 1;
    const bool own = is_address && begins(ntohl(read.s_addr), 0x7f000000U, 8);
    if (own || std::find(here.begin(), here.end(), asked) != here.end()) return {asked, "", false};
    return {"",
            fmt::format("'{}' is no address that this machine has in a local network, expected {}",
                        asked, here.empty() ? "one, and it has none" : "one of " + listed),
            true};
  }
  if (!here.empty()) return {here.front(), "", false};
  return {
      "",
      "this machine has no address in a local network (10.*, 172.16.* to 172.31.*, 192.168.* or "
      "169.254.*): join the network that the phone is in and try again",
      false};
}

}  // namespace trammel
