// The page and the car file over HTTP, asked for by a client of the same machine.
#include "cli/page_server.h"

#include <gtest/gtest.h>
#include <httplib.h>

#include <atomic>
#include <chrono>
#include <filesystem>
#include <thread>
#include <vector>

#include "app/raw_client.h"
#include "app/temporary_folder.h"

namespace trammel::testing {
namespace {

using httplib::Headers;

// Every byte there is, and more than one packet of it.
std::string any_bytes() {
  std::string bytes = "<!DOCTYPE html>";
  for (int i = 0; i < 300000; ++i) bytes += static_cast<char>(i * 7 + i / 256);
  return bytes;
}

class Served {
 public:
  explicit Served(std::optional<std::string> car, const std::string& page = "<p>page</p>")
      : server_(served_page(page, std::move(car))) {
    const auto got = server_.open(0);
    if (!got) throw std::runtime_error("no port");
    port = *got;
    thread_ = std::thread([this] { server_.serve(); });
  }
  Served(const Served&) = delete;
  Served& operator=(const Served&) = delete;
  ~Served() {
    server_.stop();
    thread_.join();
  }

  httplib::Client client() const { return httplib::Client("127.0.0.1", port); }
  std::string address() const { return "127.0.0.1:" + std::to_string(port); }
  std::string origin() const { return "http://" + address(); }
  std::string etag() const { return client().Get("/car")->get_header_value("ETag"); }
  // As the page writes.
  httplib::Result put(const std::string& text, const std::string& made_from) const {
    return client().Put("/car", {{"Origin", origin()}, {"If-Match", made_from}}, text,
                        "text/plain; charset=utf-8");
  }
  int connect() const { return connect_to("127.0.0.1", port); }
  std::string raw(const std::string& request, Then then = Then::wait,
                  const std::string& later = "") const {
    return ask_raw("127.0.0.1", port, request, then, later);
  }
  std::string status_of(const std::string& request) const { return status_in(raw(request)); }

  int port = 0;

