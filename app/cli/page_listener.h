// What the servers of the page have in common: how the page and the car file are answered. Who may
// ask is for each of them to say.
#pragma once

#include <httplib.h>

#include <atomic>
#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <vector>

#include "cli/bounded_server.h"
#include "cli/page_server.h"

namespace trammel {

struct ServedPage {
  std::shared_ptr<const std::string> page;
  std::optional<std::string> car;  // the car's file; without one there is no /car
  std::mutex writing;              // from comparing to written, so that of two writers one wins
};

class PageListener {
 public:
  // Whether a request may be answered. Where not, it has been answered already; a PUT is judged
  // twice, before and after its body is read, and must come out alike.
  using Guard = std::function<bool(const httplib::Request&, httplib::Response&)>;

  PageListener(std::shared_ptr<ServedPage> served, Guard guard, RequestBounds bounds = {});

  // As of PageServer, for any address of this machine.
  std::optional<int> open(const std::string& address, int port);
  bool serve();
  // From another thread, or while a request is answered. Again: nothing.
  void stop();

 private:
  void answer(const httplib::Request& request, httplib::Response& response) const;
  void refuse_car(httplib::Response& response, const std::string& why) const;
  void send_car(httplib::Response& response, int status) const;
  void send_car(httplib::Response& response, int status, std::string text) const;
  void put(const httplib::Request& request, httplib::Response& response,
           const httplib::ContentReader& read) const;
  bool may_write(const httplib::Request& request, httplib::Response& response) const;
  void replace_car(const std::string& made_from, const std::string& text,
                   httplib::Response& response) const;

  BoundedServer server_;
  const std::shared_ptr<ServedPage> served_;
  const Guard guard_;
  std::atomic<bool> ended_ = false;
  std::once_flag stopped_;
};

void refuse(httplib::Response& response, int status, const std::string& why);

// The one value of a header; nothing where it is missing or said twice.
std::optional<std::string> one(const httplib::Request& request, const char* header);

// Whether a request is meant for one of `hosts` (address:port), and whether it comes from there as
// far as it says where it comes from: else refused. So goes what another site, or another name for
// this machine, makes a browser send.
bool is_for(const std::vector<std::string>& hosts, const httplib::Request& request,
            httplib::Response& response);
bool is_from(const std::vector<std::string>& hosts, const httplib::Request& request,
             httplib::Response& response);

}  // namespace trammel
