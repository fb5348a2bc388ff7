#include "libmaturity/outline/edge_rays.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "libmaturity/core/ring_index.h"
#include "libmaturity/photo/linear_light.h"

namespace maturity {

namespace {

constexpr std::size_t kPool = 6;  // neighbouring normals that share one colour direction

// Sums of colours on one side of the edge.
struct ColourSums {
  double count = 0.0;
  Light sum = Light::Zero();
  Light squares = Light::Zero();   // rr, gg, bb
  Light products = Light::Zero();  // rg, gb, br

  void add(const Light* column, int first, int last) {
    for (int r = first; r <= last; ++r) {
      const Light& c = column[r];
      sum += c;
      squares += c.cwiseProduct(c);
      products += Light(c.x() * c.y(), c.y() * c.z(), c.z() * c.x());
      count += 1.0;
    }
  }
  // `times`: 1, or -1 to take them away.
  void add(const ColourSums& other, double times) {
    count += times * other.count;
    sum += times * other.sum;
    squares += times * other.squares;
    products += times * other.products;
  }
  Light mean() const { return sum / count; }
  Eigen::Matrix3d covariance() const {
    Eigen::Matrix3d second;
    second << squares.x(), products.x(), products.z(), products.x(), squares.y(), products.y(),
        products.z(), products.y(), squares.z();
    return second / count - mean() * mean().transpose();
  }
};

}  // namespace

Normals normals_of(const Polygon& outline) {
  const std::size_t count = outline.size();
  Normals normals{outline, Polygon(count)};
  const double sign = signed_area(outline) > 0.0 ? 1.0 : -1.0;
  for (std::size_t i = 0; i < count; ++i) {
    // A wide stencil: the rough outline still has steps of the small field in it.
    const Point d = outline[(i + 3) % count] - outline[(i + count - 3) % count];
    normals.outward[i] = sign * Point(d.y(), -d.x()).normalized();
  }
  return normals;
}

Rays sample_rays(const Photo& photo, const Normals& normals, double band_px) {
  Rays rays;
  rays.count = normals.at.size();
  constexpr double kFinestPx = 0.5;
  constexpr double kMostSteps = 17.0;  // to either side
  rays.step = std::max(kFinestPx, band_px / kMostSteps);
  const int half_rows = std::max(6, static_cast<int>(std::lround(band_px / rays.step)));
  rays.rows = 2 * static_cast<std::size_t>(half_rows) + 1;
  rays.half = rays.step * half_rows;
  rays.light.resize(rays.count * rays.rows);
  rays.planes.resize(rays.count * rays.rows);
  for (std::size_t i = 0; i < rays.count; ++i) {
    sample_linear_rgb(photo, normals.at[i] - rays.half * normals.outward[i],
                      rays.step * normals.outward[i],
                      std::span(rays.light).subspan(i * rays.rows, rays.rows),
                      std::span(rays.planes).subspan(i * rays.rows, rays.rows));
  }
  return rays;
}

std::vector<Parting> part_sides(const std::vector<Light>& samples,
                                const std::vector<RowRange>& ranges, std::size_t rows,
                                const Light& noise2) {
  const std::size_t count = ranges.size();
  if (count == 0) {
    return {};
  }
  std::vector<ColourSums> inside(count);
  std::vector<ColourSums> outside(count);
  for (std::size_t i = 0; i < count; ++i) {
    inside[i].add(&samples[i * rows], ranges[i].in_first, ranges[i].in_last);
    outside[i].add(&samples[i * rows], ranges[i].out_first, ranges[i].out_last);
  }
  std::vector<Parting> parted(count);
  // Sums over the neighbours, moved on from one normal to the next.
  ColourSums in;
  ColourSums out;
  for (std::size_t k = 0, j = ring_before(0, kPool, count); k < 2 * kPool; ++k) {
    in.add(inside[j], 1.0);
    out.add(outside[j], 1.0);
    j = ring_next(j, count);
  }
  for (std::size_t i = 0; i < count; ++i) {
    if (i > 0) {
      const std::size_t gone = ring_before(i, kPool + 1, count);
      in.add(inside[gone], -1.0);
      out.add(outside[gone], -1.0);
    }
    const std::size_t come = (i + kPool) % count;
    in.add(inside[come], 1.0);
    out.add(outside[come], 1.0);
    if (in.count < 3.0 || out.count < 3.0) {
      continue;
    }
    Eigen::Matrix3d scatter = 0.5 * (in.covariance() + out.covariance());
    scatter.diagonal() += noise2;
    const Light w = scatter.ldlt().solve(in.mean() - out.mean());
    parted[i] = {in.mean(), out.mean(), w / std::sqrt(std::max(1e-12, w.dot(scatter * w)))};
  }
  return parted;
}

std::vector<double> profiles(const std::vector<Light>& samples, const std::vector<RowRange>& ranges,
                             std::size_t rows, double noise2) {
  std::vector<double> profile(samples.size());
  const std::vector<Parting> parted = part_sides(samples, ranges, rows, Light::Constant(noise2));
  for (std::size_t i = 0; i < ranges.size(); ++i) {
    const Light& w = parted[i].direction;
    for (std::size_t r = 0; r < rows; ++r) {
      profile[i * rows + r] = w.dot(samples[i * rows + r]);
    }
  }
  return profile;
}

}  // namespace maturity
