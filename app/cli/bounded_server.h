// httplib's server for a network that is not trusted: no request holds more memory than a head and
// a body of ours need, none holds a thread for longer than a request takes, none of them all.
#pragma once

#include <httplib.h>

#include <atomic>
#include <chrono>
#include <map>
#include <mutex>
#include <set>
#include <string>

namespace trammel {

// What one connection may take.
struct RequestBounds {
  std::size_t head_bytes = 32U << 10U;      // request line and headers together
  std::chrono::milliseconds head{5'000};    // until all of them are there
  std::chrono::milliseconds whole{60'000};  // until the answer has gone: 4 MB over a weak Wi-Fi
  std::size_t threads = 24;
  std::size_t of_one_address = 12;  // connections at once: a browser opens six
};

// One request for each connection: the body of a refused one must never be taken for the next
// request, and a connection left open must not hold a thread.
class BoundedServer : public httplib::Server {
 public:
  explicit BoundedServer(RequestBounds bounds);

  // As stop(); nobody is read any longer, and answers under way have a second. From another thread,
  // or while a request is answered.
  void end();

 private:
  bool process_and_close_socket(socket_t socket) override;
  bool enter(socket_t socket, const std::string& address);
  void leave(socket_t socket, const std::string& address);

  const RequestBounds bounds_;
  std::mutex mutex_;
  std::set<socket_t> open_;
  std::map<std::string, std::size_t> by_address_;
  std::atomic<bool> ended_ = false;
};

}  // namespace trammel
