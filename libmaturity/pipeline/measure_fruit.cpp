#include "libmaturity/pipeline/measure_fruit.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <stdexcept>
#include <string>

#include "libmaturity/core/nearest_point.h"
#include "libmaturity/descriptors/describe_outline.h"
#include "libmaturity/field/fruit_mass.h"
#include "libmaturity/pipeline/shot_error.h"
#include "libmaturity/pipeline/stem_bump.h"
#include "libmaturity/solid/invert_silhouette.h"

namespace maturity {

namespace {

constexpr std::size_t kOutlinePoints = 360;
constexpr double kCaliperSeMm = 1.0;  // of a thickness measured by hand
// What the solid leaves out of length and width: no fruit is as regular, the stem end and nose lie
// below the widest section (relative; the spread left over in rendered fruit of two makers).
constexpr double kSolidModelSe = 0.007;

// Chance of having the ends right from which the shape is scored.
constexpr double kEndKnown = 0.8;

struct Extent {
  double length = 0.0;
  double width = 0.0;
};

Extent extent(const Polygon& outline, const Point& axis) {
  const Point across(-axis.y(), axis.x());
  double low_x = std::numeric_limits<double>::infinity();
  double high_x = -low_x;
  double low_y = low_x;
  double high_y = -low_x;
  for (const Point& p : outline) {
    low_x = std::min(low_x, axis.dot(p));
    high_x = std::max(high_x, axis.dot(p));
    low_y = std::min(low_y, across.dot(p));
    high_y = std::max(high_y, across.dot(p));
  }
  return {high_x - low_x, high_y - low_y};
}

Polygon y_down(Polygon outline) {
  for (Point& p : outline) {
    p.y() = -p.y();
  }
  return outline;
}

bool has(const std::vector<FruitFlag>& flags, FruitFlag flag) {
  return std::find(flags.begin(), flags.end(), flag) != flags.end();
}

// What one standard deviation more of thickness does to length and width.
Extent change_when_thicker(const Polygon& on_board, const Eigen::Vector3d& camera,
                           const ThicknessPrior& prior, const RestingSolid& solid,
                           const Point& axis) {
  constexpr std::size_t kFewPoints = 90;  // the same few for both: what they miss cancels
  const Polygon few = resample_by_arc_length(on_board, kFewPoints);
  ThicknessPrior other = prior;
  other.ratio += prior.ratio_sd;
  if (prior.thickness) {
    other.thickness = *prior.thickness + kCaliperSeMm;
  }
  const auto now = invert_silhouette(few, camera, prior, solid);
  const auto thicker = invert_silhouette(few, camera, other, solid);
  if (!now || !thicker) {
    return {};
  }
  const Extent a = extent(y_down(now->section), axis);
  const Extent b = extent(y_down(thicker->section), axis);
  return {b.length - a.length, b.width - a.width};
}

void set_sizes(FruitMeasurement& fruit, const ShapeDescription& shape, const BoardView& view,
               const Extent& thicker) {
  const auto error = [&](double value, double edge_se, double moved) {
    return std::sqrt(edge_se * edge_se + std::pow(view.scale_relative_se * value, 2) +
                     std::pow(moved, 2) + std::pow(kSolidModelSe * value, 2));
  };
  fruit.length_mm = shape.length;
  fruit.width_mm = shape.width;
  fruit.length_se_mm = error(shape.length, shape.length_se, thicker.length);
  fruit.width_se_mm = error(shape.width, shape.width_se, thicker.width);
}

void set_mass(FruitMeasurement& fruit, const ThicknessPrior& prior) {
  const double thickness = prior.thickness.value_or(prior.ratio * *fruit.width_mm);
  const double thickness_se = prior.thickness ? kCaliperSeMm : prior.ratio_sd * *fruit.width_mm;
  try {
    const FruitMass mass =
        estimate_fruit_mass(*fruit.length_mm, *fruit.width_mm, thickness, *fruit.length_se_mm,
                            *fruit.width_se_mm, thickness_se);
    fruit.mass_g_estimate = mass.mass_g;
    fruit.mass_se_g = mass.error_sd_g;
  } catch (const std::invalid_argument&) {
    // Sizes outside what the published relation saw: no mass is better than a wrong one.
    fruit.mass_g_estimate.reset();
  }
}

/// Once, also where the photo stage has found the same.
void add_flag(FruitMeasurement& fruit, FruitFlag flag) {
  if (!has(fruit.flags, flag)) {
    fruit.flags.push_back(flag);
  }
}

}  // namespace

FruitMeasurement measure_fruit(const FruitOutline& found, const BoardView& view,
                               const MeasureSettings& settings,
                               std::optional<double> known_thickness_mm) {
  FruitMeasurement fruit;
  fruit.outline_px = found.outline_px;
  fruit.outline_se_px = found.se_px;
  fruit.flags = found.flags;
  if (has(fruit.flags, FruitFlag::cut_by_frame)) {
    return fruit;  // what is missing would be guessed
  }
  const Polygon seen = resample_by_arc_length(found.outline_px, kOutlinePoints);
  Polygon on_board(seen.size());
  std::transform(seen.begin(), seen.end(), on_board.begin(),
                 [&](const Point& p) { return view.board_from_image(p); });
  ThicknessPrior prior{settings.thickness_ratio, settings.thickness_ratio_sd, std::nullopt,
                       settings.flank_exponent};
  if (view.has_scale) {
    prior.thickness = known_thickness_mm;
  }
  const auto solid = invert_silhouette(on_board, view.camera_position(), prior);
  if (!solid) {
    add_flag(fruit, FruitFlag::not_fruit_like);
    return fruit;
  }
  Polygon section = y_down(solid->section);
  Point middle_px = Point::Zero();
  for (const Point& p : seen) {
    middle_px += p / static_cast<double>(seen.size());
  }
  const double unit_per_px = view.mm_per_px(middle_px);
  DescribeOptions options;
  options.edge_sd = found.se_px * unit_per_px;
  options.edge_correlation_length = std::max(1e-6, found.correlation_px * unit_per_px);
  if (found.stem_base_px) {
    options.evidence.stem_base = section[nearest_point(seen, *found.stem_base_px)];
    options.evidence.stem_base_probability = std::clamp(found.stem_probability, 0.0, 1.0);
  }
  ShapeDescription shape;
  try {
    shape = describe_outline(section, options);
    if (shape.pose.axis_probability >= kEndKnown &&
        take_off_stem_bump(section, shape.pose.stem, shape.length)) {
      shape = describe_outline(section, options);
    }
  } catch (const std::invalid_argument&) {
    // An outline that crosses itself is no fruit seen whole.
    add_flag(fruit, FruitFlag::not_fruit_like);
    return fruit;
  }
  fruit.stem_px = seen[nearest_point(section, shape.pose.stem)];
  fruit.nose_px = seen[nearest_point(section, shape.pose.nose)];
  fruit.ventral_side = shape.pose.ventral_side;
  fruit.axis_probability = shape.pose.axis_probability;
  fruit.side_probability = shape.pose.side_probability;
  for (const FruitFlag flag : shape.pose.flags) {
    add_flag(fruit, flag);
  }
  for (const DescriptorInfo& info : descriptor_registry()) {
    const double value = shape.descriptors[info.descriptor];
    const double se = shape.descriptors.error(info.descriptor);
    if (std::isfinite(value)) {
      fruit.descriptors.emplace(info.name, value);
      if (std::isfinite(se)) {
        fruit.descriptor_se.emplace(info.name, std::hypot(se, shot_sd(info.descriptor)));
      }
    }
  }
  if (view.has_scale) {
    fruit.outline_mm = y_down(section);
    set_sizes(
        fruit, shape, view,
        change_when_thicker(on_board, view.camera_position(), prior, *solid, shape.pose.axis));
    set_mass(fruit, prior);
  }
  // The end must be known; without the side only the descriptors that need it are absent.
  const bool end_known = fruit.axis_probability >= kEndKnown;
  if (!end_known) {
    add_flag(fruit, FruitFlag::pose_uncertain);
  }
  fruit.usable = end_known && !has(fruit.flags, FruitFlag::occluded) &&
                 !has(fruit.flags, FruitFlag::low_contrast) &&
                 !has(fruit.flags, FruitFlag::not_fruit_like) &&
                 !has(fruit.flags, FruitFlag::not_flat);
  return fruit;
}

}  // namespace maturity
