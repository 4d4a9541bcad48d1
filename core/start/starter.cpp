#include "start/starter.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/quantity.h"
#include "base/words.h"
#include "file/document.h"
#include "start/holder_picture.h"
#include "start/starter_text.h"
#include "told/cautions.h"

namespace trammel {
namespace {

constexpr const char* dont_know = "unknown";

// ------------------------------------------------------------------------------ what holds a wheel

struct HolderWords {
  Holder holder;
  const char* id;
  bool front, rear;
  const char* headline;
  const char* look;
  const char* trade;
  const char* refused;
};

constexpr const char* beam_refused =
    "Its wheels do not move by themselves; Trammel cannot work them out yet. The {} axle stays out "
    "of the file, and the other one can be worked on.";

constexpr HolderWords holders[] = {
    {Holder::strut_arm, "strut-arm", true, true,
     "One arm below, and the spring leg is bolted to the hub carrier",
     "Look in behind the wheel: a thick damper with the spring round it runs from the hub carrier "
     "straight up into the body, and nothing else holds the wheel up there. Below is one arm, "
     "shaped like an L or an A, or made of two pieces bolted stiffly together.",
     "strut (MacPherson)", ""},
    {Holder::strut_rods, "strut-rods", true, false,
     "Two single rods below, and the spring leg is bolted to the hub carrier",
     "The spring leg as before, but below there are two rods that move by themselves: one across "
     "the car, one running forward or back, each with a joint of its own at the hub carrier.",
     "strut with two links", ""},
    {Holder::two_arms, "two-arms", true, true, "Two arms, one above the other",
     "Look in behind the wheel: one arm below and one above, each with two joints on the body and "
     "one at the wheel. The spring and damper go past them or stand on one of them.",
     "double wishbone", ""},
    {Holder::five_rods, "five-rods", true, true, "Five single rods, each with a joint at both ends",
     "Count the rods at the hub carrier, the steering or toe rod among them: five, and none of "
     "them forks into two joints on the body. A blade that is bolted stiffly to the hub carrier is "
     "none of these rods.",
     "five-link (multilink)", ""},
    {Holder::strut_three_rods, "strut-three-rods", false, true,
     "Three single rods below, and the spring leg is bolted to the hub carrier",
     "The damper with its spring runs from the hub carrier straight up into the body. Two rods "
     "cross the car to the hub carrier, a third runs forward along the car.",
     "strut with three links", ""},
    {Holder::swing_arm, "swing-arm", false, true, "One big arm to each wheel, hinged ahead of it",
     "The hub sits stiffly on one big arm. The arm hinges at two bushes on the body ahead of the "
     "wheel, square across the car or aslant, and nothing else leads the wheel.",
     "trailing arm, semi-trailing arm", ""},
    {Holder::twist_beam, "twist-beam", false, true,
     "One beam from wheel to wheel, hinged ahead of it",
     "Look under the back from behind: an arm runs forward from each wheel, and an open steel beam "
     "joins the two arms ahead of the wheels.",
     "twist beam", beam_refused},
    {Holder::solid_axle, "solid-axle", true, true, "One stiff axle from wheel to wheel",
     "Both hubs sit on the same stiff tube or beam: when one wheel rises, the other one tilts.",
     "solid axle, beam axle", beam_refused},
    {Holder::unknown, dont_know, true, true, "None of these, or I can't tell",
     "Take a photo from behind the wheel, with the steering turned and a torch. Then count at the "
     "hub carrier: everything that is joined to it, and at how many places each of these is joined "
     "to the body. The springs and the roll bar do not count.",
     "",
     "The {} axle stays out of the file for now and can be added later: make a new start when you "
     "know, or write it in by hand. The other axle can be worked on meanwhile."},
};

const HolderWords* holder_named(const std::string& id, AxleName axle) {
  for (const auto& h : holders)
    if (id == h.id && (axle == AxleName::front ? h.front : h.rear)) return &h;
  return nullptr;
}
const HolderWords& words_of(Holder holder) {
  for (const auto& h : holders)
    if (h.holder == holder) return h;
  return holders[std::size(holders) - 1];
}
bool has_arm(Holder h) { return h == Holder::strut_arm || h == Holder::two_arms; }
bool has_strut(Holder h) {
  return h == Holder::strut_arm || h == Holder::strut_rods || h == Holder::strut_three_rods;
}
bool is_held(Holder h) {
  return h != Holder::twist_beam && h != Holder::solid_axle && h != Holder::unknown;
}

// ----------------------------------------------------------------------------- what is seen
// besides

struct Seen {
  SeenAxle axle;
  ToeSetBy toe = ToeSetBy::unknown;
};

// One answer to a question about an axle: what it makes of what was seen.
struct Detail {
  const char* id;
  const char* headline;
  const char* look;
  bool (*possible)(const SeenAxle&);
  void (*set)(Seen&);
};
struct DetailQuestion {
  const char* id;  // after the axle's name: "front-" + id
  const char* question;
  const char* help;
  bool rear_only;
  bool (*asked)(const SeenAxle&);
  std::vector<Detail> choices;
};

bool always(const SeenAxle&) { return true; }
bool front(const SeenAxle& a) { return a.axle == AxleName::front; }
bool has_rods(const SeenAxle& a) { return a.holder != Holder::swing_arm; }

const std::vector<DetailQuestion>& detail_questions() {
  static const std::vector<DetailQuestion> all{
      {"rod",
       "Where does the {} run?",
       "Look at where it meets the hub carrier: ahead of the middle of the wheel or behind it.",
       false,
       has_rods,
       {{"behind", "Behind the middle of the wheel", "", always,
         [](Seen& s) { s.axle.rod = RodPlace::behind; }},
        {"ahead", "Ahead of the middle of the wheel", "", always,
         [](Seen& s) { s.axle.rod = RodPlace::ahead; }},
        {dont_know, "I can't tell", "It is begun with one behind; the readings will tell.", always,
         [](Seen&) {}}}},
      {"toe-stands",
       "What is the inner end of the toe rod bolted to?",
       "The toe rod is the thin one that keeps the wheel pointing straight ahead.",
       true,
       [](const SeenAxle& a) { return a.holder == Holder::two_arms; },
       {{"body", "To the body or its subframe", "", always, [](Seen&) {}},
        {"arm", "To the lower arm", "It moves up and down with the arm.", always,
         [](Seen& s) { s.axle.toe_rod_on_arm = true; }},
        {dont_know, "I can't tell", "It is begun with one on the body.", always, [](Seen&) {}}}},
      {"toe",
       "How is the toe of the rear wheels set?",
       "Look along the toe rod for a thread with a lock nut, and at the bolt of its inner end.",
       true,
       has_rods,
       {{"one-end", "A thread and a lock nut at one end of the toe rod", "", always,
         [](Seen& s) { s.toe = ToeSetBy::one_end; }},
        {"both-ends", "Threads at both ends: the middle is turned", "", always,
         [](Seen& s) { s.toe = ToeSetBy::both_ends; }},
        {"eccentric", "A bolt that sits off centre in its washer",
         "Marks or notches stand round it.", always, [](Seen& s) { s.toe = ToeSetBy::eccentric; }},
        {"nothing", "It cannot be set", "", always, [](Seen& s) { s.toe = ToeSetBy::nothing; }},
        {dont_know, "I can't tell", "It can be written into the file later.", always,
         [](Seen&) {}}}},
      {"spring",
       "What does the {} spring stand on?",
       "Follow the spring down to its lower end.",
       false,
       has_rods,
       {{"round-strut", "It sits round the spring leg", "",
         [](const SeenAxle& a) { return has_strut(a.holder); },
         [](Seen& s) { s.axle.spring = SpringStands::round_strut; }},
        {"lower-arm", "On the lower arm", "", [](const SeenAxle& a) { return has_arm(a.holder); },
         [](Seen& s) { s.axle.spring = SpringStands::lower_arm; }},
        {"upper-arm", "On the upper arm", "",
         [](const SeenAxle& a) { return a.holder == Holder::two_arms; },
         [](Seen& s) { s.axle.spring = SpringStands::upper_arm; }},
        {"upright", "On the hub carrier itself", "",
         [](const SeenAxle& a) { return !has_strut(a.holder); },
         [](Seen& s) { s.axle.spring = SpringStands::upright; }},
        {dont_know, "On something else, or I can't tell",
         "It is left out of the file: it holds nothing, and can be added later.", always,
         [](Seen&) {}}}},
      {"bar",
       "Is there a roll bar, and what is its drop link bolted to?",
       "The roll bar is a steel bar from side to side; a short upright link, as thick as a finger, "
       "joins each end of it to the wheel's side.",
       false,
       has_rods,
       {{"none", "There is none, or it shall be left out",
         "It holds no wheel; it can be added later.", always, [](Seen&) {}},
        {"upright", "To the spring leg or the hub carrier", "", always,
         [](Seen& s) { s.axle.bar = BarHangs::upright; }},
        {"lower-arm", "To the lower arm", "", [](const SeenAxle& a) { return has_arm(a.holder); },
         [](Seen& s) { s.axle.bar = BarHangs::lower_arm; }}}},
  };
  return all;
}

// --------------------------------------------------------------------------------- what is
// measured

struct ValueWords {
  const char* id;
  const char* label;
  const char* how;
  const char* usual;
  double low_mm, high_mm;
  bool bare_inch;  // a bare number is inches: rims are named so
  std::optional<AxleName> axle;
};

const std::vector<ValueWords>& value_words() {
  static const std::vector<ValueWords> all{
      {"wheelbase",
       "Wheelbase",
       "Along the floor from the middle of a front wheel to the middle of the rear one on the same "
       "side, steering straight.",
       "2450 mm",
       1500,
       4500,
       false,
       {}},
      {"front-track", "Track of the front wheels",
       "At hub height behind the tyres, or on the floor: from the outer edge of one tyre to the "
       "inner edge of the other.",
       "1420 mm", 900, 2200, false, AxleName::front},
      {"rear-track", "Track of the rear wheels", "The same at the rear.", "1420 mm", 900, 2200,
       false, AxleName::rear},
      {"front-hub", "Height of the front hub",
       "From the floor to the middle of the wheel, the car on its tyres as you drive it.", "290 mm",
       180, 500, false, AxleName::front},
      {"rear-hub", "Height of the rear hub", "The same at the rear.", "290 mm", 180, 500, false,
       AxleName::rear},
      {"rim-diameter",
       "Rim diameter",
       "On the tyre's side after the R: 195/50 R15 is 15 in.",
       "15 in",
       10 * 25.4,
       24 * 25.4,
       true,
       {}},
      {"rim-width",
       "Rim width",
       "Stamped into the rim, before the J: 6.5J is 6.5 in.",
       "6.5 in",
       3 * 25.4,
       14 * 25.4,
       true,
       {}},
      {"front-lowered", "The front was lowered by",
       "How much higher the body stood there as the maker built it, by hub to arch then and now.",
       "0 mm", 0, 200, false, AxleName::front},
      {"rear-lowered", "The rear was lowered by", "The same at the rear.", "0 mm", 0, 200, false,
       AxleName::rear},
      {"baseline",
       "The baseline lies ahead of the front axle by",
       "A straight line taped to the garage floor ahead of the car, from which the survey's marks "
       "are measured backwards. Far enough ahead to reach it.",
       "600 mm",
       100,
       3000,
       false,
       {}},
  };
  return all;
}

struct ValueScreen {
  const char* id;
  const char* question;
  const char* help;
  std::vector<const char*> values;
};
const std::vector<ValueScreen>& value_screens() {
  static const std::vector<ValueScreen> all{
      {"size",
       "How large is the car?",
       "With a tape, to the nearest 5 mm. What you leave open is taken as is usual; the survey "
       "tells later.",
       {"wheelbase", "front-track", "rear-track"}},
      {"wheels",
       "How large are its wheels?",
       "On a level floor, tyres at pressure.",
       {"front-hub", "rear-hub", "rim-diameter", "rim-width"}},
      {"lowered",
       "By how much was it lowered?",
       "Then the sheet shows what that did. Leave open what you do not know.",
       {"front-lowered", "rear-lowered"}},
      {"survey",
       "What is the car called, and where will you measure from?",
       "Both can be changed later.",
       {"name", "baseline"}},
  };
  return all;
}
constexpr const char* name_id = "name";
constexpr const char* usual_name = "my car";
constexpr std::size_t longest_name = 80;

// A length as somebody types it; what is wrong with it goes to `why`.
std::optional<TapeValue> typed_length(const ValueWords& words, const std::string& text,
                                      std::string& why) {
  const auto example = [&] {
    return words.bare_inch ? fmt::format("expected {:.0f} to {:.0f} inches, such as {}",
                                         words.low_mm / 25.4, words.high_mm / 25.4, words.usual)
                           : fmt::format("expected {:.0f} to {:.0f} mm, such as {}", words.low_mm,
                                         words.high_mm, words.usual);
  };
  std::optional<Quantity> q;
  if (const auto bare = plain_number(text); bare && words.bare_inch) {
    q = Quantity{*bare * 25.4, {}};
  } else {
    const auto read = read_quantity(text, Kind::length);
    if (const auto* bad = std::get_if<NotAQuantity>(&read)) {
      why = bad->why;
      return {};
    }
    q = std::get<Quantity>(read);
  }
  if (q->value < words.low_mm || q->value > words.high_mm) {
    why = fmt::format("'{}' is {} mm, {}", text, shortest(std::round(q->value * 10.0) / 10.0),
                      example());
    // A bare number is mm: perhaps it was meant in another unit.
    if (const auto bare = plain_number(text); bare && !words.bare_inch)
      for (const auto& [unit, mm] : {std::pair{"m", 1000.0}, {"cm", 10.0}, {"in", 25.4}})
        if (*bare * mm >= words.low_mm && *bare * mm <= words.high_mm) {
          why += fmt::format("; a bare number is mm: for {0} write '{1} {0}'", unit, text);
          break;
        }
    return {};
  }
  return TapeValue{std::round(q->value * 10.0) / 10.0, q->sigma, true};
}

std::string trimmed(const std::string& text) {
  const auto from = text.find_first_not_of(" \t\r\n");
  if (from == std::string::npos) return {};
  return text.substr(from, text.find_last_not_of(" \t\r\n") - from + 1);
}

std::string lower_case_first(std::string text) {
  if (!text.empty() && text[0] >= 'A' && text[0] <= 'Z' &&
      (text.size() < 2 || text[1] < 'A' || text[1] > 'Z'))
    text[0] = static_cast<char>(text[0] - 'A' + 'a');
  return text;
}

// -------------------------------------------------------------------------------------- the
// answers

class Starter {
 public:
  Starter(const std::vector<StartAnswer>& answers, bool draws, bool everything)
      : answers_(answers), used_(answers.size(), false), draws_(draws), everything_(everything) {}

