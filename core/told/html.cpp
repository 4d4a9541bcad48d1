#include "told/html.h"

#include <fmt/format.h>

#include <algorithm>

#include "told/plot_svg.h"
#include "told/section_table.h"

namespace trammel {
namespace {

// Paper and ink: black on white, one column, figures in a tabular face. Lines carry meaning, colour
// does not; everything reads in black.
constexpr const char* style = R"css(
:root { --ink: #111; --paper: #fff; --rule: #111; --soft: #555; }
* { box-sizing: border-box; }
html { background: var(--paper); color: var(--ink); }
body { font: 10.5pt/1.4 "Liberation Sans", Arial, Helvetica, sans-serif; max-width: 186mm; margin: 0 auto; padding: 6mm; }
h1 { font-size: 15pt; margin: 0; }
h2 { font-size: 12.5pt; margin: 9mm 0 1.5mm; border-top: 0.5mm solid var(--rule); padding-top: 2mm; break-after: avoid; }
h3 { font-size: 10.5pt; margin: 5mm 0 1mm; break-after: avoid; }
p { margin: 1.5mm 0; orphans: 3; widows: 3; }
.answer { font-size: 11.5pt; font-weight: bold; }
.title { display: grid; grid-template-columns: 2fr 1fr 1fr; border: 0.5mm solid var(--rule); }
.title > div { padding: 2mm 3mm; border-left: 0.25mm solid var(--rule); }
.title > div:first-child { border-left: 0; }
.title small { display: block; color: var(--soft); font-size: 8pt; }
.demo { border: 0.5mm dashed var(--rule); padding: 1.5mm 3mm; margin: 3mm 0; }
.care { border: 0.5mm solid var(--rule); border-left-width: 3mm; padding: 1.5mm 3mm; margin: 3mm 0; break-inside: avoid; }
.scroll { overflow-x: auto; }
table { border-collapse: collapse; margin: 1mm 0 3mm; font-variant-numeric: tabular-nums; font-size: 9.5pt; }
caption { text-align: left; font-weight: bold; padding: 1mm 0; }
th, td { padding: 0.6mm 2.2mm; border-bottom: 0.15mm solid #888; text-align: right; vertical-align: top; }
th { border-bottom: 0.4mm solid var(--rule); font-weight: bold; }
th small { display: block; font-weight: normal; color: var(--soft); }
td:first-child, th:first-child { text-align: left; padding-left: 0; }
thead { display: table-header-group; }
tr { break-inside: avoid; }
.plots { display: flex; flex-wrap: wrap; gap: 3mm; }
figure { margin: 1mm 0 3mm; break-inside: avoid; }
figcaption { font-weight: bold; font-size: 9.5pt; }
svg { display: block; max-width: 100%; height: auto; }
.work { width: 100%; table-layout: fixed; }
.work td, .work th { text-align: left; }
.work .box { width: 7mm; } .work .short { width: 24mm; } .work .torque { width: 31mm; }
.fill { width: calc(100% - 0.4mm); table-layout: fixed; }
.fill thead > tr > :first-child { width: 34%; }
.sheets .fill { table-layout: auto; }
.fill td, .fill th { border: 0.2mm solid #888; text-align: left; height: 8mm; }
.fill th:first-child, .fill td:first-child { padding-left: 2.2mm; font-weight: bold; }
.sheets .fill th:first-child, .sheets .fill td:first-child { width: 18mm; }
figure svg + svg { margin-top: 1mm; }
.sheets .fill th:nth-last-child(-n+3) { width: 27mm; }
.sheets section + section, .torn { break-before: page; }
.sheets figure svg { display: inline-block; }
.tick { display: inline-block; width: 4mm; height: 4mm; border: 0.3mm solid var(--rule); text-align: center; line-height: 3.6mm; }
.gate { border: 0.5mm solid var(--rule); padding: 1mm 3mm; font-weight: bold; break-inside: avoid; }
@media screen and (prefers-color-scheme: dark) {
  :root { --ink: #e8eef6; --paper: #10233b; --rule: #e8eef6; --soft: #b8c6d8; }
}
@media screen and (max-width: 600px) {
  body { padding: 3mm; }
  .title { grid-template-columns: 1fr; }
  .title > div { border-left: 0; border-top: 0.25mm solid var(--rule); }
  .title > div:first-child { border-top: 0; }
}
@page { margin: 13mm 12mm; }
@page a4-wide { size: 297mm 210mm; margin: 0; }
@page letter-wide { size: 11in 8.5in; margin: 0; }
@media print {
  body { padding: 0; max-width: none; }
  .scroll { overflow: visible; }
  .demo { position: static; }
  .own-page { page: a4-wide; margin: 0; break-before: page; break-after: page; }
  .own-page.letter { page: letter-wide; }
  .own-page svg { max-width: none; }
  .own-page figcaption, .own-page p { display: none; }
}
)css";

std::string grid_html(const Grid& g) {
  std::string html = fmt::format("<div class=\"scroll\" tabindex=\"0\"><table{}>",
                                 g.to_fill ? " class=\"fill\"" : "");
  if (!g.title.empty()) html += fmt::format("<caption>{}</caption>", escaped(g.title));
  html += "<thead><tr>";
  for (std::size_t i = 0; i < g.heads.size(); ++i) {
    const auto unit =
        g.units[i].empty() ? "" : fmt::format("<small>{}</small>", escaped(g.units[i]));
    // An empty head over row names is no header.
    html += g.heads[i].empty() && unit.empty()
                ? "<td></td>"
                : fmt::format("<th scope=\"col\">{}{}</th>", escaped(g.heads[i]), unit);
  }
  html += "</tr></thead><tbody>\n";
  for (const auto& row : g.rows) {
    html += "<tr>";
    for (const auto& cell : row) html += fmt::format("<td>{}</td>", escaped(cell));
    html += "</tr>\n";
  }
  return html + "</tbody></table></div>\n";
}

std::string checklist_html(const Checklist& c) {
  std::string html = fmt::format(
      "<table class=\"work\"><caption>{}</caption><thead><tr><th class=\"box\" "
      "scope=\"col\">ok</th><th "
      "scope=\"col\">step</th><th class=\"torque\" scope=\"col\">torque, from your manual</th><th "
      "class=\"short\" scope=\"col\">done by</th><th class=\"short\" scope=\"col\">checked "
      "by</th></tr></thead><tbody>\n",
      escaped(c.title));
  for (const auto& s : c.steps) {
    html += fmt::format(
        "<tr><td><span class=\"tick\">{}</span></td><td>{}{}</td><td>{}</td><td>{}</td>"
        "<td>{}</td></tr>\n",
        s.done ? "x" : "", escaped(s.what),
        s.mark.empty() ? "" : "<br><small>" + escaped(s.mark) + "</small>", escaped(s.torque),
        escaped(s.done_by),
        s.checked_by.empty() && s.second_person ? "<small>a second person:</small>"
                                                : escaped(s.checked_by));
  }
  html += "</tbody></table>\n";
  if (!c.gate.empty())
    html += fmt::format("<p class=\"gate\">Stop here until: {}</p>\n", escaped(c.gate));
  return html;
}

std::string parts_html(const PartsList& list) {
  std::string html = fmt::format(
      "<table class=\"work\"><caption>{}</caption><thead><tr><th scope=\"col\">part</th><th "
      "scope=\"col\">how</th><th class=\"short\" scope=\"col\">state</th></tr></thead><tbody>\n",
      escaped(list.title));
  for (const auto& p : list.parts)
    html += fmt::format("<tr><td>{}</td><td>{}</td><td>{}</td></tr>\n", escaped(p.what),
                        escaped(p.made_of), escaped(p.state));
  return html + "</tbody></table>\n";
}

std::string block_html(const Block& block) {
  if (const auto* p = std::get_if<Paragraph>(&block))
    return fmt::format("<p>{}</p>\n", escaped(p->text));
  if (const auto* c = std::get_if<Caution>(&block))
    return fmt::format("<p class=\"care\"><strong>Take care:</strong> {}</p>\n", escaped(c->text));
  if (const auto* g = std::get_if<Grid>(&block)) return grid_html(*g);
  if (const auto* c = std::get_if<Checklist>(&block)) return checklist_html(*c);
  if (const auto* p = std::get_if<PartsList>(&block)) return parts_html(*p);
  if (const auto* d = std::get_if<Drawing>(&block))
    return fmt::format("<figure{}>{}<figcaption>{}</figcaption><p>{}</p></figure>\n",
                       !d->own_page ? ""
                       : d->letter  ? " class=\"own-page letter\""
                                    : " class=\"own-page\"",
                       d->svg, escaped(d->title), escaped(d->text));
  const auto& plot = std::get<Plot>(block);
  return fmt::format("<figure>{}<figcaption>{}</figcaption></figure>\n", plot_svg(plot),
                     escaped(plot.title));
}

}  // namespace

std::string as_html(const TitleBlock& title, const std::vector<Section>& sections) {
  const bool blank = title.kind == SheetKind::blank;
  const char* kind = blank ? "survey sheets" : "build sheet";
  std::string html = fmt::format(
      "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n{}\n"
      "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>{} - "
      "{}</title>\n<style>{}</style>\n</head>\n<body>\n<main{}>\n",
      sheet_mark, escaped(title.name), kind, style, blank ? " class=\"sheets\"" : "");
  html += fmt::format(
      "<div class=\"title\"><div><small>{}</small><h1>{}</h1></div><div><small>made "
      "from</small>"
      "{}</div><div><small>date</small>{}</div></div>\n",
      kind, escaped(title.name), escaped(title.file), escaped(title.date));
  if (title.demo)
    html += "<p class=\"demo\">A demo: this car is invented. Nothing here fits a real one.</p>\n";
  for (const auto& s : sections) {
    // Signed by hand: it is torn off as it is.
    html += fmt::format("<section{}>\n<h2>{}</h2>\n<p class=\"answer\">{}</p>\n",
                        s.id && row_of(*s.id).own_sheet ? " class=\"torn\"" : "",
                        escaped(s.question), escaped(s.answer));
    bool plots = false;
    for (const auto* blocks : {&s.blocks, &s.working})
      for (const auto& block : *blocks) {
        const bool plot = std::holds_alternative<Plot>(block);
        if (plot != plots) html += plot ? "<div class=\"plots\">\n" : "</div>\n";
        plots = plot;
        html += block_html(block);
      }
    if (plots) html += "</div>\n";
    html += "</section>\n";
  }
  return html + "</main>\n</body>\n</html>\n";
}

}  // namespace trammel
