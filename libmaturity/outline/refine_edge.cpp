#include "libmaturity/outline/refine_edge.h"

#include <algorithm>
#include <cmath>
#include <opencv2/core.hpp>

#include "libmaturity/core/ring_index.h"
#include "libmaturity/outline/cyclic_path.h"
#include "libmaturity/outline/edge_fit.h"
#include "libmaturity/outline/edge_rays.h"
#include "libmaturity/outline/rim_gloss.h"
#include "libmaturity/outline/sharp_corners.h"
#include "libmaturity/outline/smooth_ring.h"
#include "libmaturity/outline/stem_stub.h"

namespace maturity {

namespace {

constexpr double kNoise2 = 4e-5;    // variance of sensor noise and texture floor, linear light
constexpr double kClearEdge = 3.0;  // contrast over noise that counts as an edge
constexpr float kEdgeStiffness = 0.12F;
constexpr int kEdgeJump = 2;
// 10 to 90 % of a normal ramp, in standard deviations.
constexpr double kWidthOfSpread = 2.563;

// Log ratios and log light of linear colours: there shading only adds a constant, so the edge of
// the skin is told from the edge of the light on it.
std::vector<Light> log_features(const std::vector<Light>& rgb) {
  constexpr double kFloor = 0.01;
  const int count = static_cast<int>(rgb.size());
  cv::Mat logs;
  cv::Mat(count, 3, CV_64FC1, const_cast<double*>(rgb.data()->data()))  // NOLINT: read only
      .convertTo(logs, CV_32F, 1.0, kFloor);
  cv::log(logs, logs);
  std::vector<Light> features(rgb.size());
  for (int i = 0; i < count; ++i) {
    const Eigen::Vector3d log =
        Eigen::Map<const Eigen::Vector3f>(logs.ptr<float>(i)).cast<double>();
    features[static_cast<std::size_t>(i)] = {0.5 * (log.x() + log.y()) - log.z(), log.y() - log.x(),
                                             log.mean()};
  }
  return features;
}

struct Crossing {
  double offset_px = 0.0;  // from the rough outline, outward positive
  double contrast = 0.0;
  double width_px = 0.0;
};

// Row of the steepest fall within a few rows of the path.
int steepest_near(const std::vector<double>& profile, std::size_t base, std::size_t rows, int row) {
  constexpr int kReach = 5;
  int best = std::clamp(row, 2, static_cast<int>(rows) - 3);
  double most = 0.0;
  for (int r = std::max(2, row - kReach); r <= std::min(static_cast<int>(rows) - 3, row + kReach);
       ++r) {
    const double* p = &profile[base + static_cast<std::size_t>(r)];
    const double fall = p[-2] + p[-1] - p[1] - p[2];
    if (fall > most) {
      most = fall;
      best = r;
    }
  }
  return best;
}

// Centroid of the falling gradient around row `peak`.
Crossing locate(const std::vector<double>& profile, std::size_t base, const Rays& rays, int peak) {
  constexpr int kReach = 9;
  const auto value = [&](int r) { return profile[base + static_cast<std::size_t>(r)]; };
  const int last_row = static_cast<int>(rays.rows) - 1;
  int first = peak;
  while (first > 0 && peak - first < kReach && value(first - 1) > value(first)) {
    --first;
  }
  int last = peak;
  while (last < last_row && last - peak < kReach && value(last + 1) < value(last)) {
    ++last;
  }
  Crossing c;
  c.contrast = value(first) - value(last);
  if (!(c.contrast > 0.0)) {
    c.offset_px = rays.step * peak - rays.half;
    return c;
  }
  double moment = 0.0;
  double second = 0.0;
  for (int r = first; r < last; ++r) {
    const double weight = (value(r) - value(r + 1)) / c.contrast;
    moment += weight * (r + 0.5);
    second += weight * (r + 0.5) * (r + 0.5);
  }
  c.offset_px = rays.step * moment - rays.half;
  c.width_px = kWidthOfSpread * rays.step * std::sqrt(std::max(0.0, second - moment * moment));
  return c;
}

// Adds the fall of a profile along every normal, the strongest of each normal as 1.
void add_falls(const std::vector<double>& profile, const Rays& rays, std::vector<float>& cost) {
  for (std::size_t i = 0; i < rays.count; ++i) {
    const double* p = &profile[i * rays.rows];
    double most = 1e-9;
    for (std::size_t r = 2; r + 2 < rays.rows; ++r) {
      most = std::max(most, p[r - 2] + p[r - 1] - p[r + 1] - p[r + 2]);
    }
    for (std::size_t r = 2; r + 2 < rays.rows; ++r) {
      const double fall = p[r - 2] + p[r - 1] - p[r + 1] - p[r + 2];
      cost[i * rays.rows + r] -= static_cast<float>(std::max(0.0, fall) / most);
    }
  }
}

// The closed line of strongest fall from inside to outside, a little held to the rough outline.
// Both kinds of fall count: of light, which is sharp where the skin ends, and of colour ratios,
// which do not follow the shading of the skin.
std::vector<int> best_path(const Rays& rays) {
  constexpr double kHold = 0.15;
  constexpr double kLogNoise2 = 0.004;
  const int last = static_cast<int>(rays.rows) - 1;
  const int third = static_cast<int>(rays.rows) / 3;
  const std::vector<RowRange> ranges(rays.count, RowRange{0, third - 1, last - third + 1, last});
  std::vector<float> cost(rays.light.size(), 0.0F);
  add_falls(profiles(log_features(rays.light), ranges, rays.rows, kLogNoise2), rays, cost);
  add_falls(profiles(rays.light, ranges, rays.rows, kNoise2), rays, cost);
  std::vector<float> hold(rays.rows);
  for (std::size_t r = 0; r < rays.rows; ++r) {
    const double off = (rays.step * static_cast<double>(r) - rays.half) / rays.half;
    hold[r] = static_cast<float>(kHold * off * off);
  }
  for (std::size_t i = 0; i < rays.count; ++i) {
    for (std::size_t r = 0; r < rays.rows; ++r) {
      float& here = cost[i * rays.rows + r];
      here = 0.5F * here + hold[r];
    }
  }
  return cheapest_closed_path(cost, static_cast<int>(rays.count), static_cast<int>(rays.rows),
                              kEdgeJump, kEdgeStiffness);
}

// Rows on both sides of the chosen line.
std::vector<RowRange> sides_of(const Rays& rays, const std::vector<int>& path) {
  constexpr int kNear = 5;
  constexpr int kFar = 12;
  const int last = static_cast<int>(rays.rows) - 1;
  std::vector<RowRange> ranges(rays.count);
  for (std::size_t i = 0; i < rays.count; ++i) {
    ranges[i] = {std::max(0, path[i] - kFar), path[i] - kNear, path[i] + kNear,
                 std::min(last, path[i] + kFar)};
  }
  return ranges;
}

// The edge within +/- band_px of a line, smoothed along it.
struct FollowedEdge {
  Polygon outline_px;
  Polygon crossings_px;          // the same before the fit, in which corners are sharper
  double scatter_px = 0.0;       // of single crossings about the smoothed line
  std::vector<double> contrast;  // of each crossing, over noise
  double clear_share = 0.0;
  double width_px = 0.0;
};

constexpr int kHalfWindow = 5;

FollowedEdge follow_edge(const Photo& photo, const Polygon& start, double band_px) {
  const Normals normals = normals_of(start);
  const Rays rays = sample_rays(photo, normals, band_px);
  const std::vector<int> path = best_path(rays);
  // In linear light, where pixels mix.
  const std::vector<RowRange> sides = sides_of(rays, path);
  const std::vector<double> profile = profiles(rays.light, sides, rays.rows, kNoise2);
  std::vector<double> offsets(rays.count);
  std::vector<double> weights(rays.count);
  double clear = 0.0;
  double widths = 0.0;
  FollowedEdge edge;
  edge.contrast.resize(rays.count);
  for (std::size_t i = 0; i < rays.count; ++i) {
    const Crossing c = locate(profile, i * rays.rows, rays,
                              steepest_near(profile, i * rays.rows, rays.rows, path[i]));
    offsets[i] = c.offset_px;
    edge.contrast[i] = c.contrast;
    weights[i] = std::min(1.0, c.contrast / (2.0 * kClearEdge)) + 0.01;
    if (c.contrast > kClearEdge) {
      clear += 1.0;
      widths += c.width_px;
    }
  }
  const std::vector<double> smooth = smooth_ring(offsets, weights, kHalfWindow);
  edge.outline_px.resize(rays.count);
  edge.crossings_px.resize(rays.count);
  std::vector<double> off(rays.count);
  for (std::size_t i = 0; i < rays.count; ++i) {
    edge.crossings_px[i] = normals.at[i] + smooth[i] * normals.outward[i];
    off[i] = std::abs(offsets[i] - smooth[i]);
  }
  std::nth_element(off.begin(), off.begin() + static_cast<std::ptrdiff_t>(rays.count / 2),
                   off.end());
  edge.scatter_px = 1.4826 * off[rays.count / 2];
  edge.clear_share = clear / static_cast<double>(rays.count);
  edge.width_px = clear > 0.0 ? widths / clear : 0.0;
  const Photo::Planes& planes = photo.planes();
  const EdgeForm form{edge.width_px / kWidthOfSpread,
                      Point(planes.colour_shrink_x, planes.colour_shrink_y)};
  const std::vector<double> fitted = fit_edge(rays, sides, smooth, weights, kHalfWindow, form);
  for (std::size_t i = 0; i < rays.count; ++i) {
    edge.outline_px[i] = normals.at[i] + fitted[i] * normals.outward[i];
  }
  return edge;
}

// The edge around the curve that bridges one dent, in place of the dent. The others stay as they
// are: the curve over a true hollow next to it would draw the edge away from it. Returns what the
// steps where it meets the old line add to the mean squared error of the outline, px^2.
double follow_below_dent(const Photo& photo, Polygon& outline, const Stub& dent, double band_px) {
  constexpr double kNarrow = 0.5;
  constexpr double kMostlyClear = 0.8;  // 0.87 to 1 of true rims, at most 0.63 of others
  const std::size_t n = outline.size();
  Polygon bridged = outline;
  bridge(bridged, dent, kDentMargin);
  const FollowedEdge edge = follow_edge(photo, bridged, kNarrow * band_px);
  std::size_t seen = 0;
  for (std::size_t k = 0; k < dent.length; ++k) {
    seen += edge.contrast[(dent.first + k) % n] > kClearEdge ? 1U : 0U;
  }
  if (static_cast<double>(seen) < kMostlyClear * static_cast<double>(dent.length)) {
    return 0.0;  // the board begins at the dent after all
  }
  double steps2 = 0.0;
  std::size_t i = ring_before(dent.first, kDentMargin, n);
  for (std::size_t k = 0; k < dent.length + 2 * kDentMargin; ++k, i = ring_next(i, n)) {
    const double step = (outline[i] - edge.outline_px[i]).norm();
    if (k == 0 || k + 1 == dent.length + 2 * kDentMargin) {
      steps2 += step * step;
    }
    outline[i] = edge.outline_px[i];
  }
  // Where the true line goes from one to the other is not known to better than the margin.
  return steps2 * static_cast<double>(kDentMargin) / static_cast<double>(n);
}

// Where the rim mirrors something white, the edge is sought again around the curve that the outline
// beyond points to. Returns the mean squared error that this adds, px^2.
double follow_below_gloss(const Photo& photo, Polygon& outline, double band_px) {
  double error2 = 0.0;
  for (const Stub& dent : find_rim_gloss(photo, outline)) {
    error2 += follow_below_dent(photo, outline, dent, band_px);
  }
  return error2;
}

// Feet of stems that the edge took in; a stem known by what stands out farther keeps its place.
void bridge_feet(const Photo& photo, RefinedOutline& refined, double unit_px) {
  constexpr double kSame = 2.0;  // units
  Polygon& outline = refined.outline_px;
  for (const Stub& foot : find_stem_feet(photo, outline, normals_of(outline).outward, unit_px)) {
    bridge(outline, foot);
    const Point base = outline[(foot.first + foot.length / 2) % outline.size()];
    const bool known = std::any_of(
        refined.stems.begin(), refined.stems.end(),
        [&](const RefinedOutline::Stem& s) { return (s.base_px - base).norm() < kSame * unit_px; });
    if (!known) {
      refined.stems.push_back({base, foot.reach_px, foot.likeness});
    }
  }
}

}  // namespace

RefinedOutline refine_edge(const Photo& photo, const Polygon& rough_px, double band_px) {
  constexpr double kSpacing = 2.0;  // px between normals
  constexpr double kFewestNormals = 120.0;
  constexpr double kMostNormals = 400.0;  // of a photo so large that more tell nothing more
  const double length = perimeter(rough_px);
  Polygon start = resample_by_arc_length(
      rough_px,
      static_cast<std::size_t>(std::clamp(length / kSpacing, kFewestNormals, kMostNormals)));
  const Normals normals = normals_of(start);
  std::vector<Stub> stubs = find_stubs(photo, normals.at, normals.outward, band_px);
  for (const Stub& spike : find_spikes(start)) {
    stubs.push_back(spike);
  }
  for (const Stub& stub : stubs) {
    bridge(start, stub);
  }
  const FollowedEdge edge = follow_edge(photo, start, band_px);
  RefinedOutline result;
  result.outline_px = edge.outline_px;
  const std::size_t count = result.outline_px.size();
  for (const Stub& spike : find_spikes(edge.crossings_px)) {
    stubs.push_back(spike);
  }
  std::sort(stubs.begin(), stubs.end(), [](const Stub& a, const Stub& b) {
    return a.likeness * a.reach_px > b.likeness * b.reach_px;
  });
  for (const Stub& stub : stubs) {
    bridge(result.outline_px, stub);
    result.stems.push_back(
        {result.outline_px[(stub.first + stub.length / 2) % count], stub.reach_px, stub.likeness});
  }
  bridge_feet(photo, result, band_px);
  const double gloss2 = follow_below_gloss(photo, result.outline_px, band_px);
  result.whole = mend_sharp_corners(result.outline_px);
  // Noise left after averaging over the window, and what no smoothing removes: the tone curve of
  // the phone moves the half-light point by a tenth or two of a pixel.
  constexpr double kToneSe = 0.15;
  result.se_px = std::hypot(edge.scatter_px / std::sqrt(0.6 * (2 * kHalfWindow + 1)), kToneSe,
                            std::sqrt(gloss2));
  result.correlation_px = length / static_cast<double>(count) * kHalfWindow;
  result.edge_share = edge.clear_share;
  result.edge_width_px = edge.width_px;
  return result;
}

}  // namespace maturity
