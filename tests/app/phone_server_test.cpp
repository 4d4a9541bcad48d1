// The page for one phone, asked for by clients of the same machine under another of its addresses.
#include "cli/phone_server.h"

#include <gtest/gtest.h>
#include <httplib.h>

#include <atomic>
#include <mutex>
#include <thread>
#include <vector>

#include "app/raw_client.h"
#include "app/temporary_folder.h"

namespace trammel::testing {
namespace {

using httplib::Headers;

constexpr const char* network = "127.0.0.2";

// Both servers, as the program has them.
class PhoneServed {
 public:
  explicit PhoneServed(std::optional<std::string> car, const std::string& page = "<p>page</p>")
      : served_(served_page(page, std::move(car))),
        here_(served_),
        phone_(served_, [this](auto& w) {
          const std::lock_guard lock(saying_);
          said_.push_back(w);
        }) {
    const auto port_here = here_.open(0), got = phone_.open(network, 0);
    if (!port_here || !got) throw std::runtime_error("no port");
    here_port = *port_here;
    port = *got;
    host = network + (":" + std::to_string(port));
    origin = "http://" + host;
    path = phone_.link().substr(origin.size());
    threads_.emplace_back([this] { here_.serve(); });
    threads_.emplace_back([this] {
      phone_.serve();
      ended = true;
    });
  }
  PhoneServed(const PhoneServed&) = delete;
  PhoneServed& operator=(const PhoneServed&) = delete;
  ~PhoneServed() {
    phone_.stop();
    here_.stop();
    for (auto& thread : threads_) thread.join();
  }

  std::string link() const { return phone_.link(); }
  httplib::Client client() const { return httplib::Client(network, port); }
  httplib::Client here() const { return httplib::Client("127.0.0.1", here_port); }
  // Opens the link as a phone does: the cookie of the session, as it is sent back.
  std::string opened() const {
    const auto r =
        client().Post(path, {{"Origin", origin}}, "", "application/x-www-form-urlencoded");
    if (!r || r->status != 303) throw std::runtime_error("not opened");
    const auto cookie = r->get_header_value("Set-Cookie");
    return cookie.substr(0, cookie.find(';'));
  }
  httplib::Result put(const std::string& cookie, const std::string& text,
                      const std::string& made_from) const {
    return client().Put("/car", {{"Cookie", cookie}, {"Origin", origin}, {"If-Match", made_from}},
                        text, "text/plain; charset=utf-8");
  }
  std::string etag(const std::string& cookie) const {
    return client().Get("/car", {{"Cookie", cookie}})->get_header_value("ETag");
  }
  std::string raw(const std::string& request, Then then = Then::wait) const {
    return ask_raw(network, port, request, then);
  }
  std::vector<std::string> said() const {
    const std::lock_guard lock(saying_);
    return said_;
  }

  int port = 0, here_port = 0;
  std::string host, origin, path;  // path: of the link
  std::atomic<bool> ended = false;