  Started run() {
    for (const AxleName axle : {AxleName::front, AxleName::rear}) ask_axle(axle);
    ask_values();
    for (std::size_t i = 0; i < answers_.size(); ++i)
      if (!used_[i]) out_.unasked.push_back(answers_[i].question);
    finish();
    return std::move(out_);
  }

 private:
  // The last answer to a question, empty where there is none.
  std::string answer(const std::string& id) {
    std::string text;
    for (std::size_t i = 0; i < answers_.size(); ++i)
      if (answers_[i].question == id) {
        used_[i] = true;
        text = trimmed(answers_[i].answer);
      }
    return text;
  }
  void fault(const std::string& id, const std::string& what) { out_.faults.push_back({id, what}); }
  void summary(const std::string& what, const std::string& words) {
    out_.summary.push_back({what, words});
  }

  void ask_axle(AxleName axle) {
    auto& seen = seen_[static_cast<std::size_t>(axle)];
    seen.axle.axle = axle;
    const std::string name = word(axle);
    StartQuestion q;
    q.id = name;
    q.question = fmt::format("What holds your {} wheel?", name);
    q.help =
        "Look at the left wheel from behind it. The pictures show it from the car's middle: the "
        "wheel on the left, what is bolted to the body on the right.";
    q.caution = fmt::format(
        "For a look from behind the wheel nobody has to lie under the car: {}kneel behind the "
        "wheel, "
        "with a torch. {}",
        axle == AxleName::front ? "turn the steering to one side, or " : "",
        caution(Care::beside_wheel));
    q.needed = true;
    std::vector<std::string> ids;
    for (const auto& h : holders) {
      if (axle == AxleName::front ? !h.front : !h.rear) continue;
      ids.emplace_back(h.id);
      SeenAxle drawn;
      drawn.axle = axle;
      drawn.holder = h.holder;
      if (has_strut(h.holder)) drawn.spring = SpringStands::round_strut;
      q.choices.push_back({h.id, h.headline, h.look, h.trade,
                           fmt::format(fmt::runtime(h.refused), name),
                           draws_ ? picture(h, drawn) : ""});
    }
    out_.questions.push_back(std::move(q));
    const auto picked = answer(name);
    if (picked.empty()) {
      out_.missing.push_back(name);
      left_out_[static_cast<std::size_t>(axle)] =
          fmt::format("The {} axle is not described yet.", name);
    } else if (const auto* h = holder_named(picked, axle)) {
      seen.axle.holder = h->holder;
      summary(fmt::format("{} wheel", axle == AxleName::front ? "Front" : "Rear"), h->headline);
      if (!is_held(h->holder))
        left_out_[static_cast<std::size_t>(axle)] = fmt::format(fmt::runtime(h->refused), name);
    } else {
      fault(name,
            fmt::format("'{}' is not one of the answers, expected {}", picked, listed(ids, "or")));
    }
    for (const auto& d : detail_questions()) ask_detail(d, seen);
  }

