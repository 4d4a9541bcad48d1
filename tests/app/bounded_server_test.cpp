// A server under connections that mean it ill, or are merely slow: each bound of it, from outside.
#include "cli/bounded_server.h"

#include <gtest/gtest.h>

#include <array>
#include <atomic>
#include <thread>
#include <vector>

#include "app/raw_client.h"

namespace trammel::testing {
namespace {

using std::chrono::milliseconds;
using std::chrono::steady_clock;

// What a busy machine may take longer than it should, sanitizers and all.
constexpr milliseconds some_time{3'000};

class Bounded {
 public:
  explicit Bounded(RequestBounds bounds) : server_(bounds) {
    server_.Get("/", [](const httplib::Request&, httplib::Response& r) {
      r.set_content("here", "text/plain");
    });
    server_.Get("/much", [](const httplib::Request&, httplib::Response& r) {
      r.set_content(std::string(64U << 20U, 'x'), "text/plain");
    });
    port = server_.bind_to_any_port("127.0.0.1");
    thread_ = std::thread([this] { server_.listen_after_bind(); });
    while (!server_.is_running()) std::this_thread::sleep_for(milliseconds(1));
  }
  Bounded(const Bounded&) = delete;
  Bounded& operator=(const Bounded&) = delete;
  ~Bounded() {
    server_.end();
    thread_.join();
  }
  int connect(const char* from = "127.0.0.1") const { return connect_to("127.0.0.1", port, from); }
  std::string asked(const char* from = "127.0.0.1") const {
    return ask_raw("127.0.0.1", port, "GET / HTTP/1.1\r\nHost: here\r\n\r\n", Then::wait, "", from);
  }

  int port = 0;

 private:
  BoundedServer server_;
  std::thread thread_;
};

// Bytes that are taken of a request that never ends, up to `most`.
std::size_t taken_of(int connection, const std::string& start, const std::string& again,
                     std::size_t most) {
  std::size_t taken = 0;
  const auto send = [&](const std::string& part) {
    const auto n = ::send(connection, part.data(), part.size(), MSG_NOSIGNAL);
    if (n > 0) taken += static_cast<std::size_t>(n);
    return n > 0;
  };
  for (bool on = send(start); on && taken < most;) on = send(again);
  return taken;
}

TEST(BoundedServer, AnswersAndClosesAfterOneRequest) {
  const Bounded server({});
  const auto twice =
      ask_raw("127.0.0.1", server.port,
              "GET / HTTP/1.1\r\nHost: here\r\n\r\nGET / HTTP/1.1\r\nHost: here\r\n\r\n");
  EXPECT_EQ(status_in(twice), "200");
  EXPECT_EQ(twice.find("here", twice.find("here") + 1), std::string::npos);
}

// 50 MB of headers took 897 MB of memory once, and a line without an end 200.
TEST(BoundedServer, TakesNoHeadWithoutAnEnd) {
  const Bounded server({});
  constexpr std::size_t most = 50U << 20U;
  // What is under way in the sockets of both ends, and no more.
  constexpr std::size_t under_way = 16U << 20U;
  const std::string header = "X-More: " + std::string(1000, 'x') + "\r\n";
  const int headers = server.connect();
  EXPECT_LT(taken_of(headers, "GET / HTTP/1.1\r\n", header, most), under_way);
  const int line = server.connect();
  EXPECT_LT(taken_of(line, "GET /", std::string(1000, 'x'), most), under_way);
  ::close(headers);
  ::close(line);
  EXPECT_EQ(status_in(server.asked()), "200");
}

TEST(BoundedServer, RefusesAHeadThatIsTooLong) {
  const Bounded server({});
  std::string request = "GET / HTTP/1.1\r\n";
  while (request.size() < RequestBounds{}.head_bytes) request += "X-More: and more\r\n";
  EXPECT_EQ(status_in(ask_raw("127.0.0.1", server.port, request + "\r\n")), "400");
}

// A sign now and then keeps no thread.
TEST(BoundedServer, EndsAHeadThatDrips) {
  RequestBounds bounds;
  bounds.head = milliseconds(300);
  const Bounded server(bounds);
  const int slow = server.connect();
  const auto began = steady_clock::now();
  bool cut_off = false;
  while (!cut_off && steady_clock::now() - began < bounds.head + some_time) {
    cut_off = ::send(slow, "x", 1, MSG_NOSIGNAL) < 0;
    std::this_thread::sleep_for(milliseconds(20));
  }
  EXPECT_TRUE(cut_off);
  ::close(slow);
}

TEST(BoundedServer, OneAddressDoesNotShutOutAnother) {
  const Bounded server({});
  std::vector<int> held;
  for (int i = 0; i < 60; ++i) {
    held.push_back(server.connect("127.0.0.2"));
    ::send(held.back(), "GET / HT", 8, MSG_NOSIGNAL);
  }
  const auto began = steady_clock::now();
  EXPECT_EQ(status_in(server.asked("127.0.0.3")), "200");
  EXPECT_LT(steady_clock::now() - began, some_time);
  for (const int at : held) ::close(at);
  // And is itself let in again once it has let go.
  const auto until = steady_clock::now() + some_time;
  while (status_in(server.asked("127.0.0.2")) != "200" && steady_clock::now() < until)
    std::this_thread::sleep_for(milliseconds(10));
  EXPECT_EQ(status_in(server.asked("127.0.0.2")), "200");
}

// Each sip of an answer is no second of its own.
TEST(BoundedServer, EndsWhileOneStillSips) {
  std::atomic<bool> over = false;
  std::thread sips;
  steady_clock::time_point began;
  {
    const Bounded server({});
    const int slow = server.connect();
    const std::string ask = "GET /much HTTP/1.1\r\nHost: here\r\n\r\n";
    ::send(slow, ask.data(), ask.size(), MSG_NOSIGNAL);
    std::array<char, 4096> sip{};
    ASSERT_GT(::recv(slow, sip.data(), sip.size(), 0), 0);
    sips = std::thread([slow, sip, &over]() mutable {
      while (!over && ::recv(slow, sip.data(), sip.size(), 0) > 0)
        std::this_thread::sleep_for(milliseconds(5));
      ::close(slow);
    });
    began = steady_clock::now();
  }
  EXPECT_LT(steady_clock::now() - began, some_time);
  over = true;
  sips.join();
}

TEST(BoundedServer, EndsWhileOthersStillSend) {
  std::vector<int> held;
  steady_clock::time_point began;
  {
    const Bounded server({});
    for (int i = 0; i < 40; ++i) {
      held.push_back(server.connect());
      ::send(held.back(), "GET / HT", 8, MSG_NOSIGNAL);
    }
    EXPECT_EQ(status_in(server.asked("127.0.0.3")), "200");
    began = steady_clock::now();
  }
  EXPECT_LT(steady_clock::now() - began, some_time);
  for (const int at : held) ::close(at);
}

}  // namespace
}  // namespace trammel::testing
