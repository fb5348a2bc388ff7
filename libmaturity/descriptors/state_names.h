#pragma once

#include <string_view>
#include <vector>

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

/// The state of each character that the values of one fruit can tell, in the order fruit shape,
/// apex shape, depth of stalk cavity, slope of ventral shoulder, beak type, sinus type. A character
/// is left out where its values are NaN (the side is not known), and the beak type where no beak
/// stands out: the scale has no word for that. Neck prominence is never named: no descriptor tells
/// a neck from a pointed stem end.
///
/// Names: IPGRI (2006) "Descriptors for Mango (Mangifera indica L.)", most of them read in use in
/// Singh G., Singh S., "Extent of variability in fruit morphological characters of local mango
/// germplasm" (abstract), the rest from memory. No code digits: the printed list was not at hand.
/// THE BOUNDARIES ARE THIS PROJECT'S OWN, not the scheme's: the scheme shows drawings. They
/// describe varieties at maturity, not how mature a fruit is.
std::vector<StateName> state_names(const Descriptors& values);

}  // namespace maturity
