// The core in the page's worker: one function, texts in and out.
#include <emscripten/bind.h>

#include "wasm/desk.h"

namespace {

// A worker has one desk for as long as it lives.
trammel::Desk& desk() {
  static trammel::Desk the_desk;
  return the_desk;
}

std::string answer(const std::string& request, emscripten::val progress) {
  return desk().answer(request, [&](double share) { progress(share); });
}

}  // namespace

EMSCRIPTEN_BINDINGS(trammel) { emscripten::function("answer", &answer); }
