#include "cli/page_server.h"

#include <fmt/format.h>

#include "cli/page_listener.h"

namespace trammel {

class PageServer::Inner {
 public:
  explicit Inner(std::shared_ptr<ServedPage> served)
      : listener_(std::move(served),
                  [this](const httplib::Request& request, httplib::Response& response) {
                    return is_for(hosts_, request, response) && is_from(hosts_, request, response);
                  }) {}

  std::optional<int> open(int port) {
    const auto got = listener_.open("127.0.0.1", port);
    if (got)
      for (const char* name : {"127.0.0.1", "localhost"})
        hosts_.push_back(fmt::format("{}:{}", name, *got));
    return got;
  }
  bool serve() { return listener_.serve(); }
  void stop() { listener_.stop(); }

 private:
  std::vector<std::string> hosts_;  // what a browser calls us
  PageListener listener_;
};

std::shared_ptr<ServedPage> served_page(std::string page, std::optional<std::string> car_file) {
  auto served = std::make_shared<ServedPage>();
  served->page = std::make_shared<const std::string>(std::move(page));
  served->car = std::move(car_file);
  return served;
}

PageServer::PageServer(std::shared_ptr<ServedPage> served)
    : inner_(std::make_unique<Inner>(std::move(served))) {}
PageServer::~PageServer() = default;
std::optional<int> PageServer::open(int port) { return inner_->open(port); }
bool PageServer::serve() { return inner_->serve(); }
void PageServer::stop() { inner_->stop(); }

}  // namespace trammel