  static std::string picture(const HolderWords& h, const SeenAxle& seen) {
    if (h.holder == Holder::unknown) return unknown_picture(h.headline, h.look);
    if (!is_held(h.holder)) return beam_picture(h.holder, h.headline, h.look);
    return holder_picture(held_wheel(seen, {}), PictureView::from_behind, h.headline, h.look);
  }
  static std::string picture(const DetailQuestion& q, const Detail& d, const Seen& seen) {
    const std::string_view id = q.id;
    if (std::string_view(d.id) == dont_know || std::string_view(d.id) == "none" ||
        std::string_view(d.id) == "nothing")
      return {};
    if (id == "toe")
      return rod_set_picture(seen.toe == ToeSetBy::one_end     ? RodSets::one_end
                             : seen.toe == ToeSetBy::both_ends ? RodSets::both_ends
                                                               : RodSets::eccentric,
                             d.headline, q.question);
    auto drawn = seen.axle;
    // A strut has its spring round it; any other only hides what the picture is about.
    if (id != "spring")
      drawn.spring = has_strut(drawn.holder) ? SpringStands::round_strut : SpringStands::unknown;
    return holder_picture(held_wheel(drawn, {}),
                          id == "rod" ? PictureView::from_above : PictureView::from_behind,
                          d.headline, fmt::format(fmt::runtime(q.question), "rod"),
                          id == "spring" ? std::optional(HeldBy::Kind::spring)
                          : id == "bar"  ? std::optional(HeldBy::Kind::bar)
                                         : std::nullopt);
  }

