#pragma once

#include <string_view>

namespace maturity {

/// A state's name for machines and its sentence for people.
struct NamedText {
  std::string_view name;
  std::string_view sentence;
};

}  // namespace maturity
