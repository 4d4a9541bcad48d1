// What the core tells, as the page shows it.
#pragma once

#include <string>
#include <vector>

#include "file/document.h"
#include "measure/round.h"
#include "told/section.h"
#include "wire/page_messages.h"

namespace trammel {

// Faults with the lines of `text` that they speak of.
std::vector<wire::FaultSeen> seen(const std::vector<Fault>& faults, const std::string& text);

// What an edit came to: the new text, or what it would have brought about.
wire::Changed changed(const Document& before, const Read<Document>& after);

// Why nothing can be shown of a file at fault.
std::string why_of(const std::vector<wire::FaultSeen>& faults);
inline Units units_of(bool inch) { return inch ? Units::inch : Units::metric; }

std::vector<wire::FieldShown> shown_fields(const std::vector<CardField>& fields);

wire::DrawnPlot drawn(const Plot& plot);
wire::PageSection paged(const Section& section);

}  // namespace trammel