 private:
  PageServer server_;
  std::thread thread_;
};

TEST(PageServer, GivesThePageByteForByte) {
  const auto page = any_bytes();
  const Served served({}, page);
  auto client = served.client();
  client.set_decompress(false);
  for (const Headers& headers : {Headers{}, Headers{{"Accept-Encoding", "gzip, deflate, br"}}}) {
    const auto r = client.Get("/", headers);
    ASSERT_TRUE(r);
    EXPECT_EQ(r->status, 200);
    EXPECT_TRUE(r->body == page);
    EXPECT_FALSE(r->has_header("Content-Encoding"));
    EXPECT_EQ(r->get_header_value("Content-Type"), "text/html; charset=utf-8");
  }
  const auto head = client.Head("/");
  EXPECT_EQ(head->status, 200);
  EXPECT_EQ(head->get_header_value("Content-Length"), std::to_string(page.size()));
}

TEST(PageServer, GuardsEveryAnswerByHeaders) {
  const TemporaryFolder folder;
  folder.write("car.toml", "name = 1\n");
  const Served served(folder / "car.toml");
  for (const char* path : {"/", "/car", "/nothing"}) {
    const auto r = served.client().Get(path);
    EXPECT_EQ(r->get_header_value("Cache-Control"), "no-store") << path;
    EXPECT_EQ(r->get_header_value("X-Content-Type-Options"), "nosniff") << path;
    EXPECT_EQ(r->get_header_value("Referrer-Policy"), "no-referrer") << path;
    EXPECT_EQ(r->get_header_value("X-Frame-Options"), "DENY") << path;
    EXPECT_EQ(r->get_header_value("Cross-Origin-Resource-Policy"), "same-origin") << path;
    EXPECT_EQ(r->get_header_value("Content-Security-Policy"), "frame-ancestors 'none'") << path;
    EXPECT_FALSE(r->has_header("Access-Control-Allow-Origin")) << path;
  }
}

TEST(PageServer, GivesTheCarWithItsTagAndName) {
  const TemporaryFolder folder;
  // Not TOML, not even text: what the file says is the page's to judge.
  for (const std::string& text : {std::string("name = [\n"), std::string("\xff\0x", 3),
                                  std::string(), std::string(100000, '#')}) {
    folder.write("größe 1%.toml", text);
    const Served served(folder / "größe 1%.toml");
    const auto r = served.client().Get("/car");
    EXPECT_EQ(r->status, 200);
    EXPECT_EQ(r->body, text);
    EXPECT_EQ(r->get_header_value("Content-Type"), "text/plain; charset=utf-8");
    EXPECT_EQ(r->get_header_value("X-Car-Name"), "größe 1%.toml");  // httplib decodes it
    EXPECT_NE(served.raw("HEAD /car HTTP/1.1\r\nHost: " + served.address() + "\r\n\r\n")
                  .find("\r\nX-Car-Name: gr%C3%B6%C3%9Fe%201%25.toml\r\n"),
              std::string::npos);
    const auto tag = r->get_header_value("ETag");
    ASSERT_GT(tag.size(), 2U);
    EXPECT_EQ(tag.front(), '"');
    EXPECT_EQ(tag.back(), '"');
    const auto head = served.client().Head("/car");
    EXPECT_EQ(head->status, 200);
    EXPECT_EQ(head->body, "");
    EXPECT_EQ(head->get_header_value("ETag"), tag);
    EXPECT_EQ(head->get_header_value("Content-Length"), std::to_string(text.size()));
    folder.write("größe 1%.toml", text + "#");  // another editor
    EXPECT_NE(served.client().Head("/car")->get_header_value("ETag"), tag);
  }
}

// FNV-1a of "a" as its authors give it.
TEST(PageServer, TagIsFnv1aAndTheLength) {
  const TemporaryFolder folder;
  folder.write("car.toml", "a");
  EXPECT_EQ(Served(folder / "car.toml").etag(), "\"af63dc4c8601ec8c-1\"");
}

TEST(PageServer, HasNoCarWithoutOne) {
  const Served served({});
  EXPECT_EQ(served.client().Get("/car")->status, 404);
  EXPECT_EQ(served.client().Head("/car")->status, 404);
  EXPECT_EQ(served.put("x", "\"0-0\"")->status, 404);
  EXPECT_EQ(served.client().Get("/")->status, 200);
}

TEST(PageServer, WritesWhatWasMadeFromTheTextOnDisk) {
  const TemporaryFolder folder;
  folder.write("car.toml", "one\n");
  const Served served(folder / "car.toml");
  const std::string text = "name = \"Größe €𝄞\"\n";
  const auto r = served.put(text, served.etag());
  EXPECT_EQ(r->status, 204);
  EXPECT_EQ(r->body, "");
  EXPECT_EQ(folder.read("car.toml"), text);
  EXPECT_EQ(r->get_header_value("ETag"), served.etag());
  // And on from there, to as much as there may be.
  const std::string most(4U << 20U, '#');
  EXPECT_EQ(served.put(most, r->get_header_value("ETag"))->status, 204);
  EXPECT_TRUE(folder.read("car.toml") == most);
  EXPECT_EQ(folder.count(), 1);
}

TEST(PageServer, TellsAConflictAndKeepsTheDisk) {
  const TemporaryFolder folder;
  folder.write("car.toml", "one\n");
  const Served served(folder / "car.toml");
  const auto tag = served.etag();
  folder.write("car.toml", "by another editor\n");
  for (const auto& made_from : {tag, std::string("*"), "W/" + served.etag(), std::string("\"\"")}) {
    const auto r = served.put("mine\n", made_from);
    EXPECT_EQ(r->status, 412) << made_from;
    EXPECT_EQ(r->body, "by another editor\n");
    EXPECT_EQ(r->get_header_value("ETag"), served.etag());
    EXPECT_EQ(folder.read("car.toml"), "by another editor\n");
  }
}

TEST(PageServer, OfManyWritersAtOnceOneWins) {
  const TemporaryFolder folder;
  folder.write("car.toml", "0");
  const Served served(folder / "car.toml");
  for (int round = 0; round < 10; ++round) {
    const auto tag = served.etag();
    std::atomic<int> won = 0, lost = 0;
    std::atomic<int> winner = -1;
    std::vector<std::thread> writers;
    for (int i = 0; i < 6; ++i)
      writers.emplace_back([&, i] {
        const auto text = std::to_string(round) + " by " + std::to_string(i);
        const auto r = served.put(text, tag);
        if (r && r->status == 204) ++won, winner = i;
        if (r && r->status == 412) ++lost;
      });
    for (auto& w : writers) w.join();
    EXPECT_EQ(won, 1);
    EXPECT_EQ(lost, 5);
    EXPECT_EQ(folder.read("car.toml"),
              std::to_string(round) + " by " + std::to_string(winner.load()));
  }
}

TEST(PageServer, RefusesAWriteThatIsNotAsThePageMakesIt) {
  const TemporaryFolder folder;
  folder.write("car.toml", "one\n");
  const Served served(folder / "car.toml");
  const auto tag = served.etag(), us = served.origin();
  auto client = served.client();
  const auto status = [&](const Headers& headers, const std::string& text = "x",
                          const char* type = "text/plain") {
    const auto r = client.Put("/car", headers, text, type);
    return r ? r->status : -1;
  };
  EXPECT_EQ(status({{"Origin", us}}), 428);
  EXPECT_EQ(status({{"Origin", us}, {"If-Match", tag}, {"If-Match", tag}}), 428);
  EXPECT_EQ(status({{"Origin", us}, {"If-Match", tag}}, "x", "application/toml"), 415);
  EXPECT_EQ(status({{"Origin", us}, {"If-Match", tag}}, "x", "text/plainer"), 415);
  EXPECT_EQ(status({{"If-Match", tag}}), 403);
  EXPECT_EQ(status({{"Sec-Fetch-Site", "cross-site"}, {"If-Match", tag}}), 403);
  EXPECT_EQ(status({{"Sec-Fetch-Site", "same-site"}, {"If-Match", tag}}), 403);
  EXPECT_EQ(status({{"Origin", us}, {"If-Match", tag}}, std::string((4U << 20U) + 1, '#')), 413);
  EXPECT_EQ(status({{"Origin", us}, {"If-Match", tag}}, std::string(20U << 20U, '#')), 413);
  EXPECT_EQ(folder.read("car.toml"), "one\n");
  // What tells these apart from one that is taken:
  EXPECT_EQ(status({{"Sec-Fetch-Site", "same-origin"}, {"If-Match", tag}}, "two\n"), 204);
  EXPECT_EQ(folder.read("car.toml"), "two\n");
}

TEST(PageServer, TakesOnlyText) {
  const TemporaryFolder folder;
  folder.write("car.toml", "one\n");
  const Served served(folder / "car.toml");
  auto tag = served.etag();
  using namespace std::string_literals;
  for (const auto& bad : {"a\0b"s, "\x80"s, "\xff"s, "a\xc3"s, "\xc0\xaf"s, "\xe0\x80\x80"s,
                          "\xed\xa0\x80"s, "\xf4\x90\x80\x80"s, "\xf0\x9f\x98"s, "\xc3("s}) {
    const auto r = served.put(bad, tag);
    EXPECT_EQ(r->status, 400);
    EXPECT_EQ(folder.read("car.toml"), "one\n");
  }
  for (const auto& good : {"\x7f"s, "\xc2\x80"s, "\xdf\xbf"s, "\xe0\xa0\x80"s, "\xed\x9f\xbf"s,
                           "\xee\x80\x80"s, "\xf0\x90\x80\x80"s, "\xf4\x8f\xbf\xbf"s}) {
    const auto r = served.put(good, tag);
    EXPECT_EQ(r->status, 204);
    EXPECT_EQ(folder.read("car.toml"), good);
    tag = r->get_header_value("ETag");
  }
}

TEST(PageServer, TakesNeitherAnEmptyTextNorAForm) {
  const TemporaryFolder folder;
  folder.write("car.toml", "one\n");
  const Served served(folder / "car.toml");
  EXPECT_EQ(served.put(" \n", served.etag())->status, 400);
  const auto form = served.client().Put(
      "/car", {{"Origin", served.origin()}, {"If-Match", served.etag()}},
      "--part\r\nContent-Disposition: form-data; name=\"car\"\r\n\r\ntwo\r\n--part--\r\n",
      "multipart/form-data; boundary=part");
  ASSERT_TRUE(form);
  EXPECT_EQ(form->status, 415);
  EXPECT_EQ(folder.read("car.toml"), "one\n");
}

TEST(PageServer, WritesNothingOfATextThatDidNotArriveWhole) {
  const TemporaryFolder folder;
  folder.write("car.toml", "one\n");
  const Served served(folder / "car.toml");
  const auto head = "PUT /car HTTP/1.1\r\nHost: " + served.address() +
                    "\r\nOrigin: " + served.origin() + "\r\nIf-Match: " + served.etag() +
                    "\r\nContent-Type: text/plain\r\n";
  for (const char* rest :
       {"Content-Length: 10\r\n\r\nhalf", "Transfer-Encoding: chunked\r\n\r\n4\r\nhalf", "\r\nhalf",
        "Content-Length: 4\r\n\r\n"}) {
    served.raw(head + rest, Then::cut_off);
    EXPECT_EQ(folder.read("car.toml"), "one\n") << rest;
  }
  EXPECT_EQ(served.status_of(head + "Content-Length: ten\r\n\r\nhalf"), "400");
  EXPECT_EQ(served.status_of(head + "Content-Length: 0x4\r\n\r\nhalf"), "400");
  EXPECT_EQ(served.status_of(head + "Transfer-Encoding: chunked\r\n\r\n4\r\nfull\r\n0\r\n\r\n"),
            "400");
  EXPECT_EQ(folder.read("car.toml"), "one\n");
  EXPECT_EQ(served.status_of(head + "Content-Length: 4\r\n\r\nfull"), "204");
  EXPECT_EQ(folder.read("car.toml"), "full");
}

TEST(PageServer, AnswersOnlyUnderItsOwnAddress) {
  const TemporaryFolder folder;
  folder.write("car.toml", "one\n");
  const Served served(folder / "car.toml");
  const auto port = std::to_string(served.port);
  auto client = served.client();
  for (const auto& host :
       {"evil.example:" + port, std::string("127.0.0.1"), "127.0.0.1:1" + port,
        "127.0.0.1.evil.example:" + port, "0.0.0.0:" + port, "[::1]:" + port, std::string()})
    for (const char* path : {"/", "/car", "/nothing"}) {
      EXPECT_EQ(client.Get(path, {{"Host", host}})->status, 403) << host << path;
      EXPECT_EQ(client.Get(path, {{"Host", host}})->body.find("one"), std::string::npos);
    }
  EXPECT_EQ(client.Get("/car", {{"Host", "localhost:" + port}})->status, 200);
  EXPECT_EQ(served.status_of("GET /car HTTP/1.1\r\n\r\n"), "403");
  EXPECT_EQ(served.status_of("GET /car HTTP/1.1\r\nHost: " + served.address() +
                             "\r\nHost: evil.example\r\n\r\n"),
            "403");
  EXPECT_EQ(client
                .Put("/car",
                     {{"Host", "evil.example:" + port},
                      {"Origin", served.origin()},
                      {"If-Match", served.etag()}},
                     "x", "text/plain")
                ->status,
            403);
  EXPECT_EQ(folder.read("car.toml"), "one\n");
}

TEST(PageServer, RefusesOtherOrigins) {
  const TemporaryFolder folder;
  folder.write("car.toml", "one\n");
  const Served served(folder / "car.toml");
  const auto port = std::to_string(served.port), tag = served.etag();
  auto client = served.client();
  for (const auto& origin :
       {std::string("https://evil.example"), std::string("null"), "https://127.0.0.1:" + port,
        "http://127.0.0.1:1" + port, std::string("http://localhost"), served.origin() + "/"}) {
    EXPECT_EQ(client.Get("/", {{"Origin", origin}})->status, 403) << origin;
    EXPECT_EQ(client.Get("/car", {{"Origin", origin}})->status, 403) << origin;
    EXPECT_EQ(
        client
            .Put("/car", {{"Origin", origin}, {"Sec-Fetch-Site", "same-origin"}, {"If-Match", tag}},
                 "x", "text/plain")
            ->status,
        403)
        << origin;
  }
  EXPECT_EQ(folder.read("car.toml"), "one\n");
  EXPECT_EQ(client.Get("/car", {{"Origin", "http://localhost:" + port}})->status, 200);
}

// A refused request may carry a second one in its body, with a forged head.
TEST(PageServer, TakesNoRequestFromTheBodyOfAnother) {
  const TemporaryFolder folder;
  folder.write("car.toml", "one\n");
  const Served served(folder / "car.toml");
  const auto inner = "PUT /car HTTP/1.1\r\nHost: " + served.address() +
                     "\r\nOrigin: " + served.origin() + "\r\nIf-Match: " + served.etag() +
                     "\r\nContent-Type: text/plain\r\nContent-Length: 6\r\n\r\nforged";
  for (const char* start : {"POST /x", "POST /car", "GET /", "PUT /car"}) {
    const auto outer = start + (" HTTP/1.1\r\nHost: " + served.address()) +
                       "\r\nOrigin: https://evil.example\r\nContent-Type: text/plain\r\n" +
                       "Connection: keep-alive\r\nContent-Length: " + std::to_string(inner.size()) +
                       "\r\n\r\n";
    // At once, and when the head alone may have been answered already.
    EXPECT_EQ(served.status_of(outer + inner), "403") << start;
    const auto answer = served.raw(outer, Then::wait, inner);
    EXPECT_EQ(answer.find("204"), std::string::npos) << answer;
    EXPECT_EQ(folder.read("car.toml"), "one\n") << start;
  }
}

TEST(PageServer, HasNothingElse) {
  const TemporaryFolder folder;
  folder.write("car.toml", "one\n");
  const Served served(folder / "car.toml");
  for (const char* path : {"/../etc/passwd", "/%2e%2e/etc/passwd", "/%2e%2e%2fetc%2fpasswd",
                           "//etc/passwd", "//", "/car/", "/car/../car", "/car%00", "/CAR",
                           "/car.toml", "/index.html", "/favicon.ico", "/..", "/./", "car", "*"})
    for (const char* method : {"GET", "HEAD", "PUT", "POST", "DELETE", "OPTIONS"}) {
      const auto answer = served.raw(std::string(method) + " " + path +
                                     " HTTP/1.1\r\nHost: " + served.address() + "\r\n\r\n");
      EXPECT_EQ(answer.substr(9, 3), "404") << method << " " << path;
      EXPECT_EQ(answer.find("root:"), std::string::npos);
    }
}

TEST(PageServer, AllowsNoOtherMethod) {
  const TemporaryFolder folder;
  folder.write("car.toml", "one\n");
  const Served served(folder / "car.toml");
  auto client = served.client();
  for (const char* path : {"/", "/car"}) {
    const std::string allowed = path == std::string("/") ? "GET, HEAD" : "GET, HEAD, PUT";
    for (const auto& r :
         {client.Post(path, "x", "text/plain"), client.Patch(path, "x", "text/plain"),
          client.Delete(path), client.Options(path)}) {
      EXPECT_EQ(r->status, 405);
      EXPECT_EQ(r->get_header_value("Allow"), allowed);
    }
    EXPECT_EQ(client.Get(path, {{"Range", "bytes=0-1"}})->status, 416);
  }
  EXPECT_EQ(client.Put("/", {{"Origin", served.origin()}}, "x", "text/plain")->status, 405);
  EXPECT_EQ(folder.read("car.toml"), "one\n");
}

TEST(PageServer, TellsWhatIsWrongWithTheFileAndGoesOn) {
  const TemporaryFolder folder;
  folder.write("car.toml", "one\n");
  const Served served(folder / "car.toml");
  const auto tag = served.etag();
  const auto all_fail = [&](const std::string& why) {
    const auto get = served.client().Get("/car"), put = served.put("x", tag);
    EXPECT_EQ(get->status, 500);
    EXPECT_EQ(get->body, folder / "car.toml" + (": " + why + "\n"));
    EXPECT_EQ(put->status, 500);
    EXPECT_EQ(put->body, folder / "car.toml" + (": " + why + "\n"));
    EXPECT_EQ(served.client().Get("/")->status, 200);
  };
  std::filesystem::remove(folder / "car.toml");
  all_fail("cannot be opened (No such file or directory), expected a car file");
  EXPECT_EQ(folder.count(), 0);
  std::filesystem::create_directory(folder / "car.toml");
  all_fail("is a folder, expected a car file");
  std::filesystem::remove(folder / "car.toml");
  folder.write("car.toml", std::string((4U << 20U) + 1, '#'));
  all_fail("is larger than 4 MB, expected a car file");
  folder.write("car.toml", "one\n");
  std::filesystem::permissions(folder / "car.toml", std::filesystem::perms(0));
  {
    const WithoutRights ordinary;
    all_fail("cannot be opened (Permission denied), expected a car file");
  }
  std::filesystem::permissions(folder / "car.toml", std::filesystem::perms(0444));
  {
    const WithoutRights ordinary;
    const auto put = served.put("x", tag);
    EXPECT_EQ(put->status, 500);
    EXPECT_EQ(put->body, folder / "car.toml" + ": cannot be written (Permission denied)\n");
  }
  std::filesystem::permissions(folder / "car.toml", std::filesystem::perms(0644));
  EXPECT_EQ(folder.read("car.toml"), "one\n");
  EXPECT_EQ(served.put("two\n", tag)->status, 204);
}

TEST(PageServer, WritesThroughALink) {
  const TemporaryFolder folder;
  folder.write("car.toml", "one\n");
  std::filesystem::create_symlink("car.toml", folder / "link.toml");
  const Served served(folder / "link.toml");
  EXPECT_EQ(served.client().Get("/car")->get_header_value("X-Car-Name"), "link.toml");
  EXPECT_EQ(served.put("two\n", served.etag())->status, 204);
  EXPECT_EQ(folder.read("car.toml"), "two\n");
  EXPECT_TRUE(std::filesystem::is_symlink(folder / "link.toml"));
}

TEST(PageServer, SharesNoPort) {
  const Served served({});
  PageServer second(served_page("page", {}));
  EXPECT_FALSE(second.open(served.port));
}

// A browser opens connections that it may need later.
TEST(PageServer, EndsSoonWithIdleConnectionsOpen) {
  std::chrono::steady_clock::time_point began;
  std::vector<int> idle;
  {
    const Served served({});
    for (int i = 0; i < 6; ++i) idle.push_back(served.connect());
    const auto r = served.client().Get("/");
    ASSERT_TRUE(r);
    EXPECT_EQ(r->status, 200);
    began = std::chrono::steady_clock::now();
  }
  EXPECT_LT(std::chrono::steady_clock::now() - began, std::chrono::seconds(3));
  for (const int at : idle) ::close(at);
}

}  // namespace
}  // namespace trammel::testing
