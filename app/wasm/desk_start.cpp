// A car of one's own, from nothing: the page sends the answers so far.
#include "wasm/desk.h"

namespace trammel {

Started Desk::reply(const wire::Start& ask) { return start_car(ask.answers, StartPictures::drawn); }

}  // namespace trammel
