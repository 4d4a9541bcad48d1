// What a car file says beside the car itself: every step's own tables, read together.
#pragma once

#include "file/alignment.h"
#include "file/jobs.h"
#include "file/survey.h"
#include "file/wishes.h"
#include "file/workshop.h"

namespace trammel {

struct CarTables {
  Survey survey;
  Wishes wishes;
  Workshop workshop;
  AlignmentRows alignment;
  Jobs jobs;
};

inline CarTables read_tables(const Document& document, const Car& car) {
  CarTables t;
  t.survey = read_survey(document, car);
  t.wishes = read_wishes(document, car);
  t.workshop = read_workshop(document, car, t.wishes);
  t.alignment = read_alignment(document, car);
  t.jobs = read_jobs(document);
  return t;
}

// A car file read whole, once.
struct CarFile {
  Document document;
  Car car;  // as written
  CarTables tables;
};

}  // namespace trammel
