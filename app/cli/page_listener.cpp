#include "cli/page_listener.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cstdint>
#include <filesystem>
#include <string_view>
#include <thread>

#include "cli/files.h"

namespace trammel {
namespace {

using httplib::Request;
using httplib::Response;

constexpr std::size_t largest_car = 4U << 20U;
// A text that is too large is read to its end up to here, so that the answer reaches its sender.
constexpr std::size_t most_read = 16 * largest_car;

constexpr const char* plain = "text/plain; charset=utf-8";

// FNV-1a and the length: enough to tell a changed file; not made against forgery, which nobody who
// may write the file needs.
std::string etag(std::string_view text) {
  std::uint64_t hash = 0xcbf29ce484222325U;
  for (const char c : text) hash = (hash ^ static_cast<unsigned char>(c)) * 0x100000001b3U;
  return fmt::format("\"{:016x}-{}\"", hash, text.size());
}

// A header holds plain signs only.
std::string percent_encoded(std::string_view text) {
  std::string encoded;
  for (const char c : text) {
    const bool as_it_is = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') ||
                          (c >= '0' && c <= '9') || c == '-' || c == '.' || c == '_' || c == '~';
    if (as_it_is) encoded += c;
    else encoded += fmt::format("%{:02X}", static_cast<unsigned char>(c));
  }
  return encoded;
}

// UTF-8 without a zero byte (RFC 3629: shortest form, no surrogates, up to U+10FFFF).
bool is_text(std::string_view bytes) {
  for (std::size_t i = 0; i < bytes.size();) {
    const auto first = static_cast<unsigned char>(bytes[i]);
    if (first == 0) return false;
    if (first < 0x80U) {
      ++i;
      continue;
    }
    std::size_t more = 0;
    std::uint32_t smallest = 0, sign = 0;
    if (first >= 0xc0U && first < 0xe0U) more = 1, smallest = 0x80, sign = first & 0x1fU;
    else if (first >= 0xe0U && first < 0xf0U) more = 2, smallest = 0x800, sign = first & 0x0fU;
    else if (first >= 0xf0U && first < 0xf8U) more = 3, smallest = 0x10000, sign = first & 0x07U;
    else return false;
    if (bytes.size() - i <= more) return false;
    for (std::size_t k = 1; k <= more; ++k) {
      const auto next = static_cast<unsigned char>(bytes[i + k]);
      if ((next & 0xc0U) != 0x80U) return false;
      sign = sign << 6U | (next & 0x3fU);
    }
    if (sign < smallest || sign > 0x10ffffU || (sign >= 0xd800U && sign < 0xe000U)) return false;
    i += more + 1;
  }
  return true;
}

// As a stream of known length: httplib would otherwise pack it first, which takes seconds for
// megabytes and saves nothing on the way to the same machine.
void send(Response& response, int status, const char* type,
          const std::shared_ptr<const std::string>& bytes) {
  response.status = status;
  if (bytes->empty()) {
    response.set_content("", type);
    return;
  }
  response.set_content_provider(
      bytes->size(), type, [bytes](std::size_t from, std::size_t length, httplib::DataSink& sink) {
        return sink.write(bytes->data() + from, length);
      });
}

bool is_plain_text(const Request& request) {
  auto type = one(request, "Content-Type").value_or("");
  type.resize(std::min(type.find(';'), type.size()));
  while (!type.empty() && type.back() == ' ') type.pop_back();
  return type == "text/plain";
}

}  // namespace

void refuse(Response& response, int status, const std::string& why) {
  response.status = status;
  response.set_content(why + "\n", plain);
}

std::optional<std::string> one(const Request& request, const char* header) {
  if (request.get_header_value_count(header) != 1) return {};
  return request.get_header_value(header);
}

bool is_for(const std::vector<std::string>& hosts, const Request& request, Response& response) {
  const auto host = one(request, "Host");
  if (!host || std::find(hosts.begin(), hosts.end(), *host) == hosts.end()) {
    refuse(response, 403, "this page has another address");
    return false;
  }
  return true;
}

bool is_from(const std::vector<std::string>& hosts, const Request& request, Response& response) {
  if (!request.has_header("Origin")) return true;
  const auto origin = one(request, "Origin");
  for (const auto& ours : hosts)
    if (origin == "http://" + ours) return true;
  refuse(response, 403, "only the page itself may ask this");
  return false;
}

PageListener::PageListener(std::shared_ptr<ServedPage> served, Guard guard, RequestBounds bounds)
    : server_(bounds), served_(std::move(served)), guard_(std::move(guard)) {
  server_.set_default_headers({{"Cache-Control", "no-store"},
                               {"X-Content-Type-Options", "nosniff"},
                               {"Referrer-Policy", "no-referrer"},
                               {"X-Frame-Options", "DENY"},
                               {"Cross-Origin-Resource-Policy", "same-origin"},
                               // What the page itself cannot say; the rest of its policy it does.
                               {"Content-Security-Policy", "frame-ancestors 'none'"}});
  // httplib's own choice lets two programs share a port, and a browser would reach either.
  server_.set_socket_options([](socket_t socket) {
    const int yes = 1;
    ::setsockopt(socket, SOL_SOCKET, SO_REUSEADDR, &yes, sizeof yes);
  });
  server_.set_exception_handler([](const Request&, Response& response, const std::exception_ptr&) {
    refuse(response, 500, "the program could not answer this");
  });
  // All but PUT /car, which is judged once its body has been read: an answer given before may be
  // lost while the browser still sends.
  server_.set_pre_routing_handler([this](const Request& request, Response& response) {
    if (request.path == "/car" && request.method == "PUT") {
      // httplib reads the parts of such a body by other ways, which are not there.
      if (!request.is_multipart_form_data()) return httplib::Server::HandlerResponse::Unhandled;
      if (guard_(request, response)) refuse(response, 415, "expected text/plain");
      return httplib::Server::HandlerResponse::Handled;
    }
    if (guard_(request, response)) answer(request, response);
    return httplib::Server::HandlerResponse::Handled;
  });
  server_.Put("/car", [this](const Request& request, Response& response,
                             const httplib::ContentReader& read) { put(request, response, read); });
}

std::optional<int> PageListener::open(const std::string& address, int port) {
  const int got = port == 0 ? server_.bind_to_any_port(address)
                            : (server_.bind_to_port(address, port) ? port : -1);
  return got > 0 ? std::optional(got) : std::nullopt;
}

bool PageListener::serve() {
  const bool asked = server_.listen_after_bind();
  ended_ = true;
  return asked;
}

void PageListener::stop() {
  std::call_once(stopped_, [this] {
    // httplib takes no notice of a stop before it listens.
    while (!server_.is_running() && !ended_)
      std::this_thread::sleep_for(std::chrono::milliseconds(1));
    server_.end();
  });
}

void PageListener::answer(const Request& request, Response& response) const {
  const bool page = request.path == "/";
  if (!page && !(request.path == "/car" && served_->car)) {
    refuse(response, 404, "there is nothing here");
  } else if (request.method != "GET" && request.method != "HEAD") {
    response.set_header("Allow", page ? "GET, HEAD" : "GET, HEAD, PUT");
    refuse(response, 405, "this cannot be done here");
  } else if (!request.ranges.empty()) {
    response.status = 416;  // without words: httplib would cut them to the range
  } else if (page) {
    send(response, 200, "text/html; charset=utf-8", served_->page);
  } else {
    send_car(response, 200);
  }
}

void PageListener::refuse_car(Response& response, const std::string& why) const {
  refuse(response, 500, fmt::format("{}: {}", *served_->car, why));
}

void PageListener::send_car(Response& response, int status) const {
  auto text = read_file(*served_->car);
  if (text.text) send_car(response, status, std::move(*text.text));
  else refuse_car(response, text.why);
}

void PageListener::send_car(Response& response, int status, std::string text) const {
  response.set_header("ETag", etag(text));
  response.set_header("X-Car-Name",
                      percent_encoded(std::filesystem::path(*served_->car).filename().string()));
  send(response, status, plain, std::make_shared<const std::string>(std::move(text)));
}

void PageListener::put(const Request& request, Response& response,
                       const httplib::ContentReader& read) const {
  const bool known = guard_(request, response);
  std::string text;
  std::size_t size = 0;
  // Of a stranger nothing is held, and no more is read than an answer to a lost phone needs.
  const bool whole = read([&](const char* data, std::size_t length) {
    size += length;
    if (known && size <= largest_car) text.append(data, length);
    return size <= (known ? most_read : largest_car);
  });
  if (!guard_(request, response) || !may_write(request, response)) return;
  if (size > largest_car) {
    refuse(response, 413, "this is larger than 4 MB, expected a car file");
  } else if (!whole || request.has_header("Transfer-Encoding") ||
             one(request, "Content-Length") != std::to_string(size)) {
    refuse(response, 400, "not all of the text arrived");
  } else if (text.find_first_not_of(" \t\r\n") == std::string::npos) {
    refuse(response, 400, "there is nothing in this text, expected a car file");
  } else if (!is_text(text)) {
    refuse(response, 400, "this is no text in UTF-8, expected a car file");
  } else {
    replace_car(request.get_header_value("If-Match"), text, response);
  }
}

// The head of a PUT.
bool PageListener::may_write(const Request& request, Response& response) const {
  if (!served_->car) {
    refuse(response, 404, "the program was started without a car");
  } else if (!request.has_header("Origin") && one(request, "Sec-Fetch-Site") != "same-origin") {
    refuse(response, 403, "only the page itself may write the car");
  } else if (!is_plain_text(request)) {
    refuse(response, 415, "expected text/plain");
  } else if (!one(request, "If-Match")) {
    refuse(response, 428, "expected If-Match: which text this one was made from");
  } else {
    return true;
  }
  return false;
}

void PageListener::replace_car(const std::string& made_from, const std::string& text,
                               Response& response) const {
  const std::lock_guard lock(served_->writing);
  HeldFile held(*served_->car);
  if (!held.read().text) {
    refuse_car(response, held.read().why);
  } else if (etag(*held.read().text) != made_from) {
    send_car(response, 412, *held.read().text);
  } else if (const auto failed = held.replace(text); held.changed_meanwhile()) {
    send_car(response, 412);
  } else if (!failed.empty()) {
    refuse_car(response, failed);
  } else {
    response.set_header("ETag", etag(text));
    response.status = 204;
  }
}

}  // namespace trammel
