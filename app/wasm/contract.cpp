#include <fmt/format.h>

#include "told/section_table.h"
#include "wasm/desk.h"
#include "wire/page_fields.h"
#include "wire/typescript.h"

namespace trammel {
namespace {

// One after the other: the order in which types are first met is the order in which they stand, the
// same by every compiler.
template <class R>
std::string request(wire::Typescript& ts) {
  const auto reply = ts.type<typename R::Reply>();
  const auto ask = ts.type<R>();
  return std::string("  ") + wire::Fields<R>::kind + ": { ask: " + ask + "; reply: " + reply +
         " };\n";
}

template <class... R>
std::string requests(wire::Typescript& ts, const std::variant<R...>*) {
  std::string all;
  ((all += request<R>(ts)), ...);
  return all;
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
      replies + "}\n\nexport type Kind = keyof Contract;\n\n" +
      "// Every section, in the order of the job.\nexport const sectionTable = [\n";
  for (const auto& row : section_table)
    text += fmt::format(
        "  {{\n    name: '{}',\n    step: '{}',\n    question: '{}',\n    stage: '{}',\n"
        "    toldOf: '{}',\n  }},\n",
        row.name, row.step, row.question, word(row.stage), word(row.told_of));
  return text + "] as const;\n";
}

}  // namespace trammel
