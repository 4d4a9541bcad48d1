#include "travel/freedom.h"

#include <fmt/format.h>

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "base/words.h"
#include "file/read_car.h"
#include "travel/rows.h"

namespace trammel {
namespace {

constexpr double lever_mm = 300.0;    // a turn counts by what it moves at a wheel's radius
constexpr double held_at_all = 1e-5;  // smaller singular values are no hold (rows are unit size)
using Motion6 = Eigen::Matrix<double, 6, 1>;

// The rows at the position as measured, one per equation, turns scaled by lever_mm.
Eigen::MatrixXd rows_of(const Mechanism<double>& m) {
  const Placed<double> placed(m, {m.centre_mm, {}}, 0.0);
  Eigen::MatrixXd a(m.row_count(), 6);
  Eigen::Index i = 0;
  const auto put = [&](const Six<double>& row) {
    for (int j = 0; j < 6; ++j) a(i, j) = row[j] / (j < 3 ? 1.0 : lever_mm);
    ++i;
  };
  for (const auto& row : m.distance) put(value_of(placed, row).change);
  for (const auto& row : m.plane) put(value_of(placed, row).change);
  return a;
}

struct Member {
  std::string name;
  Eigen::Index first, count;
};

std::vector<Member> members_of(const Layout& layout) {
  std::vector<Member> members;
  Eigen::Index at = 0;
  const auto add = [&](std::string name, Eigen::Index count) {
    members.push_back({std::move(name), at, count});
    at += count;
  };
  for (const auto& arm : layout.arms) add("arm." + arm.name, 2);
  for (const auto& rod : layout.rods) add("rod." + rod.name, 1);
  if (layout.strut) add("strut", 2);
  if (layout.swing) add("swing." + layout.swing->name, 5);
  return members;
}

struct Words {
  const char* motion;
  const char* missing;
};
constexpr Words words_for[6] = {
    {"move forward and back", "a trailing rod, or the second leg of an arm"},
    {"move in and out", "a lateral rod or arm"},
    {"move up and down", "nothing: that is its travel"},
    {"lean over (camber)", "an upper arm or a strut"},
    {"wind up about its own axle", "an upper arm, a strut or a second trailing rod"},
    {"steer", "a steering rod or toe link"},
};

Eigen::MatrixXd null_space(const Eigen::MatrixXd& a) {
  const Eigen::JacobiSVD<Eigen::MatrixXd> svd(a, Eigen::ComputeFullV);
  Eigen::Index rank = 0;
  for (Eigen::Index i = 0; i < svd.singularValues().size(); ++i)
    if (svd.singularValues()(i) > held_at_all) ++rank;
  return svd.matrixV().rightCols(6 - rank);
}

// Names a basis of motions, each by another of the six plain ones: the largest component first, as
// in elimination with complete pivoting. The travel itself is set apart where `spare_travel`.
std::vector<int> named(Eigen::MatrixXd basis, bool spare_travel) {
  std::vector<int> names;
  std::vector<bool> used(6, false);
  Eigen::Index left = basis.cols();
  const auto eliminate = [&](Eigen::Index row, Eigen::Index column) {
    basis.col(column).swap(basis.col(left - 1));
    const Motion6 pivot = basis.col(left - 1);
    for (Eigen::Index j = 0; j < left - 1; ++j)
      basis.col(j) -= pivot * (basis(row, j) / pivot(row));
    used[static_cast<std::size_t>(row)] = true;
    --left;
  };
  if (spare_travel && left > 0) {
    Eigen::Index column = 0;
    if (basis.row(2).cwiseAbs().maxCoeff(&column) > 1e-6) eliminate(2, column);
  }
  while (left > 0) {
    Eigen::Index best_row = 0, best_column = 0;
    double best = 0.0;
    for (Eigen::Index j = 0; j < left; ++j)
      for (Eigen::Index i = 0; i < 6; ++i)
        if (!used[static_cast<std::size_t>(i)] && std::fabs(basis(i, j)) > best) {
          best = std::fabs(basis(i, j));
          best_row = i;
          best_column = j;
        }
    if (best < 1e-9) break;
    names.push_back(static_cast<int>(best_row));
    eliminate(best_row, best_column);
  }
  return names;
}

// What is held by more members than it needs: the members of each dependency among the rows, and
// the motion they all hold.
std::string held_twice(const Eigen::MatrixXd& a, const std::vector<Member>& members) {
  const Eigen::JacobiSVD<Eigen::MatrixXd> svd(a.transpose(), Eigen::ComputeFullV);
  Eigen::Index rank = 0;
  for (Eigen::Index i = 0; i < svd.singularValues().size(); ++i)
    if (svd.singularValues()(i) > held_at_all) ++rank;
  if (rank >= a.rows()) return {};
  const Eigen::VectorXd dependency = svd.matrixV().col(a.rows() - 1);
  std::vector<std::string> names;
  Motion6 hold = Motion6::Zero();
  double most = 0.0;
  for (const auto& member : members) {
    const auto part = dependency.segment(member.first, member.count);
    if (part.norm() < 0.05) continue;
    names.push_back(member.name);
    const Motion6 by_this = a.middleRows(member.first, member.count).transpose() * part;
    if (by_this.norm() > most) {
      most = by_this.norm();
      hold = by_this;
    }
  }
  Eigen::Index motion = 0;
  hold.cwiseAbs().maxCoeff(&motion);
  if (names.size() < 2)
    return fmt::format("{} holds one motion twice by itself",
                       names.empty() ? "a member" : names[0]);
  return fmt::format("its freedom to {} is held twice, by {}", words_for[motion].motion,
                     listed(names));
}

}  // namespace

std::vector<Fault> freedom_faults(const Axle& axle) {
  const auto& layout = axle.layout;
  const auto mechanism = build(layout, axle.at(Side::left).numbers);
  const auto members = members_of(layout);
  const Eigen::MatrixXd a = rows_of(mechanism);
  const auto free = null_space(a);
  const auto count = a.rows();
  std::vector<std::string> parts;
  parts.reserve(members.size());
  for (const auto& m : members) parts.push_back(fmt::format("{} {}", m.name, m.count));
  const auto fault = [&](const std::string& what) {
    return std::vector<Fault>{{layout.line, fmt::format("{}: {}", word(layout.axle), what)}};
  };
  const auto sum = fmt::format("{} equation{} ({})", count, count == 1 ? "" : "s", listed(parts));
  const std::string twice = held_twice(a, members);
  if (free.cols() > 1) {
    std::vector<std::string> motions, missing;
    for (const int i : named(free, true)) {
      motions.emplace_back(words_for[i].motion);
      missing.emplace_back(words_for[i].missing);
    }
    const auto more = 5 - count;
    return fault(fmt::format(
        "{} stand where five hold an upright and leave its travel: besides its travel the wheel is "
        "free to {}{}; expected {}",
        sum, listed(motions), twice.empty() ? "" : ", while " + twice,
        twice.empty() ? fmt::format("{} more equation{}, probably of {}", more,
                                    more == 1 ? "" : "s", missing.front())
                      : "members that do not repeat each other"));
  }
  if (count > 5) {
    std::vector<std::string> spare;
    for (const auto& m : members)
      if (m.count == count - 5) spare.push_back(m.name);
    return fault(fmt::format(
        "{} stand where five hold an upright and leave its travel: {}; expected one member less{}",
        sum, free.cols() == 0 ? "the wheel cannot move at all, its travel is held too" : twice,
        spare.empty() ? "" : ", such as without " + listed(spare, "or")));
  }
  if (free.cols() == 1) {
    const Motion6 travel = free.col(0);
    if (std::fabs(travel(2)) < 1e-3) {
      Eigen::Index motion = 0;
      travel.cwiseAbs().maxCoeff(&motion);
      return fault(
          fmt::format("the members hold the wheel's height and leave it free to {}; "
                      "expected members that let the wheel go up and down",
                      words_for[motion].motion));
    }
  }
  return {};
}

namespace {

// The car and its tables; `document` stays where it is.
Read<CarOnPaper> judged_paper(const Document& document) {
  auto paper = car_on_paper(document);
  for (const auto& axle : paper.car.axle)
    if (axle)
      for (auto& fault : freedom_faults(*axle)) paper.faults.push_back(std::move(fault));
  std::stable_sort(paper.faults.begin(), paper.faults.end(),
                   [](const Fault& a, const Fault& b) { return a.line < b.line; });
  if (!paper.faults.empty()) return {{}, std::move(paper.faults)};
  return {std::move(paper), {}};
}

}  // namespace

Read<Car> read_car(const Document& document) {
  auto paper = judged_paper(document);
  if (!paper.value) return {{}, std::move(paper.faults)};
  return {std::move(paper.value->car), {}};
}

Read<CarFile> read_car_file(std::string text) {
  auto document = parse(std::move(text));
  if (!document.value) return {{}, std::move(document.faults)};
  auto paper = judged_paper(*document.value);
  if (!paper.value) return {{}, std::move(paper.faults)};
  return {CarFile{std::move(*document.value), std::move(paper.value->car),
                  std::move(paper.value->tables)},
          {}};
}

std::vector<Fault> new_faults(const Document& before, const Document& after) {
  const auto old = read_car(before).faults;
  auto faults = read_car(after).faults;
  // By their words: an edit may move lines.
  std::erase_if(faults, [&](const Fault& f) {
    return std::any_of(old.begin(), old.end(), [&](const Fault& o) { return o.what == f.what; });
  });
  return faults;
}

}  // namespace trammel
