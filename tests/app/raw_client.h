// A client that sends exactly the bytes it is given.
#pragma once

#include <arpa/inet.h>
#include <sys/socket.h>
#include <unistd.h>

#include <array>
#include <chrono>
#include <stdexcept>
#include <string>
#include <thread>

namespace trammel::testing {

// A connection from one of this machine's addresses; the caller closes it.
inline int connect_to(const std::string& address, int port, const std::string& from = "") {
  const int at = ::socket(AF_INET, SOCK_STREAM, 0);
  if (!from.empty()) {
    sockaddr_in ours{};
    ours.sin_family = AF_INET;
    ::inet_pton(AF_INET, from.c_str(), &ours.sin_addr);
    if (::bind(at, reinterpret_cast<const sockaddr*>(&ours), sizeof ours) != 0) {
      ::close(at);
      throw std::runtime_error("not an address of this machine");
    }
  }
  sockaddr_in to{};
  to.sin_family = AF_INET;
  to.sin_port = htons(static_cast<std::uint16_t>(port));
  ::inet_pton(AF_INET, address.c_str(), &to.sin_addr);
  if (::connect(at, reinterpret_cast<const sockaddr*>(&to), sizeof to) != 0) {
    ::close(at);
    throw std::runtime_error("no connection");
  }
  return at;
}

// All that comes back.
enum class Then { wait, cut_off };
inline std::string ask_raw(const std::string& address, int port, const std::string& request,
                           Then then = Then::wait, const std::string& later = "",
                           const std::string& from = "") {
  const int at = connect_to(address, port, from);
  ::send(at, request.data(), request.size(), MSG_NOSIGNAL);
  if (!later.empty()) {
    std::this_thread::sleep_for(std::chrono::milliseconds(100));
    ::send(at, later.data(), later.size(), MSG_NOSIGNAL);
  }
  if (then == Then::cut_off) ::shutdown(at, SHUT_WR);
  std::string answer;
  std::array<char, 4096> part{};
  for (ssize_t n = 0; (n = ::recv(at, part.data(), part.size(), 0)) > 0;)
    answer.append(part.data(), static_cast<std::size_t>(n));
  ::close(at);
  return answer;
}

inline std::string status_in(const std::string& answer) {
  return answer.size() > 12 ? answer.substr(9, 3) : "none";
}

}  // namespace trammel::testing
