// Texts with a slip or two of the pen, of the file system or of a paste: from a fixed seed, the
// same on every machine.
#pragma once

#include <random>
#include <string>
#include <utility>
#include <vector>

namespace trammel::testing {

class Mutator {
 public:
  // Up to `most` slips to a text, out of these pieces.
  Mutator(unsigned seed, std::vector<std::string> pieces, std::size_t most)
      : random_(seed), pieces_(std::move(pieces)), most_(most) {}

  // Half of the slips stand between the two marks, where the text has both.
  std::string mutated(std::string text, const std::string& from = {}, const std::string& to = {}) {
    for (std::size_t times = 1 + pick(most_); times > 0 && !text.empty(); --times) {
      std::size_t at = pick(text.size());
      if (!from.empty()) {
        const auto begin = text.find(from), end = text.find(to);
        if (begin < end && end != std::string::npos && pick(2) == 0) at = begin + pick(end - begin);
      }
      mutate(text, at);
    }
    return text;
  }

 private:
  std::size_t pick(std::size_t below) { return random_() % static_cast<unsigned>(below); }

  void mutate(std::string& text, std::size_t at) {
    switch (pick(8)) {
      case 0:
        text[at] = static_cast<char>(pick(256));
        break;
      case 1:
      case 2:
        text.insert(at, pieces_[pick(pieces_.size())]);
        break;
      case 3:
        text.erase(at, 1 + pick(40));
        break;
      case 4: {  // the rest lost, seldom
        if (pick(4) == 0) text.resize(at);
        break;
      }
      case 5: {  // a line gone, or a line twice
        const auto begin = text.rfind('\n', at);
        if (begin == std::string::npos) break;
        const auto line = text.substr(begin, text.find('\n', begin + 1) - begin);
        if (pick(2) == 0) text.erase(begin, line.size());
        else text.insert(begin, line);
        break;
      }
      default: {  // a digit changed
        const auto digit = text.find_first_of("0123456789", at);
        if (digit != std::string::npos) text[digit] = static_cast<char>('0' + pick(10));
      }
    }
  }

  std::mt19937 random_;
  std::vector<std::string> pieces_;
  std::size_t most_;
};

}  // namespace trammel::testing
