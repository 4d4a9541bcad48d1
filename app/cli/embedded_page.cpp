#include "cli/embedded_page.h"

#ifdef TRAMMEL_HAS_PAGE
extern "C" {
extern const char trammel_page_begin[];  // embedded_page.S
extern const char trammel_page_end[];
}
#endif

namespace trammel {

std::string_view embedded_page() {
#ifdef TRAMMEL_HAS_PAGE
  return {trammel_page_begin, trammel_page_end};
#else
  return {};
#endif
}

}  // namespace trammel