 private:
  std::shared_ptr<ServedPage> served_;
  PageServer here_;
  mutable std::mutex saying_;
  std::vector<std::string> said_;
  PhoneServer phone_;
  std::vector<std::thread> threads_;
};

TEST(PhoneServer, LinkIsOfTheAddressAndASecret) {
  const PhoneServed one({}), other({});
  EXPECT_EQ(one.path.substr(0, 6), "/open/");
  EXPECT_EQ(one.path.size(), 6U + 26U);
  EXPECT_NE(one.path, other.path);
}

TEST(PhoneServer, ALookAtTheLinkDoesNotUseItUp) {
  const PhoneServed served({});
  for (int i = 0; i < 3; ++i) {
    const auto r = served.client().Get(served.path);
    EXPECT_EQ(r->status, 200);
    EXPECT_EQ(r->get_header_value("Content-Type"), "text/html; charset=utf-8");
    EXPECT_NE(r->body.find("<form method=\"post\">"), std::string::npos);
    EXPECT_EQ(r->body.find(served.path.substr(6)), std::string::npos);
    EXPECT_FALSE(r->has_header("Set-Cookie"));
    const auto head = served.client().Head(served.path);
    EXPECT_EQ(head->status, 200);
    EXPECT_EQ(head->body, "");
  }
  EXPECT_TRUE(served.said().empty());
  EXPECT_NE(served.opened(), "");
}

TEST(PhoneServer, TheFirstPhoneHasThePageAndGoesOnHavingIt) {
  const TemporaryFolder folder;
  folder.write("car.toml", "one\n");
  const PhoneServed served(folder / "car.toml", "<p>the page</p>");
  const auto r = served.client().Post(served.path, {{"Origin", "null"}}, "", "text/plain");
  ASSERT_TRUE(r);
  EXPECT_EQ(r->status, 303);
  EXPECT_EQ(r->get_header_value("Location"), "/");
  const auto cookie = r->get_header_value("Set-Cookie");
  const auto pair = cookie.substr(0, cookie.find(';'));
  EXPECT_EQ(cookie.substr(pair.size()), "; Path=/; HttpOnly; SameSite=Strict; Max-Age=86400");
  // Named by the port: browsers give one port's cookies to another.
  const auto name = "trammel-" + std::to_string(served.port) + "=";
  EXPECT_EQ(pair.substr(0, name.size()), name);
  EXPECT_EQ(pair.size(), name.size() + 26);
  EXPECT_EQ(pair.find(served.path.substr(6)), std::string::npos);
  ASSERT_EQ(served.said().size(), 1U);
  EXPECT_EQ(served.said()[0], "The phone at 127.0.0.1 has opened the page.");
  for (int i = 0; i < 3; ++i) {
    EXPECT_EQ(served.client().Get("/", {{"Cookie", pair}})->body, "<p>the page</p>");
    EXPECT_EQ(served.client().Get("/car", {{"Cookie", pair}})->body, "one\n");
    // Beside other cookies of that address.
    EXPECT_EQ(served.client().Get("/car", {{"Cookie", "a=b; " + pair + "; c"}})->status, 200);
  }
  // The link again, on the phone that has the page.
  for (const auto& again :
       {served.client().Get(served.path, {{"Cookie", pair}}),
        served.client().Post(served.path, {{"Cookie", pair}}, "", "text/plain")}) {
    EXPECT_EQ(again->status, 303);
    EXPECT_EQ(again->get_header_value("Location"), "/");
    EXPECT_FALSE(again->has_header("Set-Cookie"));
  }
  EXPECT_EQ(served.said().size(), 1U);
}

TEST(PhoneServer, TellsASecondPhone) {
  const TemporaryFolder folder;
  folder.write("car.toml", "one\n");
  const PhoneServed served(folder / "car.toml");
  const auto cookie = served.opened();
  for (const auto& r :
       {served.client().Get(served.path), served.client().Post(served.path, "", "text/plain")}) {
    EXPECT_EQ(r->status, 403);
    EXPECT_EQ(r->body.find("another phone has already opened this; end the program and start it "
                           "again"),
              0U)
        << r->body;
    EXPECT_FALSE(r->has_header("Set-Cookie"));
  }
  EXPECT_EQ(served.client().Get("/car", {{"Cookie", cookie}})->status, 200);
  EXPECT_EQ(served.said().size(), 1U);
}

TEST(PhoneServer, RefusesWhoeverHasNoSession) {
  const TemporaryFolder folder;
  folder.write("car.toml", "secret\n");
  const PhoneServed served(folder / "car.toml", "<p>the page</p>");
  const auto before = served.path.substr(6);  // the token is no session
  std::string name = "trammel-" + std::to_string(served.port), session;
  const auto all_refused = [&] {
    std::vector<std::string> cookies{"",
                                     name,
                                     name + "=",
                                     name + "=" + before,
                                     "x=" + session,
                                     name + "=" + session + "a",
                                     name + "x=" + session};
    if (!session.empty()) cookies.push_back(name + "=" + session.substr(0, 25));
    for (const auto& cookie : cookies)
      for (const char* path :
           {"/", "/car", "/nothing", "/open", "/../etc/passwd", "/favicon.ico"}) {
        auto client = served.client();
        Headers headers{{"Origin", served.origin}, {"If-Match", "*"}};
        if (!cookie.empty()) headers.emplace("Cookie", cookie);
        for (const auto& r :
             {client.Get(path, headers), client.Put(path, headers, "x", "text/plain"),
              client.Post(path, headers, "x", "text/plain"), client.Delete(path, headers),
              client.Options(path, headers)}) {
          ASSERT_TRUE(r) << path;
          EXPECT_EQ(r->status, 403) << cookie << path;
          EXPECT_EQ(r->body, "only the phone that opened the page may ask this\n");
          EXPECT_FALSE(r->has_header("ETag"));
          EXPECT_FALSE(r->has_header("X-Car-Name"));
        }
      }
  };
  all_refused();
  const auto cookie = served.opened();
  session = cookie.substr(name.size() + 1);
  all_refused();
  EXPECT_EQ(served.client().Get("/car", {{"Cookie", cookie}})->status, 200);
  EXPECT_EQ(folder.read("car.toml"), "secret\n");
  EXPECT_FALSE(served.ended);  // none of that was a guess at the link
}

TEST(PhoneServer, AnswersOnlyUnderItsOwnAddress) {
  const TemporaryFolder folder;
  folder.write("car.toml", "one\n");
  const PhoneServed served(folder / "car.toml");
  const auto port = std::to_string(served.port);
  const auto refused = [&](const Headers& with) {
    for (const auto& host : {"evil.example:" + port, std::string(network), "127.0.0.1:" + port,
                             "localhost:" + port, network + (":1" + port),
                             network + (".evil.example:" + port), "127.2:" + port, std::string()})
      for (const auto& path : {std::string("/"), std::string("/car"), served.path}) {
        auto headers = with;
        headers.emplace("Host", host);
        const auto r = served.client().Get(path, headers);
        EXPECT_EQ(r->status, 403) << host << path;
        EXPECT_EQ(r->body, "this page has another address\n");
        EXPECT_EQ(served.client().Post(path, headers, "", "text/plain")->status, 403);
      }
  };
  refused({});
  const auto cookie = served.opened();
  refused({{"Cookie", cookie}});
  EXPECT_EQ(status_in(served.raw("GET /car HTTP/1.1\r\nCookie: " + cookie + "\r\n\r\n")), "403");
  EXPECT_EQ(status_in(served.raw("GET /car HTTP/1.1\r\nHost: " + served.host +
                                 "\r\nHost: evil.example\r\nCookie: " + cookie + "\r\n\r\n")),
            "403");
}

TEST(PhoneServer, RefusesOtherOriginsAndWritesOnlyForItsOwn) {
  const TemporaryFolder folder;
  folder.write("car.toml", "one\n");
  const PhoneServed served(folder / "car.toml");
  for (const char* origin : {"https://evil.example", "http://127.0.0.1"})
    for (const auto& r :
         {served.client().Get(served.path, {{"Origin", origin}}),
          served.client().Post(served.path, {{"Origin", origin}}, "", "text/plain")})
      EXPECT_EQ(r->status, 403);
  const auto cookie = served.opened(), tag = served.etag(cookie);
  const auto port = std::to_string(served.port);
  for (const auto& origin :
       {std::string("https://evil.example"), std::string("null"), "https://" + served.host,
        "http://127.0.0.1:" + port, "http://localhost:" + port, served.origin + "/"}) {
    EXPECT_EQ(served.client().Get("/", {{"Cookie", cookie}, {"Origin", origin}})->status, 403);
    EXPECT_EQ(served.client().Get("/car", {{"Cookie", cookie}, {"Origin", origin}})->status, 403);
    EXPECT_EQ(served.client()
                  .Put("/car", {{"Cookie", cookie}, {"Origin", origin}, {"If-Match", tag}}, "x",
                       "text/plain")
                  ->status,
              403)
        << origin;
  }
  // Sec-Fetch-Site, which does for the same machine, does not for the network.
  EXPECT_EQ(
      served.client()
          .Put("/car", {{"Cookie", cookie}, {"Sec-Fetch-Site", "same-origin"}, {"If-Match", tag}},
               "x", "text/plain")
          ->status,
      403);
  EXPECT_EQ(served.client()
                .Put("/car",
                     {{"Cookie", cookie},
                      {"Origin", served.origin},
                      {"Origin", "https://evil.example"},
                      {"If-Match", tag}},
                     "x", "text/plain")
                ->status,
            403);
  EXPECT_EQ(folder.read("car.toml"), "one\n");
  EXPECT_EQ(served.put(cookie, "two\n", tag)->status, 204);
  EXPECT_EQ(folder.read("car.toml"), "two\n");
}

TEST(PhoneServer, HasNothingElseAndAllowsNoOtherMethod) {
  const TemporaryFolder folder;
  folder.write("car.toml", "one\n");
  const PhoneServed served(folder / "car.toml");
  const auto ask = [&](const std::string& method, const std::string& path,
                       const std::string& cookie) {
    return served.raw(method + " " + path + " HTTP/1.1\r\nHost: " + served.host +
                      "\r\nOrigin: " + served.origin + "\r\nContent-Length: 0\r\n" +
                      (cookie.empty() ? "" : "Cookie: " + cookie + "\r\n") + "\r\n");
  };
  for (const char* method : {"PUT", "DELETE", "OPTIONS", "PATCH"}) {
    const auto answer = ask(method, served.path, "");
    EXPECT_EQ(status_in(answer), "405");
    EXPECT_NE(answer.find("Allow: GET, HEAD, POST\r\n"), std::string::npos);
  }
  const auto cookie = served.opened();
  for (const char* path :
       {"/../etc/passwd", "/%2e%2e/etc/passwd", "/%2e%2e%2fetc%2fpasswd", "//etc/passwd", "//",
        "/car/", "/car/../car", "/car%00", "/CAR", "/car.toml", "/index.html", "/favicon.ico",
        "/..", "/./", "/open", "/Open/x", "car", "*"})
    for (const char* method : {"GET", "HEAD", "PUT", "POST", "DELETE", "OPTIONS"}) {
      EXPECT_EQ(status_in(ask(method, path, cookie)), "404") << method << " " << path;
      EXPECT_EQ(status_in(ask(method, path, "")), "403") << method << " " << path;
    }
  for (const char* path : {"/open/../car", "/open/%2e%2e/car", "/open/"})
    EXPECT_EQ(status_in(ask("GET", path, "")), "403") << path;
  for (const char* path : {"/", "/car"})
    for (const char* method : {"POST", "DELETE", "OPTIONS", "PATCH"})
      EXPECT_EQ(status_in(ask(method, path, cookie)), "405") << method << " " << path;
  EXPECT_EQ(status_in(ask("PUT", "/", cookie)), "405");
  EXPECT_EQ(folder.read("car.toml"), "one\n");
}

TEST(PhoneServer, WritesNothingThatIsTooLargeNoTextOrNotWhole) {
  const TemporaryFolder folder;
  folder.write("car.toml", "one\n");
  const PhoneServed served(folder / "car.toml");
  // Of a stranger not even the size is told.
  EXPECT_EQ(served.put("", std::string(2U << 20U, '#'), "\"x\"")->status, 403);
  const auto cookie = served.opened(), tag = served.etag(cookie);
  EXPECT_EQ(served.put(cookie, std::string((4U << 20U) + 1, '#'), tag)->status, 413);
  EXPECT_EQ(served.put(cookie, std::string(20U << 20U, '#'), tag)->status, 413);
  EXPECT_EQ(served.put(cookie, "\xff", tag)->status, 400);
  const auto head = "PUT /car HTTP/1.1\r\nHost: " + served.host + "\r\nOrigin: " + served.origin +
                    "\r\nCookie: " + cookie + "\r\nIf-Match: " + tag +
                    "\r\nContent-Type: text/plain\r\n";
  for (const char* rest :
       {"Content-Length: 10\r\n\r\nhalf", "Transfer-Encoding: chunked\r\n\r\n4\r\nhalf",
        "Transfer-Encoding: chunked\r\n\r\nzzzz\r\nhalf\r\n",
        "Transfer-Encoding: chunked\r\n\r\nffffffffffffffff\r\nhalf",
        "Transfer-Encoding: chunked\r\n\r\n-1\r\nhalf\r\n0\r\n\r\n", "Content-Length: 4\r\n\r\n",
        "Transfer-Encoding: chunked\r\n\r\n4\r\nfull\r\n0\r\n\r\n",
        "Transfer-Encoding: chunked\r\nContent-Length: 4\r\n\r\n4\r\nfull\r\n0\r\n\r\n",
        "Content-Length: 4\r\nContent-Length: 5\r\n\r\nfull"}) {
    const auto status = status_in(served.raw(head + rest, Then::cut_off));
    EXPECT_TRUE(status == "400" || status == "413" || status == "none") << rest << status;
    EXPECT_EQ(folder.read("car.toml"), "one\n") << rest;
  }
  EXPECT_EQ(status_in(served.raw(head + "Content-Length: 4\r\n\r\nfull")), "204");
  EXPECT_EQ(served.client().Get("/", {{"Cookie", cookie}})->status, 200);  // and goes on
}

// The two together, as they hold the same file.
TEST(PhoneServer, PhoneAndLaptopWriteNothingOverEachOther) {
  const TemporaryFolder folder;
  folder.write("car.toml", "one\n");
  const PhoneServed served(folder / "car.toml");
  const auto cookie = served.opened(), tag = served.etag(cookie);
  const auto here_origin = "http://127.0.0.1:" + std::to_string(served.here_port);
  const auto put_here = [&](const std::string& text, const std::string& made_from) {
    return served.here().Put("/car", {{"Origin", here_origin}, {"If-Match", made_from}}, text,
                             "text/plain");
  };
  EXPECT_EQ(served.here().Get("/car")->get_header_value("ETag"), tag);
  EXPECT_EQ(put_here("by the laptop\n", tag)->status, 204);
  const auto late = served.put(cookie, "by the phone\n", tag);
  EXPECT_EQ(late->status, 412);
  EXPECT_EQ(late->body, "by the laptop\n");
  EXPECT_EQ(folder.read("car.toml"), "by the laptop\n");
  EXPECT_EQ(served.put(cookie, "by the phone\n", late->get_header_value("ETag"))->status, 204);
  EXPECT_EQ(put_here("by the laptop again\n", late->get_header_value("ETag"))->status, 412);
  EXPECT_EQ(folder.read("car.toml"), "by the phone\n");
  for (int round = 0; round < 10; ++round) {
    const auto from = served.etag(cookie);
    std::atomic<int> won = 0, lost = 0;
    const auto count = [&](const httplib::Result& r) {
      if (r && r->status == 204) ++won;
      if (r && r->status == 412) ++lost;
    };
    std::thread laptop([&] { count(put_here("laptop " + std::to_string(round), from)); });
    std::thread phone([&] { count(served.put(cookie, "phone " + std::to_string(round), from)); });
    laptop.join();
    phone.join();
    EXPECT_EQ(won, 1);
    EXPECT_EQ(lost, 1);
  }
}

TEST(PhoneServer, ServesThePageWithoutACar) {
  const PhoneServed served({});
  const auto cookie = served.opened();
  EXPECT_EQ(served.client().Get("/", {{"Cookie", cookie}})->status, 200);
  EXPECT_EQ(served.client().Get("/car", {{"Cookie", cookie}})->status, 404);
  EXPECT_EQ(served.put(cookie, "x", "\"0-0\"")->status, 404);
}

TEST(PhoneServer, GuardsEveryAnswerByHeaders) {
  const PhoneServed served({});
  const auto cookie = served.opened();
  const PhoneServed fresh({});
  for (const auto& r : {served.client().Get("/"), served.client().Get("/", {{"Cookie", cookie}}),
                        served.client().Get("/nothing", {{"Cookie", cookie}}),
                        served.client().Get(served.path, {{"Cookie", cookie}}),
                        served.client().Get(served.path), fresh.client().Get(fresh.path)}) {
    EXPECT_EQ(r->get_header_value("Cache-Control"), "no-store");
    EXPECT_EQ(r->get_header_value("X-Content-Type-Options"), "nosniff");
    EXPECT_EQ(r->get_header_value("Referrer-Policy"), "no-referrer");
    EXPECT_EQ(r->get_header_value("X-Frame-Options"), "DENY");
    EXPECT_EQ(r->get_header_value("Cross-Origin-Resource-Policy"), "same-origin");
    EXPECT_EQ(r->get_header_value("Content-Security-Policy"), "frame-ancestors 'none'");
    EXPECT_FALSE(r->has_header("Access-Control-Allow-Origin"));
  }
}

TEST(PhoneServer, ClosesTheNetworkAfterTenWrongLinks) {
  const TemporaryFolder folder;
  folder.write("car.toml", "one\n");
  const PhoneServed served(folder / "car.toml");
  for (int i = 0; i < 10; ++i) {
    EXPECT_FALSE(served.ended);
    const auto wrong = "/open/" + std::string(static_cast<std::size_t>(i), 'a');
    const auto r = i % 2 == 0
                       ? served.client().Get(wrong)
                       : served.client().Post(wrong, "", "application/x-www-form-urlencoded");
    ASSERT_TRUE(r) << i;
    EXPECT_EQ(r->status, 403);
    EXPECT_EQ(r->body, "this link opens nothing\n");
  }
  while (!served.ended) std::this_thread::sleep_for(std::chrono::milliseconds(1));
  EXPECT_FALSE(served.client().Get(served.path));
  ASSERT_EQ(served.said().size(), 1U);
  EXPECT_EQ(
      served.said()[0],
      "10 wrong links were tried, the last from 127.0.0.1: the page is closed to the network, "
      "and open on this machine as before.");
  EXPECT_EQ(served.here().Get("/car")->body, "one\n");
}

// What another site makes a browser ask is no guess.
TEST(PhoneServer, CountsNoGuessOfAnotherSiteAndNoneOnceOpened) {
  const PhoneServed served({});
  for (int i = 0; i < 20; ++i) {
    EXPECT_EQ(served.client().Get("/open/x", {{"Host", "evil.example"}})->status, 403);
    EXPECT_EQ(served.client().Get("/open/x", {{"Origin", "https://evil.example"}})->status, 403);
  }
  const auto cookie = served.opened();
  for (int i = 0; i < 20; ++i) EXPECT_EQ(served.client().Get("/open/x")->status, 403);
  EXPECT_EQ(served.client().Get("/", {{"Cookie", cookie}})->status, 200);
}

TEST(PhoneServer, SharesNoPortAndNoOtherAddress) {
  const PhoneServed served({});
  PhoneServer second(served_page("page", {}), [](const std::string&) {});
  EXPECT_FALSE(second.open(network, served.port));
  EXPECT_THROW(ask_raw("127.0.0.3", served.port, "GET / HTTP/1.1\r\n\r\n"), std::runtime_error);
  EXPECT_THROW(ask_raw(network, served.here_port, "GET / HTTP/1.1\r\n\r\n"), std::runtime_error);
}

}  // namespace
}  // namespace trammel::testing
