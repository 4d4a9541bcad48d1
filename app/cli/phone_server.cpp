#include "cli/phone_server.h"

#include <fmt/format.h>

#include <string_view>

#include "cli/page_listener.h"
#include "cli/phone_gate.h"

namespace trammel {
namespace {

using httplib::Request;
using httplib::Response;

constexpr std::string_view opening = "/open/";

// A phone may put its browser to sleep for hours; the session ends with the program anyway.
constexpr int session_s = 24 * 3600;

constexpr const char* opening_page =
    R"(<!doctype html>
<html lang="en">
  <head>
    <meta charset="utf-8" />
    <meta http-equiv="Content-Security-Policy"
      content="default-src 'none'; style-src 'unsafe-inline'; img-src data:; form-action 'self'; base-uri 'none'" />
    <meta name="viewport" content="width=device-width, initial-scale=1" />
    <meta name="color-scheme" content="light dark" />
    <title>Trammel</title>
    <link rel="icon" href="data:," />
    <style>
      body { font: 1.125rem/1.5 system-ui, sans-serif; margin: 2rem; max-width: 34rem }
      button { font: inherit; padding: 0 1.5rem; min-height: 56px }
    </style>
  </head>
  <body>
    <main>
      <h1>Trammel</h1>
      <p>The first phone that opens the page here has it until the program ends; every other one is
        refused. It can read and change the car file that the program was started with, if any.</p>
      <p>The way to it is not encrypted: whoever can listen in this network can do the same. Open it
        in your own network only.</p>
      <form method="post"><button>Open it on this phone</button></form>
    </main>
  </body>
</html>
)";

}  // namespace

class PhoneServer::Inner {
 public:
  Inner(std::shared_ptr<ServedPage> served, Say say)
      : say_(std::move(say)),
        listener_(std::move(served), [this](const Request& request, Response& response) {
          return lets_in(request, response);
        }) {}

  std::optional<int> open(const std::string& address, int port) {
    const auto got = listener_.open(address, port);
    if (!got) return {};
    host_ = fmt::format("{}:{}", address, *got);
    // Browsers do not tell one port's cookies from another's.
    cookie_ = fmt::format("trammel-{}", *got);
    return got;
  }
  std::string link() const { return fmt::format("http://{}{}{}", host_, opening, gate_.token()); }
  bool serve() { return listener_.serve(); }
  void stop() { listener_.stop(); }

 private:
  bool lets_in(const Request& request, Response& response) {
    if (gate_.closed()) {
      refuse(response, 403, "this is closed");
    } else if (!is_for({host_}, request, response)) {
      return false;
    } else if (!(is_opening(request) && is_own_form(request)) &&
               !is_from({host_}, request, response)) {
      return false;
    } else if (is_opening(request)) {
      answer_opening(request, response);
    } else if (!has_session(request)) {
      refuse(response, 403, "only the phone that opened the page may ask this");
    } else if (!request.has_header("Origin") && request.method == "PUT") {
      // On plain http no browser says by Sec-Fetch-Site where a request comes from.
      refuse(response, 403, "only the page itself may write the car");
    } else {
      return true;
    }
    return false;
  }

  static bool is_opening(const Request& request) {
    return std::string_view(request.path).substr(0, opening.size()) == opening;
  }

  // A form of a page that sends no referrer says "null" for where it comes from (Fetch, "append a
  // request Origin header"). Others may say so too; who has the token needs no other proof.
  static bool is_own_form(const Request& request) { return one(request, "Origin") == "null"; }

  bool has_session(const Request& request) const {
    for (std::size_t i = 0; i < request.get_header_value_count("Cookie"); ++i) {
      const auto all = request.get_header_value("Cookie", i);
      for (std::string_view rest = all; !rest.empty();) {
        auto cookie = rest.substr(0, rest.find(';'));
        rest.remove_prefix(std::min(cookie.size() + 1, rest.size()));
        while (!cookie.empty() && cookie.front() == ' ') cookie.remove_prefix(1);
        const auto name = cookie.substr(0, cookie.find('='));
        if (name == cookie_ && name.size() < cookie.size() &&
            gate_.knows(cookie.substr(name.size() + 1)))
          return true;
      }
    }
    return false;
  }

  void answer_opening(const Request& request, Response& response) {
    const bool looks = request.method == "GET" || request.method == "HEAD";
    if (!looks && request.method != "POST") {
      response.set_header("Allow", "GET, HEAD, POST");
      refuse(response, 405, "this cannot be done here");
      return;
    }
    if (has_session(request)) {
      response.set_redirect("/", 303);
      return;
    }
    const auto token = std::string_view(request.path).substr(opening.size());
    const auto opened = looks ? PhoneGate::Opened{gate_.judge(token), ""} : gate_.open(token);
    switch (opened.worth) {
      case PhoneGate::Worth::opens:
        if (looks) {
          response.set_content(opening_page, "text/html; charset=utf-8");
          return;
        }
        response.set_header("Set-Cookie",
                            fmt::format("{}={}; Path=/; HttpOnly; SameSite=Strict; Max-Age={}",
                                        cookie_, opened.session, session_s));
        response.set_redirect("/", 303);
        say_(fmt::format("The phone at {} has opened the page.", request.remote_addr));
        return;
      case PhoneGate::Worth::used:
        refuse(response, 403,
               fmt::format("another phone has already opened this; end the program and start it "
                           "again (the phone that opened it goes to http://{}/)",
                           host_));
        return;
      case PhoneGate::Worth::last_wrong:
        say_(
            fmt::format("{} wrong links were tried, the last from {}: the page is closed to the "
                        "network, and open on this machine as before.",
                        PhoneGate::most_wrong, request.remote_addr));
        refuse(response, 403, "this link opens nothing");
        listener_.stop();
        return;
      case PhoneGate::Worth::wrong:
      case PhoneGate::Worth::closed:
        refuse(response, 403, "this link opens nothing");
        return;
    }
  }

  PhoneGate gate_;
  const Say say_;
  std::string host_, cookie_;  // from open() on
  PageListener listener_;
};

PhoneServer::PhoneServer(std::shared_ptr<ServedPage> served, Say say)
    : inner_(std::make_unique<Inner>(std::move(served), std::move(say))) {}
PhoneServer::~PhoneServer() = default;
std::optional<int> PhoneServer::open(const std::string& address, int port) {
  return inner_->open(address, port);
}
std::string PhoneServer::link() const { return inner_->link(); }
bool PhoneServer::serve() { return inner_->serve(); }
void PhoneServer::stop() { inner_->stop(); }

}  // namespace trammel
