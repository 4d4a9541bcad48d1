#include "wasm/desk.h"
#include "wire/page_fields.h"
#include "wire/typescript.h"

namespace trammel {
namespace {

template <class... R>
std::string requests(wire::Typescript& ts, const std::variant<R...>*) {
  std::string replies;
  ((replies += std::string("  ") + wire::Fields<R>::kind + ": { ask: " + ts.type<R>() +
               "; reply: " + ts.type<typename R::Reply>() + " };\n"),
   ...);
  return replies;
}

}  // namespace

std::string contract_typescript() {
  wire::Typescript ts;
  const auto block = ts.type<wire::PageBlock>();
  const auto replies = requests(ts, static_cast<const wire::Request*>(nullptr));
  std::string text =
      "// What page and core say to each other. Made from the core's own tables of fields:\n"
      "//   build/dev/contract > app/page/src/model/contract.ts\n"
      "// A test fails where this file and those tables differ.\n\n" +
      ts.text() + "export type PageBlock =\n  " + block + ";\n\nexport interface Contract {\n" +
      replies + "}\n\nexport type Kind = keyof Contract;\n";
  return text;
}

}  // namespace trammel
