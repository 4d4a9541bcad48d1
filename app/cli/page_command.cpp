#include <fmt/format.h>
#include <unistd.h>

#include <atomic>
#include <csignal>
#include <filesystem>
#include <iostream>
#include <thread>

#include "cli/commands.h"
#include "cli/embedded_page.h"
#include "cli/files.h"
#include "cli/page_server.h"

namespace trammel {
namespace {

constexpr int no_answer = 1, bad_input = 2;

// Why a file cannot be the page's car; empty where it can. What it says is the page's to judge.
std::string unfit(const std::string& file) {
  std::error_code error;
  if (std::filesystem::exists(file, error) && !std::filesystem::is_directory(file, error) &&
      !std::filesystem::is_regular_file(file, error))
    return "is no ordinary file, expected a car file";
  return read_file(file).why;
}

// Serves until Ctrl-C or the end is asked for; false where it ended without being asked.
bool serve_until_asked(PageServer& server, const sigset_t& asked) {
  std::atomic<bool> well = true;
  std::thread serving([&] {
    well = server.serve();
    ::kill(::getpid(), SIGTERM);  // should it end by itself: what is waited for below
  });
  int signal = 0;
  ::sigwait(&asked, &signal);
  server.stop();
  serving.join();
  return well;
}

}  // namespace

int run_page(const PageWords& words) {
  if (embedded_page().empty()) {
    std::cerr << "trammel: this program was built without the page (TRAMMEL_PAGE is OFF)\n";
    return no_answer;
  }
  std::optional<std::string> car;
  if (!words.file.empty()) {
    if (const auto why = unfit(words.file); !why.empty()) {
      std::cerr << fmt::format("{}: {}\n", words.file, why);
      return bad_input;
    }
    car = words.file;
  }
  // Before there are threads, so that none of them is interrupted.
  sigset_t asked;
  sigemptyset(&asked);
  sigaddset(&asked, SIGINT);
  sigaddset(&asked, SIGTERM);
  pthread_sigmask(SIG_BLOCK, &asked, nullptr);

  PageServer server(served_page(std::string(embedded_page()), std::move(car)));
  const auto port = server.open(words.port);
  if (!port) {
    std::cerr << (words.port > 0
                      ? fmt::format("trammel: --port: {} is in use, expected a free port or none "
                                    "(the program then finds one)\n",
                                    words.port)
                      : std::string("trammel: no port of this machine can be had for the page\n"));
    return words.port > 0 ? bad_input : no_answer;
  }
  std::cout << fmt::format("The page is at http://127.0.0.1:{}/ - press Ctrl-C to end.\n", *port)
            << std::flush;
  if (serve_until_asked(server, asked)) return 0;
  std::cerr << "trammel: the page can no longer be served\n";
  return no_answer;
}

}  // namespace trammel
