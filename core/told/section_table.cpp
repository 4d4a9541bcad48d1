#include "told/section_table.h"

#include <algorithm>

#include "base/check.h"

namespace trammel {

const SectionRow& row_of(SectionId id) {
  const auto* row = std::find_if(section_table.begin(), section_table.end(),
                                 [&](const SectionRow& r) { return r.id == id; });
  check(row != section_table.end(), "every section has its row in the table");
  return *row;
}

Section begun(SectionId id) {
  const auto& row = row_of(id);
  Section s;
  s.id = id;
  s.name = row.name;
  s.question = row.question;
  return s;
}

}  // namespace trammel
