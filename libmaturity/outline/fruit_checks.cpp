#include "libmaturity/outline/fruit_checks.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <iterator>
#include <limits>
#include <numbers>

#include "libmaturity/core/convex_hull.h"
#include "libmaturity/photo/linear_light.h"

namespace maturity {

namespace {

constexpr double kLeastEdgeShare = 0.60;
constexpr double kLeastEdgeShareCut = 0.50;  // the cut itself has none
constexpr double kClearEdgeShare = 0.85;
constexpr double kLeastSkinYellow = 0.30;  // above paper white; the palest fruit seen have 0.6
constexpr double kRectangle = 0.963;       // ellipticity; of a rectangle 3 / pi = 0.955
constexpr double kFourCornered = 0.96;     // solidity of a tag, whose sides are straight
constexpr double kOddForm = 0.972;
constexpr double kLeafElongation = 2.3;
constexpr double kNarrowestMm = 36.0;  // across; the smallest bodies, 38 mm, look larger yet
constexpr double kRound = 1.18;
constexpr double kTooRound = 1.035;
constexpr double kAppleRed = -1.1;
constexpr double kLemonYellow = 1.9;
constexpr double kLemonGreen = -0.5;
constexpr double kOrangeGreen = -0.75;
constexpr double kBittenSolidity = 0.965;
constexpr double kFrameMargin = 2.0;  // px
constexpr double kShortestMm = 42.0;
constexpr double kLongestMm = 300.0;

double skin_yellow(const Photo& photo, const Point& at) {
  constexpr double kFloor = 0.004;
  const Eigen::Array3d rgb = sample_linear_rgb(photo, at).array() + kFloor;
  return 0.5 * std::log(rgb[0] * rgb[1]) - std::log(rgb[2]);
}

double longest_px(const Polygon& outline) {
  const Polygon hull = convex_hull(outline);
  double most = 0.0;
  for (std::size_t i = 0; i < hull.size(); ++i) {
    for (std::size_t j = i + 1; j < hull.size(); ++j) {
      most = std::max(most, (hull[i] - hull[j]).norm());
    }
  }
  return most;
}

}  // namespace

OutlineForm form_of(const Polygon& outline) {
  OutlineForm form;
  const double area = signed_area(outline);
  const Point centre = area_centroid(outline);
  Eigen::Matrix2d second = Eigen::Matrix2d::Zero();
  const std::size_t n = outline.size();
  for (std::size_t i = 0; i < n; ++i) {
    const Point a = outline[i] - centre;
    const Point b = outline[(i + 1) % n] - centre;
    const double c = a.x() * b.y() - b.x() * a.y();
    second +=
        c / 24.0 *
        (2.0 * a * a.transpose() + 2.0 * b * b.transpose() + a * b.transpose() + b * a.transpose());
  }
  if (area == 0.0) {
    return form;
  }
  second /= area;
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix2d> eigen(second);
  const double low = std::max(1e-12, eigen.eigenvalues()(0));
  const double high = std::max(1e-12, eigen.eigenvalues()(1));
  form.ellipticity = std::abs(area) / (4.0 * std::numbers::pi * std::sqrt(low * high));
  form.elongation = std::sqrt(high / low);
  form.breadth = 4.0 * std::sqrt(low);
  form.solidity = std::abs(area / signed_area(convex_hull(outline)));
  return form;
}

bool plainly_no_mango(const FruitOutline& fruit, const CheckContext& context) {
  const OutlineForm form = form_of(fruit.outline_px);
  const double yellow = fruit.yellow - context.white_yellow;
  const double least_edge =
      fruit.has(FruitFlag::cut_by_frame) ? kLeastEdgeShareCut : kLeastEdgeShare;
  if (fruit.edge_share < least_edge) {
    return true;
  }
  if (yellow < kLeastSkinYellow) {
    return true;
  }
  if (fruit.has(FruitFlag::cut_by_frame)) {
    return false;  // its form is that of the cut
  }
  const bool tag = form.ellipticity < kRectangle && form.solidity > kFourCornered;
  const bool round = form.elongation < kRound;
  const bool apple = round && fruit.green < kAppleRed;
  const bool orange = round && yellow > kLemonYellow && fruit.green < kOrangeGreen;
  const bool lemon = yellow > kLemonYellow && fruit.green > kLemonGreen;
  const bool leaf = form.elongation > kLeafElongation;
  const bool narrow = context.mm_per_px && form.breadth * *context.mm_per_px < kNarrowestMm;
  return tag || apple || orange || lemon || leaf || narrow;
}

void flag_doubts(FruitOutline& fruit, const CheckContext& context) {
  std::size_t at_frame = 0;
  for (const Point& p : fruit.outline_px) {
    if (p.x() < kFrameMargin || p.y() < kFrameMargin ||
        p.x() > context.width_px - 1 - kFrameMargin ||
        p.y() > context.height_px - 1 - kFrameMargin) {
      ++at_frame;
    }
  }
  constexpr std::size_t kFewPoints = 3;
  if (at_frame >= kFewPoints) {
    fruit.add(FruitFlag::cut_by_frame);
  }
  if (fruit.has(FruitFlag::cut_by_frame)) {
    return;
  }
  if (fruit.edge_share < kClearEdgeShare) {
    fruit.add(FruitFlag::low_contrast);
  }
  const OutlineForm form = form_of(fruit.outline_px);
  if (form.solidity < kBittenSolidity) {
    fruit.add(FruitFlag::occluded);
  }
  const double longest = longest_px(fruit.outline_px);
  const bool odd_size = context.mm_per_px && (longest * *context.mm_per_px < kShortestMm ||
                                              longest * *context.mm_per_px > kLongestMm);
  if (form.ellipticity < kOddForm || form.elongation < kTooRound || odd_size) {
    fruit.add(FruitFlag::not_fruit_like);
  }
}

bool leaf_at_edge(const Photo& photo, const Polygon& outline,
                  const std::vector<Polygon>& neighbours, const LeafSearch& search) {
  constexpr double kYellowStep = 0.40;
  const double unit_px = search.unit_px;
  constexpr double kShortest = 0.035;  // of the outline; narrower things are stems
  constexpr double kLongest = 0.35;
  const std::size_t n = outline.size();
  const double sign = signed_area(outline) > 0.0 ? 1.0 : -1.0;
  const double reach = 0.7 * unit_px;
  std::vector<Eigen::AlignedBox2d> boxes(neighbours.size());
  std::transform(neighbours.begin(), neighbours.end(), boxes.begin(), bounding_box);
  const auto on_neighbour = [&](const Point& at) {
    for (std::size_t k = 0; k < neighbours.size(); ++k) {
      if (boxes[k].exteriorDistance(at) < reach &&
          (contains(neighbours[k], at) || distance_to_outline(neighbours[k], at) < reach)) {
        return true;
      }
    }
    return false;
  };
  std::vector<double> yellow(n);
  for (std::size_t i = 0; i < n; ++i) {
    const Point d = outline[(i + 3) % n] - outline[(i + n - 3) % n];
    const Point outward = sign * Point(d.y(), -d.x()).normalized();
    const Point at = outline[i] + 0.8 * unit_px * outward;
    yellow[i] =
        on_neighbour(at) ? std::numeric_limits<double>::quiet_NaN() : skin_yellow(photo, at);
  }
  std::vector<double> known;
  std::copy_if(yellow.begin(), yellow.end(), std::back_inserter(known),
               [](double v) { return std::isfinite(v); });
  if (known.size() < n / 3) {
    return false;
  }
  const auto middle = known.begin() + static_cast<std::ptrdiff_t>(known.size() / 2);
  std::nth_element(known.begin(), middle, known.end());
  // Yellower than most of the surroundings, and yellower than any grey: the edge of the board is
  // not.
  const double limit = std::max(*middle, search.white_yellow + 0.1) + kYellowStep;
  std::size_t run = 0;
  std::size_t longest = 0;
  for (std::size_t k = 0; k < 2 * n; ++k) {
    const double v = yellow[k % n];
    run = std::isfinite(v) && v > limit ? run + 1 : 0;
    longest = std::max(longest, std::min(run, n));
  }
  const double share = static_cast<double>(longest) / static_cast<double>(n);
  return share > kShortest && share < kLongest;
}

}  // namespace maturity
