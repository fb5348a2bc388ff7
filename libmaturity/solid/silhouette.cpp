#include "libmaturity/solid/silhouette.h"

#include <algorithm>
#include <cmath>
#include <sstream>
#include <stdexcept>

#include "libmaturity/solid/flank.h"

namespace maturity {

Polygon silhouette_on_board(const RestingSolid& solid, const Eigen::Vector3d& camera) {
  const double c = solid.half_thickness;
  const double height = camera.z();
  if (!(c > 0.0) || !(height > 2.0 * c)) {
    std::ostringstream text;
    text << "silhouette_on_board: camera height " << height << " over a solid " << 2.0 * c
         << " thick; the camera must be above the solid and the thickness positive";
    throw std::invalid_argument(text.str());
  }
  const std::size_t n = solid.section.size();
  const Point foot = camera.head<2>();
  const Point d = solid.centre - foot;
  const FlankView flank{c, height, solid.exponent};
  Polygon seen(n);
  for (std::size_t i = 0; i < n; ++i) {
    const Point& here = solid.section[i];
    const Point e = solid.section[(i + 1) % n] - solid.section[(i + n - 1) % n];
    const Point q = here - solid.centre;
    const double w = e.x() * q.y() - e.y() * q.x();
    const double turn = e.y() * d.x() - e.x() * d.y();
    const double h = flank.touching_height(w != 0.0 ? turn / w : 0.0);
    const Point flat = solid.centre + flank.share(h) * q;
    const double z = c * (1.0 + h);
    seen[i] = foot + (flat - foot) * (height / (height - z));
  }
  return seen;
}

}  // namespace maturity
