#include "libmaturity/pipeline/same_board.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

#include "libmaturity/board/homography.h"

namespace maturity {

namespace {

constexpr std::size_t kComparedPoints = 72;
constexpr double kNear = 0.25;           // between centres that belong together, over sqrt(area)
constexpr double kMostAreaRatio = 0.25;  // of logarithms of areas, after scaling
constexpr double kLeastMean = 0.93;
constexpr double kLeastMeanOfTwo = 0.965;  // two of eight fruit lie over two others at 0.95
constexpr double kLeastEach = 0.85;
constexpr double kLeastShare = 0.75;

struct Shape {
  Polygon outline;
  Point centre;
  double area;
};

std::vector<Shape> shapes_of(const std::vector<Polygon>& outlines) {
  std::vector<Shape> shapes;
  for (const Polygon& outline : outlines) {
    if (outline.size() >= 3 && std::abs(signed_area(outline)) > 0.0) {
      shapes.push_back({resample_by_arc_length(outline, kComparedPoints), area_centroid(outline),
                        std::abs(signed_area(outline))});
    }
  }
  return shapes;
}

using Map = Eigen::Affine2d;

// Shift, turn and scale that bring a to c and b to d.
Map similarity(const Point& a, const Point& b, const Point& c, const Point& d) {
  const Point from = b - a;
  const Point to = d - c;
  const double scale2 = from.squaredNorm();
  const double cosine = from.dot(to) / scale2;
  const double sine = (from.x() * to.y() - from.y() * to.x()) / scale2;
  Map map = Map::Identity();
  map.linear() << cosine, -sine, sine, cosine;
  map.translation() = c - map.linear() * a;
  return map;
}

struct Pair {
  std::size_t first;
  std::size_t second;
};

std::vector<Pair> pairs_under(const Map& map, const std::vector<Shape>& first,
                              const std::vector<Shape>& second) {
  const double area_scale = std::abs(map.linear().determinant());
  std::vector<Pair> pairs;
  std::vector<char> taken(second.size(), 0);
  for (std::size_t i = 0; i < first.size(); ++i) {
    const Point at = map * first[i].centre;
    std::optional<std::size_t> nearest;
    for (std::size_t k = 0; k < second.size(); ++k) {
      const double away = (second[k].centre - at).norm();
      if (taken[k] == 0 && away < kNear * std::sqrt(second[k].area) &&
          std::abs(std::log(second[k].area / (area_scale * first[i].area))) < kMostAreaRatio &&
          (!nearest || away < (second[*nearest].centre - at).norm())) {
        nearest = k;
      }
    }
    if (nearest) {
      taken[*nearest] = 1;
      pairs.push_back({i, *nearest});
    }
  }
  return pairs;
}

// One way to lay the first board over the second.
struct Laying {
  Map map;
  std::vector<Pair> pairs;
  double off = 0.0;  // of centres and areas
};

// From the centres: two or three tell shift, turn, scale and, three, shear; from four on also the
// perspective of two phones held aslant.
Eigen::Matrix3d best_map(const Laying& laying, const std::vector<Shape>& first,
                         const std::vector<Shape>& second) {
  if (laying.pairs.size() < 3) {
    return laying.map.matrix();
  }
  std::vector<std::pair<Point, Point>> centres;
  centres.reserve(laying.pairs.size());
  for (const Pair& pair : laying.pairs) {
    centres.emplace_back(first[pair.first].centre, second[pair.second].centre);
  }
  if (centres.size() >= 4) {
    return homography(centres);
  }
  Eigen::Matrix3d from;
  Eigen::Matrix3d to;
  for (Eigen::Index i = 0; i < 3; ++i) {
    from.col(i) = centres[static_cast<std::size_t>(i)].first.homogeneous();
    to.col(i) = centres[static_cast<std::size_t>(i)].second.homogeneous();
  }
  return to * from.inverse();
}

// In common over together, on a grid of about 48 x 48 points.
double overlap(const Polygon& a, const Polygon& b) {
  constexpr int kAcross = 48;
  Eigen::AlignedBox2d box = bounding_box(a);
  box.extend(bounding_box(b));
  int both = 0;
  int either = 0;
  for (int y = 0; y < kAcross; ++y) {
    for (int x = 0; x < kAcross; ++x) {
      const Point at =
          box.min() + box.sizes().cwiseProduct(Point((x + 0.5) / kAcross, (y + 0.5) / kAcross));
      const bool in_a = contains(a, at);
      const bool in_b = contains(b, at);
      both += in_a && in_b ? 1 : 0;
      either += in_a || in_b ? 1 : 0;
    }
  }
  return either > 0 ? static_cast<double>(both) / either : 0.0;
}

BoardMatch judge(const Eigen::Matrix3d& map, const std::vector<Pair>& pairs,
                 const std::vector<Shape>& first, const std::vector<Shape>& second) {
  BoardMatch match;
  match.matched = static_cast<int>(pairs.size());
  match.least_overlap = 1.0;
  for (const Pair& pair : pairs) {
    Polygon moved = first[pair.first].outline;
    for (Point& p : moved) {
      p = (map * p.homogeneous()).hnormalized();
    }
    const double common = overlap(moved, second[pair.second].outline);
    match.mean_overlap += common / static_cast<double>(pairs.size());
    match.least_overlap = std::min(match.least_overlap, common);
  }
  const auto smaller = static_cast<double>(std::min(first.size(), second.size()));
  match.same = match.matched >= 2 && match.matched >= kLeastShare * smaller &&
               match.mean_overlap >= (match.matched == 2 ? kLeastMeanOfTwo : kLeastMean) &&
               match.least_overlap >= kLeastEach;
  return match;
}

Laying lay(const Map& map, const std::vector<Shape>& first, const std::vector<Shape>& second) {
  Laying laying{map, pairs_under(map, first, second), 0.0};
  const double area_scale = map.linear().determinant();
  for (const Pair& pair : laying.pairs) {
    const Shape& from = first[pair.first];
    const Shape& to = second[pair.second];
    laying.off += (map * from.centre - to.centre).squaredNorm() / to.area +
                  std::pow(std::log(to.area / (area_scale * from.area)), 2);
  }
  return laying;
}

bool same_pairs(const Laying& a, const Laying& b) {
  return std::equal(
      a.pairs.begin(), a.pairs.end(), b.pairs.begin(), b.pairs.end(),
      [](const Pair& p, const Pair& q) { return p.first == q.first && p.second == q.second; });
}

// The layings with most pairs, the closest first; each pairing once. Fruit in straight rows match
// turned by half a turn as well: only their outlines tell.
std::vector<Laying> layings(const std::vector<Shape>& first, const std::vector<Shape>& second) {
  constexpr std::size_t kMostLayings = 8;
  std::vector<Laying> kept;
  for (std::size_t i = 0; i < first.size(); ++i) {
    for (std::size_t j = i + 1; j < first.size(); ++j) {
      for (std::size_t k = 0; k < second.size(); ++k) {
        for (std::size_t l = 0; l < second.size(); ++l) {
          if (k == l) {
            continue;
          }
          Laying one =
              lay(similarity(first[i].centre, first[j].centre, second[k].centre, second[l].centre),
                  first, second);
          const std::size_t most = kept.empty() ? 2 : kept.front().pairs.size();
          if (one.pairs.size() < most) {
            continue;
          }
          if (one.pairs.size() > most) {
            kept.clear();
          }
          const auto twin = std::find_if(kept.begin(), kept.end(), [&](const Laying& other) {
            return same_pairs(one, other);
          });
          if (twin == kept.end()) {
            kept.push_back(std::move(one));
          } else if (one.off < twin->off) {
            *twin = std::move(one);
          }
        }
      }
    }
  }
  std::sort(kept.begin(), kept.end(),
            [](const Laying& a, const Laying& b) { return a.off < b.off; });
  if (kept.size() > kMostLayings) {
    kept.erase(kept.begin() + kMostLayings, kept.end());
  }
  return kept;
}

}  // namespace

BoardMatch compare_boards(const std::vector<Polygon>& first_px,
                          const std::vector<Polygon>& second_px) {
  const std::vector<Shape> first = shapes_of(first_px);
  const std::vector<Shape> second = shapes_of(second_px);
  BoardMatch best;
  for (const Laying& laying : layings(first, second)) {
    const BoardMatch match = judge(best_map(laying, first, second), laying.pairs, first, second);
    if (match.mean_overlap > best.mean_overlap) {
      best = match;
    }
  }
  return best;
}

}  // namespace maturity
