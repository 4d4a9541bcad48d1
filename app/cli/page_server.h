// The page and the car file over HTTP, for browsers on this machine alone.
//
//   GET /        the page
//   GET /car     the car file's bytes, with ETag and X-Car-Name (HEAD: these alone)
//   PUT /car     the new text; If-Match says which text it was made from
//
// Other machines cannot connect. Other sites, open in the same browser, can make it send requests:
// these are told by their Host and Origin and refused.
#pragma once

#include <memory>
#include <optional>
#include <string>

namespace trammel {

// What is served, by this server and a PhoneServer (phone_server.h) alike. Without a car there is
// no /car.
struct ServedPage;
std::shared_ptr<ServedPage> served_page(std::string page, std::optional<std::string> car_file);

class PageServer {
 public:
  explicit PageServer(std::shared_ptr<ServedPage> served);
  ~PageServer();
  PageServer(const PageServer&) = delete;
  PageServer& operator=(const PageServer&) = delete;

  // Takes the port (0: any free one) and tells it; nothing where it cannot be had.
  std::optional<int> open(int port);
  // Serves until stop(); false where it ended without it. Once, after open().
  bool serve();
  // From another thread, once that runs or is about to run serve().
  void stop();

 private:
  class Inner;
  std::unique_ptr<Inner> inner_;
};

}  // namespace trammel
