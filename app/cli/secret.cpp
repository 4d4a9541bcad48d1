#include "cli/secret.h"

#include <sys/random.h>

#include <array>
#include <cerrno>
#include <system_error>

namespace trammel {
namespace {

constexpr std::string_view signs = "abcdefghijkmnpqrstuvwxyz23456789";
static_assert(signs.size() == 32);
constexpr std::size_t length = 26;

}  // namespace

std::string new_secret() {
  std::array<unsigned char, length> bytes{};
  // Up to 256 bytes come whole or not at all (getrandom(2)).
  while (::getrandom(bytes.data(), bytes.size(), 0) != static_cast<ssize_t>(bytes.size()))
    if (errno != EINTR)
      throw std::system_error(errno, std::generic_category(), "the system gives no random bytes");
  std::string secret;
  for (const auto byte : bytes) secret += signs[byte % signs.size()];
  return secret;
}

bool same_secret(std::string_view one, std::string_view other) {
  if (one.size() != other.size()) return false;
  volatile unsigned char differs = 0;  // volatile: every sign is compared, whatever is found
  for (std::size_t i = 0; i < one.size(); ++i)
    differs = static_cast<unsigned char>(differs | (one[i] ^ other[i]));
  return differs == 0;
}

}  // namespace trammel