  void ask_detail(const DetailQuestion& d, Seen& seen) {
    if (d.rear_only && front(seen.axle)) return;
    if (!everything_ && (!is_held(seen.axle.holder) || !d.asked(seen.axle))) return;
    const char* axle = word(seen.axle.axle);
    StartQuestion q;
    q.id = fmt::format("{}-{}", axle, d.id);
    q.question = fmt::format(
        fmt::runtime(d.question),
        std::string_view(d.id) == "rod" ? (front(seen.axle) ? "steering rod" : "toe rod") : axle);
    if (std::string_view(d.id) == "bar")
      q.question =
          fmt::format("Is there a {} roll bar, and what is its drop link bolted to?", axle);
    q.help = d.help;
    std::vector<std::string> ids;
    for (const auto& c : d.choices) {
      if (!everything_ && !c.possible(seen.axle)) continue;
      ids.emplace_back(c.id);
      Seen with = seen;
      c.set(with);
      q.choices.push_back({c.id, c.headline, c.look, "", "", draws_ ? picture(d, c, with) : ""});
    }
    const auto picked = answer(q.id);
    const auto question = q.question;
    const auto id = q.id;
    out_.questions.push_back(std::move(q));
    if (picked.empty() || everything_) return;
    for (const auto& c : d.choices)
      if (picked == c.id && c.possible(seen.axle)) {
        c.set(seen);
        summary(question, c.headline);
        return;
      }
    fault(id,
          fmt::format("'{}' is not one of the answers, expected {}", picked, listed(ids, "or")));
  }

