#pragma once

#include <sstream>
#include <stdexcept>
#include <string_view>

namespace maturity {

/// Throws std::invalid_argument "name: value; expected rule".
template <class Value>
[[noreturn]] void reject_argument(std::string_view name, const Value& value,
                                  std::string_view rule) {
  std::ostringstream text;
  text << name << ": " << value << "; expected " << rule;
  throw std::invalid_argument(text.str());
}

}  // namespace maturity
