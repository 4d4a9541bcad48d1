// The addresses that this machine has in local networks.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace trammel {

// Whether an IPv4 address (the first of its four numbers in the highest byte) is for local networks
// alone: 10/8, 172.16/12, 192.168/16 (RFC 1918) and 169.254/16, given without a router (RFC 3927).
bool is_local(std::uint32_t address);

// The local ones of the interfaces that are up, in the system's order; those given without a router
// last.
std::vector<std::string> local_addresses();

// The one to serve on, or why there is none.
struct ChosenAddress {
  std::string address;  // empty where there is none
  std::string why;
  bool asked_wrongly = false;  // `asked` is to blame
};
// `asked`: one of `here`, or 127.*, which is this machine alone, to try it; empty: the first.
ChosenAddress choose_address(const std::vector<std::string>& here, const std::string& asked);

}  // namespace trammel
