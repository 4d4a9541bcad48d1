// The page's edits: each gives the text after it, or the faults that it would have brought about.
#include <fmt/format.h>

#include "file/edit.h"
#include "file/wishes.h"
#include "measure/entry.h"
#include "travel/freedom.h"
#include "wasm/desk.h"
#include "wasm/paged.h"
#include "wasm/picks.h"

namespace trammel {

using namespace wire;

Changed Desk::reply(const Change& ask) {
  const auto before = parse(ask.text);
  if (!before.value) return {ask.text, seen(before.faults, ask.text)};
  return changed(*before.value, edit(*before.value, ask.path, as_toml(ask.typed)));
}

Changed Desk::reply(const Nudge& ask) {
  const auto before = parse(ask.text);
  if (!before.value) return {ask.text, seen(before.faults, ask.text)};
  return changed(*before.value, nudged(*before.value, ask.path, ask.by_mm));
}

Changed Desk::reply(const Choose& ask) {
  const auto before = parse(ask.text);
  if (!before.value) return {ask.text, seen(before.faults, ask.text)};
  const auto table = ask.set.axle + ".chosen";
  const auto kept =
      chosen_written_out(*before.value, ask.set.axle == "rear" ? AxleName::rear : AxleName::front);
  if (!kept.value) return {ask.text, seen(kept.faults, ask.text)};
  if (ask.none) return changed(*before.value, without_table(*kept.value, table));
  const auto car = read_car(*before.value);
  if (!car.value) return {ask.text, seen(car.faults, ask.text)};
  const auto wishes = read_wishes(*before.value, *car.value);
  Read<Document> after{*kept.value, {}};
  for (const auto& c : chosen_of(ask.set, wishes)) {
    const auto& option = wishes.options[c.option];
    after = put(*after.value, table + "." + key_text(option.name), chosen_toml(option, c));
    if (!after.value) break;
  }
  return changed(*before.value, after);
}

Changed Desk::reply(const Note& ask) {
  const auto before = parse(ask.text);
  if (!before.value) return {ask.text, seen(before.faults, ask.text)};
  const bool step = !ask.step.empty();
  const auto& about = step ? ask.step : ask.part;
  const auto value = as_toml(ask.typed);
  const Value* rows = before.value->root.find("job");
  if (rows && rows->array())
    for (std::size_t i = 0; i < rows->array()->size(); ++i) {
      const Value* named = (*rows->array())[i].find(step ? "step" : "part");
      if (named && named->string() && !named->string()->empty() &&
          (about == *named->string() || (step && ask.words.starts_with(*named->string()))))
        return changed(*before.value,
                       put(*before.value, fmt::format("job[{}].{}", i, ask.key), value));
    }
  return changed(*before.value,
                 add_row(*before.value, "job",
                         {{step ? "step" : "part", in_quotes(about)}, {ask.key, value}}));
}

}  // namespace trammel
