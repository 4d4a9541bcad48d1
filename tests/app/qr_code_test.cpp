#include "cli/qr_code.h"

#include <gtest/gtest.h>

#include "app/drawn_code.h"
#include "cli/phone_invitation.h"

namespace trammel::testing {
namespace {

// The longest link there is.
const std::string link = "http://192.168.178.123:54321/open/abcdefghijkmnpqrstuvwxyz23";

TEST(QrCode, IsReadByAnotherProgramFromWhatTheTerminalShows) {
  for (const auto& text : {link, std::string("x"), std::string(500, 'y')}) {
    const auto code = qr_code(text);
    ASSERT_TRUE(code);
    const auto rows = modules_of(in_half_blocks(*code));
    EXPECT_EQ(decoded(rows), text);
    for (int row = 0; row < code->side(); ++row)
      for (int column = 0; column < code->side(); ++column)
        EXPECT_EQ(rows[row][column], code->at(row, column));
  }
}

// ISO/IEC 18004: 4 light modules all around; and a terminal of 80 by 24 has room for the address
// too.
TEST(QrCode, HasItsQuietZoneAndFitsASmallTerminal) {
  const auto code = qr_code(link);
  ASSERT_TRUE(code);
  EXPECT_LE(code->side(), 80);
  const auto shown = in_half_blocks(*code);
  EXPECT_LE(std::count(shown.begin(), shown.end(), '\n'), 22);
  for (int i = 0; i < code->side(); ++i)
    for (int k = 0; k < 4; ++k)
      for (const bool dark : {code->at(k, i), code->at(code->side() - 1 - k, i), code->at(i, k),
                              code->at(i, code->side() - 1 - k)})
        EXPECT_FALSE(dark);
  EXPECT_TRUE(code->at(4, 4));  // the corner of the first finder
}

TEST(QrCode, HoldsNoMoreThanTheStandardLets) {
  EXPECT_TRUE(qr_code(std::string(2331, 'x')));
  EXPECT_FALSE(qr_code(std::string(2332, 'x')));
}

TEST(PhoneInvitation, SaysWhoMayComeWhoReadsAlongAndHowItEnds) {
  const auto words = phone_invitation(link, "cars/pip.toml", {"10.0.0.7"}, 80);
  EXPECT_EQ(decoded(modules_of(words)), link);
  EXPECT_EQ(words.substr(words.size() - link.size() - 1), link + "\n");
  for (const char* said : {"until Ctrl-C", "The first phone", "cars/pip.toml", "plain http",
                           "your own network only", "(--address): 10.0.0.7"})
    EXPECT_NE(words.find(said), std::string::npos) << said;
  const auto text = words.substr(0, words.find('\x1b'));
  for (std::size_t at = 0, end = 0; (end = text.find('\n', at)) != std::string::npos; at = end + 1)
    EXPECT_LE(end - at, 100U) << text.substr(at, end - at);
}

TEST(PhoneInvitation, ShowsNoCodeWhereItHasNoRoom) {
  for (const int columns : {0, 40}) {
    const auto words = phone_invitation(link, {}, {}, columns);
    EXPECT_EQ(words.find('\x1b'), std::string::npos);
    EXPECT_NE(words.find(link + "\n"), std::string::npos);
    EXPECT_EQ(words.find("needs a window of 41 columns") != std::string::npos, columns > 0);
  }
}

}  // namespace
}  // namespace trammel::testing
