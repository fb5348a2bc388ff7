#pragma once

#include "bindings/fields.h"
#include "libmaturity/core/flags.h"

/// Flags of photos and fruit are shown in Python by their names.
namespace maturity::bindings {

template <>
struct Shown<PhotoFlag> : NamedState<PhotoFlag, all_photo_flags> {};
template <>
struct Shown<FruitFlag> : NamedState<FruitFlag, all_fruit_flags> {};

}  // namespace maturity::bindings
