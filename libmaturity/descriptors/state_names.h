#pragma once

#include <optional>
#include <span>
#include <string_view>

#include "libmaturity/descriptors/descriptors.h"

namespace maturity {

/// A word from a published scale for describing varieties.
struct StateName {
  /// What is described, for instance "apex shape".
  std::string_view character;
  std::string_view state;
  std::string_view scheme;
  std::string_view edition;
  /// How the word is known: "read" in use in a published abstract, or "from memory".
  std::string_view known;
};

/// Warning to print wherever state names are shown.
std::string_view state_name_warning();

/// The state name for a value of a descriptor; empty where the scale has no such character, the
/// value is NaN, no beak stands out, or `descriptor` is not mapped. Mapped: stem_hollow (depth of
/// stalk cavity), nose_roundness (apex shape), beak_prominence (beak type), sinus_depth (sinus
/// type).
///
/// Names: IPGRI (2006) "Descriptors for Mango (Mangifera indica L.)". No code digits: the printed
/// list was not at hand. THE BOUNDARIES ARE THIS PROJECT'S OWN, not the scheme's: the scheme shows
/// drawings. They describe varieties at maturity, not how mature a fruit is.
std::optional<StateName> state_name(Descriptor descriptor, double value);

/// The mapped descriptors.
std::span<const Descriptor> descriptors_with_state_names();

}  // namespace maturity
