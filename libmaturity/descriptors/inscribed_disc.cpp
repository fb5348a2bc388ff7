#include "libmaturity/descriptors/inscribed_disc.h"

#include <Eigen/Core>
#include <algorithm>
#include <cmath>
#include <limits>

namespace maturity {

namespace {

/// Where the search along the axis ends, as a share of the length: the disc of radius r changes by
/// (1 - r cos) of a step squared, far below the edge error.
constexpr double kTolerance = 0.004;
constexpr int kBalanceSteps = 4;

struct Nearest {
  double squared = std::numeric_limits<double>::infinity();
  std::size_t point = 0;
};

/// One of the two arcs between the ends of a fruit, counter-clockwise, searched for its nearest
/// point: every fourth point first, then the full grain around the best of them.
class Arc {
 public:
  Arc(const FramedOutline& outline, std::size_t first, std::size_t last)
      : outline_(outline), first_(first) {
    const std::size_t n = outline.size();
    const std::size_t count = (last >= first ? last - first : last + n - first) / kStride + 1;
    x_.resize(static_cast<Eigen::Index>(count));
    y_.resize(static_cast<Eigen::Index>(count));
    squared_.resize(static_cast<Eigen::Index>(count));
    for (std::size_t k = 0; k < count; ++k) {
      const Point& p = outline.points[at(k)];
      x_[static_cast<Eigen::Index>(k)] = p.x();
      y_[static_cast<Eigen::Index>(k)] = p.y();
    }
  }

  Nearest nearest(const Point& centre) {
    squared_ = (x_ - centre.x()).square() + (y_ - centre.y()).square();
    const double least = squared_.minCoeff();
    const auto* place = std::find(squared_.data(), squared_.data() + squared_.size(), least);
    Nearest best{least, at(static_cast<std::size_t>(place - squared_.data()))};
    const std::size_t middle = best.point;
    constexpr auto kBeside = static_cast<std::ptrdiff_t>(kStride);
    for (std::ptrdiff_t s = -kBeside; s <= kBeside; ++s) {
      const std::size_t i = outline_.at(middle, s);
      const double squared = (outline_.points[i] - centre).squaredNorm();
      if (squared < best.squared) {
        best = {squared, i};
      }
    }
    return best;
  }

 private:
  static constexpr std::size_t kStride = 4;
  std::size_t at(std::size_t k) const {
    const std::size_t raw = first_ + kStride * k;
    return raw >= outline_.size() ? raw - outline_.size() : raw;
  }

  const FramedOutline& outline_;
  std::size_t first_;
  Eigen::ArrayXd x_;
  Eigen::ArrayXd y_;
  Eigen::ArrayXd squared_;
};

struct BothArcs {
  Arc ventral;
  Arc dorsal;
};

/// The disc centred at that x, moved across the axis until both arcs are equally far.
InscribedDisc disc_at(BothArcs& arcs, double x, double y_start) {
  InscribedDisc disc;
  disc.centre = Point(x, y_start);
  double ventral = 0.0;
  double dorsal = 0.0;
  for (int step = 0; step < kBalanceSteps; ++step) {
    const Nearest up = arcs.ventral.nearest(disc.centre);
    const Nearest down = arcs.dorsal.nearest(disc.centre);
    ventral = std::sqrt(up.squared);
    dorsal = std::sqrt(down.squared);
    disc.ventral = up.point;
    disc.dorsal = down.point;
    // Both distances answer to y with nearly unit rate near the widest place.
    disc.centre.y() += 0.5 * (ventral - dorsal);
  }
  disc.radius = 0.5 * (ventral + dorsal);
  return disc;
}

}  // namespace

InscribedDisc largest_inscribed_disc(const FramedOutline& outline) {
  // Counter-clockwise from the most distal point: first the ventral arc.
  BothArcs arcs{Arc(outline, outline.most_distal, outline.most_proximal),
                Arc(outline, outline.most_proximal, outline.most_distal)};
  const double low = outline.points[outline.most_proximal].x();
  constexpr double kGolden = 0.6180339887498949;
  // The centre of a fruit's largest disc lies in the middle half of its length or a little beside.
  double a = low + 0.2 * outline.length;
  double b = low + 0.8 * outline.length;
  double x1 = b - kGolden * (b - a);
  double x2 = a + kGolden * (b - a);
  InscribedDisc first = disc_at(arcs, x1, 0.0);
  InscribedDisc second = disc_at(arcs, x2, first.centre.y());
  while (b - a > kTolerance * outline.length) {
    if (first.radius > second.radius) {
      b = x2;
      x2 = x1;
      second = first;
      x1 = b - kGolden * (b - a);
      first = disc_at(arcs, x1, second.centre.y());
    } else {
      a = x1;
      x1 = x2;
      first = second;
      x2 = a + kGolden * (b - a);
      second = disc_at(arcs, x2, first.centre.y());
    }
  }
  return first.radius > second.radius ? first : second;
}

void add_inscribed_radius(EdgeGradient* gradient, const FramedOutline& outline,
                          const InscribedDisc& disc, double factor) {
  if (gradient == nullptr) {
    return;
  }
  for (const std::size_t i : {disc.ventral, disc.dorsal}) {
    gradient->add(i, 0.5 * factor * (outline.points[i] - disc.centre).normalized());
  }
}

}  // namespace maturity
