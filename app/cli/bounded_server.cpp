#include "cli/bounded_server.h"

#include <arpa/inet.h>
#include <netinet/in.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <optional>
#include <string_view>

namespace trammel {
namespace {

using std::chrono::milliseconds;
using std::chrono::steady_clock;

constexpr milliseconds last_words{1'000}, look_again{100};

struct Address {
  std::string ip;
  int port = 0;
};
Address address_of(const sockaddr_in& at) {
  std::array<char, INET_ADDRSTRLEN> ip{};
  ::inet_ntop(AF_INET, &at.sin_addr, ip.data(), ip.size());
  return {ip.data(), ntohs(at.sin_port)};
}
Address remote_of(socket_t socket) {
  sockaddr_in at{};
  socklen_t size = sizeof at;
  ::getpeername(socket, reinterpret_cast<sockaddr*>(&at), &size);
  return address_of(at);
}
Address local_of(socket_t socket) {
  sockaddr_in at{};
  socklen_t size = sizeof at;
  ::getsockname(socket, reinterpret_cast<sockaddr*>(&at), &size);
  return address_of(at);
}

// A connection that ends by itself.
class BoundedStream : public httplib::Stream {
 public:
  BoundedStream(socket_t socket, const RequestBounds& bounds, const std::atomic<bool>& ended)
      : socket_(socket), bounds_(bounds), ended_(ended), began_(steady_clock::now()) {}

  bool is_readable() const override { return from_ < to_ || ready(POLLIN); }
  bool is_writable() const override { return ready(POLLOUT); }

  ssize_t read(char* to, std::size_t size) override {
    if (from_ == to_) {
      if (!ready(POLLIN)) return -1;
      const auto got = ::recv(socket_, buffer_.data(), buffer_.size(), 0);
      if (got <= 0) return got;
      from_ = 0;
      to_ = static_cast<std::size_t>(got);
    }
    size = std::min(size, to_ - from_);
    const std::string_view part(buffer_.data() + from_, size);
    if (!count(part)) return -1;
    part.copy(to, size);
    from_ += size;
    return static_cast<ssize_t>(size);
  }
  ssize_t write(const char* from, std::size_t size) override {
    if (!ready(POLLOUT)) return -1;
    ssize_t sent = 0;
    do sent = ::send(socket_, from, size, MSG_NOSIGNAL | MSG_DONTWAIT);
    while (sent < 0 && (errno == EINTR || (errno == EAGAIN && ready(POLLOUT))));
    return sent;
  }
  void get_remote_ip_and_port(std::string& ip, int& port) const override {
    auto at = remote_of(socket_);
    ip = std::move(at.ip);
    port = at.port;
  }
  void get_local_ip_and_port(std::string& ip, int& port) const override {
    auto at = local_of(socket_);
    ip = std::move(at.ip);
    port = at.port;
  }
  socket_t socket() const override { return socket_; }

 private:
  // Whether the socket is ready before the time is over. Once the server has ended there is a
  // second, for all that is still to be said and however slowly it is taken.
  bool ready(short what) const {
    for (;;) {
      if (ended_ && !seen_ended_) seen_ended_ = steady_clock::now();
      auto until = began_ + (head_ended_ ? bounds_.whole : bounds_.head);
      if (seen_ended_) until = std::min(until, *seen_ended_ + last_words);
      const auto left = std::chrono::ceil<milliseconds>(until - steady_clock::now());
      if (left <= milliseconds(0)) return false;
      pollfd one{socket_, what, 0};
      const int n = ::poll(&one, 1, static_cast<int>(std::min(left, look_again).count()));
      if (n > 0) return true;
      if (n < 0 && errno != EINTR) return false;
    }
  }
  // The head ends with an empty line.
  bool count(std::string_view part) {
    if (head_ended_) return true;
    for (const char c : part) {
      if (c == '\n' && line_is_empty_) {
        head_ended_ = true;
        return true;
      }
      if (c == '\n') line_is_empty_ = true;
      else if (c != '\r') line_is_empty_ = false;
      if (++head_ > bounds_.head_bytes) return false;
    }
    return true;
  }

  const socket_t socket_;
  const RequestBounds& bounds_;
  const std::atomic<bool>& ended_;
  const steady_clock::time_point began_;
  mutable std::optional<steady_clock::time_point> seen_ended_;
  std::array<char, 4096> buffer_{};
  std::size_t from_ = 0, to_ = 0;
  std::size_t head_ = 0;
  bool line_is_empty_ = false, head_ended_ = false;
};

}  // namespace

BoundedServer::BoundedServer(RequestBounds bounds) : bounds_(bounds) {
  new_task_queue = [threads = bounds.threads] { return new httplib::ThreadPool(threads); };
}

void BoundedServer::end() {
  stop();
  const std::lock_guard lock(mutex_);
  ended_ = true;
  for (const auto socket : open_) ::shutdown(socket, SHUT_RD);
}

bool BoundedServer::process_and_close_socket(socket_t socket) {
  const auto address = remote_of(socket).ip;
  bool answered = false;
  if (enter(socket, address)) {
    BoundedStream stream(socket, bounds_, ended_);
    bool closed = false;
    answered = process_request(stream, true, closed, nullptr);
    leave(socket, address);
  }
  ::shutdown(socket, SHUT_RDWR);
  ::close(socket);
  return answered;
}

bool BoundedServer::enter(socket_t socket, const std::string& address) {
  const std::lock_guard lock(mutex_);
  if (ended_ || by_address_[address] >= bounds_.of_one_address) return false;
  ++by_address_[address];
  open_.insert(socket);
  return true;
}

void BoundedServer::leave(socket_t socket, const std::string& address) {
  const std::lock_guard lock(mutex_);
  open_.erase(socket);
  if (--by_address_[address] == 0) by_address_.erase(address);
}

}  // namespace trammel
