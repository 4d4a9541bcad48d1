// What is picked on the page, as the car's file and the shelf have it.
#pragma once

#include <optional>
#include <vector>

#include "base/quantity.h"
#include "file/wishes.h"
#include "parts/shelf.h"
#include "wire/page_values.h"

namespace trammel {

// What a fit picks of a shelf; and back: made joints are kept within their ranges, unknown options
// passed over.
std::vector<wire::Pick> picks_of(const Shelf& shelf, const Fit& fit);
Fit fit_from(const Shelf& shelf, const std::vector<wire::Pick>& picks);

// Options that the file does not have are passed over.
std::vector<Chosen> chosen_of(const wire::AxleSet& set, const Wishes& wishes);

// What is to be fitted to an axle: what the file settles on, else what the page shows; without the
// options that stay out. None where neither says anything.
std::optional<std::vector<Chosen>> to_be_fitted(AxleName axle, const Wishes& wishes,
                                                const std::vector<wire::AxleSet>& shown);

// "30 mm ball-joint spacer and 32.5 mm rod-end stack"; "nothing" where all stay out.
std::string fitted_words(const std::vector<Chosen>& fitted, const Wishes& wishes, Units units);

}  // namespace trammel
