// `trammel make`: the parts told, as JSON, and as files for printer, saw and lathe.
#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <iostream>
#include <set>

#include "cli/commands.h"
#include "cli/files.h"
#include "cli/opened_car.h"
#include "cli/pdf.h"
#include "make/drawing_dxf.h"
#include "make/drawing_svg.h"
#include "make/part_drawings.h"
#include "make/reasons.h"
#include "make/tell.h"
#include "sheet/sections.h"
#include "wire/make_json.h"

namespace trammel {
namespace {

// Stands in every file that is written here: only such a one is written over.
constexpr std::string_view drawing_mark = "Trammel drawing";

struct DrawnFile {
  std::string name, text;
};

// One hand of a part: the drawing and the templates as PDF and SVG, and the cutting file.
Answer<std::vector<DrawnFile>> files_of(const PartDrawing& part, Paper paper) {
  const auto svg = drawing_svg(part, paper);
  if (!svg.value) return {{}, fmt::format("{}: {}", part.number, svg.why)};
  const auto templates = template_pages(part, 0, paper);
  if (!templates.value) return {{}, fmt::format("{}: {}", part.number, templates.why)};
  const auto dxf = drawing_dxf(part, 0);
  if (!dxf.value) return {{}, fmt::format("{}: {}", part.number, dxf.why)};
  std::vector<std::string> pages{*svg.value};
  pages.insert(pages.end(), templates.value->begin(), templates.value->end());
  const auto pdf = pdf_of(pages);
  if (!pdf.value) return {{}, fmt::format("{}: {}", part.number, pdf.why)};
  // Each format's own kind of comment.
  return {std::vector<DrawnFile>{
              {part.number + ".pdf", fmt::format("{}\n% {}\n", *pdf.value, drawing_mark)},
              {part.number + ".svg", fmt::format("{}\n<!-- {} -->\n", *svg.value, drawing_mark)},
              {part.number + ".dxf", fmt::format("999\n{}\n{}", drawing_mark, *dxf.value)}},
          {}};
}

// Why a file of this name cannot be written; empty where it can.
std::string taken(const std::filesystem::path& path) {
  if (!std::filesystem::exists(std::filesystem::symlink_status(path))) return {};
  const auto there = read_file(path.string());
  if (there.text && there.text->find(drawing_mark) != std::string::npos) return {};
  return fmt::format(
      "{}: is there and is no drawing of this program, expected another folder (--out FOLDER)",
      path.string());
}

// Drawings that lie in the folder and are not of this set: somebody may cut by them.
void name_old_drawings(const std::filesystem::path& folder, const std::set<std::string>& written) {
  std::error_code failed;
  std::set<std::string> old;
  for (const auto& entry : std::filesystem::directory_iterator(folder, failed)) {
    const auto name = entry.path().filename().string();
    const auto ending = entry.path().extension();
    if ((ending == ".pdf" || ending == ".svg" || ending == ".dxf") && !written.count(name))
      old.insert(name);
  }
  for (const auto& name : old)
    std::cerr << fmt::format("{}: not of this set: do not cut by it\n", (folder / name).string());
}

int write_parts(const MakeWords& words, const Making& making, bool demo) {
  const auto paper = words.letter ? Paper::letter : Paper::a4;
  int status = 0;
  std::vector<DrawnFile> files;
  std::set<std::string> written;
  for (const auto& p : making.parts) {
    const auto drawing = part_drawing(p, demo);
    if (!drawing.value) {
      std::cerr << fmt::format("{}: no drawing: {}\n", p.name(), drawing.why);
      if (!p.nothing) status = no_answer;
      continue;
    }
    std::vector<PartDrawing> hands{*drawing.value};
    if (!p.side) hands.push_back(mirrored(*drawing.value));
    for (const auto& part : hands) {
      auto drawn = files_of(part, paper);
      if (!drawn.value) return misused(drawn.why);
      for (auto& file : *drawn.value) {
        written.insert(file.name);
        files.push_back(std::move(file));
      }
    }
  }
  const std::filesystem::path folder(words.out);
  std::error_code failed;
  std::filesystem::create_directories(folder, failed);
  if (failed) return misused(fmt::format("--out: {}: {}", words.out, failed.message()));
  // All of them or none.
  for (const auto& file : files)
    if (const auto why = taken(folder / file.name); !why.empty()) return misused(why);
  for (const auto& file : files) {
    const auto path = (folder / file.name).string();
    if (const auto why = write_file(path, file.text); !why.empty())
      return misused(fmt::format("{}: {}", path, why));
    std::cerr << path << "\n";
  }
  name_old_drawings(folder, written);
  return status;
}

// What does not serve, and what is not to be cut yet, a line each.
int said_to_stop(const Making& making, Units units) {
  for (const auto& j : making.judged())
    if (j.verdict() == Serving::does_not_serve)
      std::cerr << fmt::format("{}: does not serve: {}\n", words(j.of),
                               words(j.fails.front(), units));
  for (const auto& p : making.parts)
    if (p.not_for_cutting() && !p.fails())
      std::cerr << fmt::format("{}: not for cutting yet: measure first\n", words(p.judged.of));
  return making.stops() ? no_answer : 0;
}

}  // namespace

int run_make(const MakeWords& words) {
  int status = 0;
  const auto opened = standing_car(words.common, words.state, "both axles", status);
  if (!opened) return status;
  auto& worked = *opened->worked;
  const Car& car = worked.car();
  const auto& making = worked.making();
  if (words.common.json) {
    std::cout << to_json(making).dump(2) << "\n";
  } else {
    std::cout << name_line(car)
              << told(section(worked, SectionId::make, {}, words.common.units), words.common);
  }
  const int written = words.out.empty() ? 0 : write_parts(words, making, car.demo);
  const int judged = said_to_stop(making, words.common.units);
  return std::max(written, judged);
}

}  // namespace trammel
