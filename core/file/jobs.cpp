#include "file/jobs.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "file/table_reader.h"

namespace trammel {

Jobs read_jobs(const Document& document) {
  Jobs jobs;
  const Value* rows = document.root.find("job");
  if (!rows) return jobs;
  if (!rows->array()) {
    jobs.faults.push_back({rows->line, "job: is not a list of rows, expected [[job]]"});
    return jobs;
  }
  for (std::size_t i = 0; i < rows->array()->size(); ++i) {
    TableReader t((*rows->array())[i], fmt::format("job[{}]", i), jobs.faults);
    Job job;
    job.line = t.line();
    const auto text = [&](const char* key, std::string& into) {
      into = t.text(key, Need::optional).value_or("");
    };
    text("step", job.step);
    text("part", job.part);
    text("state", job.state);
    job.torque_nmm = t.above_zero("torque", Kind::torque, Need::optional);
    if (const Value* written = t.child("torque"); written && job.torque_nmm)
      job.torque = written->string() ? *written->string()
                                     : fmt::format("{} N·m", shortest(*written->number()));
    text("mark", job.mark);
    text("note", job.note);
    text("done_by", job.done_by);
    text("checked_by", job.checked_by);
    job.done = t.flag("done").value_or(!job.done_by.empty());
    if (job.step.empty() == job.part.empty())
      t.fault(t.line(), "has to name either a 'step' of the work or a 'part'");
    constexpr std::array<const char*, 4> states{"needed", "ordered", "here", "fitted"};
    if (!job.state.empty() && std::find(states.begin(), states.end(), job.state) == states.end())
      t.fault_at("state", fmt::format("'{}' is not known, expected needed, ordered, here or fitted",
                                      job.state));
    t.close();
    jobs.rows.push_back(std::move(job));
  }
  return jobs;
}

}  // namespace trammel
