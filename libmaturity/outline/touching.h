#pragma once

#include <vector>

#include "libmaturity/outline/outline.h"

namespace maturity {

/// Flags fruit whose outlines meet (closer than reach_px) and, where the contact covers a small
/// part of the outline, replaces that part by the curve its two sides point to: along the contact
/// there is no edge to follow. A fruit with more of its outline in contact is flagged occluded as
/// well.
void settle_contacts(std::vector<FruitOutline>& fruit, double reach_px);

}  // namespace maturity