  bool described(AxleName axle) const {
    return is_held(seen_[static_cast<std::size_t>(axle)].axle.holder);
  }

  void ask_values() {
    // Of a car without any axle nothing is to be measured.
    if (!everything_ && out_.missing.empty() && !described(AxleName::front) &&
        !described(AxleName::rear)) {
      for (const auto& v : value_words()) answer(v.id);
      answer(name_id);
      return;
    }
    for (const auto& screen : value_screens()) {
      StartQuestion q;
      q.id = screen.id;
      q.question = screen.question;
      q.help = screen.help;
      for (const std::string_view id : screen.values) {
        if (id == name_id) {
          q.values.push_back({name_id, "Name of the car", "", usual_name});
          car_.name = answer(name_id);
          if (car_.name.size() > longest_name) fault(name_id, "is longer than any car's name");
          std::replace_if(
              car_.name.begin(), car_.name.end(),
              [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7f; }, ' ');
          if (car_.name.empty()) car_.name = usual_name;
          summary("Name of the car", car_.name);
          continue;
        }
        for (const auto& v : value_words())
          if (id == v.id) ask_value(v, q);
      }
      if (!q.values.empty()) out_.questions.push_back(std::move(q));
    }
  }

  void ask_value(const ValueWords& v, StartQuestion& q) {
    if (!everything_ && v.axle && !described(*v.axle)) return;
    q.values.push_back({v.id, v.label, v.how, v.usual});
    std::string why;
    auto value = typed_length(v, v.usual, why);
    value->typed = false;
    value->sigma_mm.reset();
    const auto text = answer(v.id);
    if (!text.empty()) {
      if (const auto typed = typed_length(v, text, why)) value = typed;
      else fault(v.id, why);
    }
    summary(v.label, value->typed ? text : fmt::format("not measured, {} is taken", v.usual));
    values_.emplace_back(v.id, *value);
  }
  TapeValue value(std::string_view id) const {
    for (const auto& [name, v] : values_)
      if (name == id) return v;
    return {};
  }

