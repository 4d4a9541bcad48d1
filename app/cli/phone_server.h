// The page and the car file for one phone, over the local network.
//
//   GET  /open/TOKEN   tells what opening means, with a button
//   POST /open/TOKEN   uses the token up: a session, as a cookie, and on to the page
//   /, /car            as of PageServer, with that cookie only
//
// A look at the link does not use it up, as a preview of a message or of a scanned code takes one;
// only the button does. And the page is then come to from here and not from another site, so that
// the cookie, SameSite=Strict, is with it.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>

#include "cli/page_server.h"

namespace trammel {

class PhoneServer {
 public:
  // Tells in words what happened; called from other threads.
  using Say = std::function<void(const std::string&)>;
  PhoneServer(std::shared_ptr<ServedPage> served, Say say);
  ~PhoneServer();
  PhoneServer(const PhoneServer&) = delete;
  PhoneServer& operator=(const PhoneServer&) = delete;

  // Takes the port of this machine's IPv4 address (0: any free one) and tells it; nothing where it
  // cannot be had.
  std::optional<int> open(const std::string& address, int port);
  // What the phone opens; after open().
  std::string link() const;
  // As of PageServer; ends also by too many wrong tokens.
  bool serve();
  void stop();

 private:
  class Inner;
  std::unique_ptr<Inner> inner_;
};

}  // namespace trammel
