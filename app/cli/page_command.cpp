#include <fmt/format.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <csignal>
#include <iostream>
#include <optional>
#include <string>
#include <thread>
#include <vector>

#include "cli/commands.h"
#include "cli/embedded_page.h"
#include "cli/files.h"
#include "cli/local_network.h"
#include "cli/opened_car.h"
#include "cli/page_server.h"
#include "cli/phone_invitation.h"
#include "cli/phone_server.h"

namespace trammel {
namespace {

// Serves until Ctrl-C or the end is asked for; false where it ended without being asked. The
// phone's side may end earlier: it has said why.
bool serve_until_asked(PageServer& server, PhoneServer* phone, const sigset_t& asked) {
  std::atomic<bool> well = true;
  std::thread serving([&] {
    well = server.serve();
    ::kill(::getpid(), SIGTERM);  // should it end by itself: what is waited for below
  });
  std::thread serving_phone([&] {
    if (phone && !phone->serve())
      std::cerr << "trammel: the page can no longer be served to the network\n";
  });
  int signal = 0;
  ::sigwait(&asked, &signal);
  if (phone) phone->stop();
  server.stop();
  serving_phone.join();
  serving.join();
  return well;
}

// The port of the phone's side: the same as on this machine where it is free.
std::optional<int> open_for_phone(PhoneServer& phone, const std::string& address, int port,
                                  bool any_other) {
  const auto got = phone.open(address, port);
  return got || !any_other ? got : phone.open(address, 0);
}

int columns_of_terminal() {
  winsize size{};
  if (::isatty(STDOUT_FILENO) == 0) return 0;
  return ::ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0 ? size.ws_col : 80;
}

std::string in_use(int port) {
  return fmt::format(
      "trammel: --port: {} is in use, expected a free port or none (the program then finds one)\n",
      port);
}

}  // namespace

int run_page(const PageWords& words) {
  if (embedded_page().empty()) {
    std::cerr << "trammel: this program was built without the page (TRAMMEL_PAGE is OFF)\n";
    return no_answer;
  }
  std::optional<std::string> car;
  if (!words.file.empty()) {
    // What it says is the page's to judge.
    if (const auto why = read_file(words.file).why; !why.empty()) {
      complain(words.file, {{0, why}});
      return bad_input;
    }
    car = words.file;
  }
  auto addresses = words.phone ? local_addresses() : std::vector<std::string>{};
  const auto at = words.phone ? choose_address(addresses, words.address) : ChosenAddress{};
  if (!at.why.empty()) {
    std::cerr << fmt::format("trammel: {}: {}\n", at.asked_wrongly ? "--address" : "--phone",
                             at.why);
    return at.asked_wrongly ? bad_input : no_answer;
  }
  // Before there are threads, so that none of them is interrupted.
  sigset_t asked;
  sigemptyset(&asked);
  sigaddset(&asked, SIGINT);
  sigaddset(&asked, SIGTERM);
  pthread_sigmask(SIG_BLOCK, &asked, nullptr);

  const auto served = served_page(std::string(embedded_page()), car);
  PageServer server(served);
  const auto port = server.open(words.port);
  if (!port) {
    std::cerr << (words.port > 0
                      ? in_use(words.port)
                      : std::string("trammel: no port of this machine can be had for the page\n"));
    return words.port > 0 ? bad_input : no_answer;
  }
  std::optional<PhoneServer> phone;
  if (words.phone) {
    phone.emplace(served, [](const std::string& what) { std::cout << what + "\n" << std::flush; });
    if (!open_for_phone(*phone, at.address, *port, words.port == 0)) {
      std::cerr << (words.port > 0 ? in_use(words.port)
                                   : fmt::format("trammel: no port of {} can be had for the page\n",
                                                 at.address));
      return words.port > 0 ? bad_input : no_answer;
    }
  }
  std::cout << fmt::format("The page is at http://127.0.0.1:{}/ - press Ctrl-C to end.\n", *port)
            << std::flush;
  if (phone) {
    addresses.erase(std::remove(addresses.begin(), addresses.end(), at.address), addresses.end());
    std::cout << phone_invitation(phone->link(), car, addresses, columns_of_terminal())
              << std::flush;
  }
  if (serve_until_asked(server, phone ? &*phone : nullptr, asked)) return 0;
  std::cerr << "trammel: the page can no longer be served\n";
  return no_answer;
}

}  // namespace trammel