  void finish() {
    car_.wheelbase = value("wheelbase");
    car_.rim_diameter = value("rim-diameter");
    car_.rim_width = value("rim-width");
    car_.baseline = value("baseline");
    car_.left_out = left_out_;
    for (const auto& why : left_out_)
      if (!why.empty()) out_.left_out.push_back(why);
    bool any = false;
    for (const AxleName axle : {AxleName::front, AxleName::rear}) {
      if (!described(axle)) continue;
      any = true;
      const auto i = static_cast<std::size_t>(axle);
      const std::string name = word(axle);
      StartedAxle a;
      a.toe = seen_[i].toe;
      a.track = value(name + "-track");
      a.hub = value(name + "-hub");
      a.lowered = value(name + "-lowered");
      a.holder_words = lower_case_first(words_of(seen_[i].axle.holder).headline);
      double rim_radius = 0.5 * car_.rim_diameter.mm;
      // Some tyre has to stand between rim and floor. What was not measured gives way.
      constexpr double least_tyre_mm = 15.0, usual_tyre_mm = 70.0;
      if (a.hub.mm < rim_radius + least_tyre_mm) {
        if (a.hub.typed && car_.rim_diameter.typed) {
          fault(name + "-hub",
                fmt::format("'{} mm' is less than a rim of {} in and its tyre need, expected more "
                            "than {:.0f} mm: one of the two is misread",
                            shortest(a.hub.mm), shortest(car_.rim_diameter.mm / 25.4),
                            rim_radius + least_tyre_mm));
          continue;
        }
        if (a.hub.typed) rim_radius = a.hub.mm - usual_tyre_mm;
        else a.hub.mm = std::round(rim_radius + usual_tyre_mm);
      }
      AxleSizes sizes;
      sizes.x_mm = axle == AxleName::front ? 0.0 : -car_.wheelbase.mm;
      sizes.half_track_mm = 0.5 * a.track.mm;
      sizes.hub_mm = a.hub.mm;
      sizes.rim_radius_mm = rim_radius;
      a.wheel = held_wheel(seen_[i].axle, sizes);
      car_.axle[i] = std::move(a);
    }
    if (!any)
      out_.why =
          "No axle is described yet, so there is nothing to begin with: find out what holds the "
          "wheels of one axle at least.";
    if (!any || !out_.faults.empty()) return;
    out_.text = started_text(car_);
    // Of all answers only the name goes into the file as it was typed.
    if (!parse(out_.text).value) {
      out_.text.clear();
      fault(name_id, "is no text that a file can hold, expected letters and digits");
    }
  }

  const std::vector<StartAnswer>& answers_;
  std::vector<bool> used_;
  bool draws_, everything_;
  std::array<Seen, 2> seen_;
  std::array<std::string, 2> left_out_;
  std::vector<std::pair<std::string, TapeValue>> values_;
  StartedCar car_;
  Started out_;
};

}  // namespace

Started start_car(const std::vector<StartAnswer>& answers, StartPictures pictures) {
  return Starter(answers, pictures == StartPictures::drawn, false).run();
}

std::vector<StartQuestion> all_start_questions() {
  const std::vector<StartAnswer> none;
  return Starter(none, false, true).run().questions;
}

}  // namespace trammel
