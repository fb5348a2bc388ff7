#include "libmaturity/board/fit_camera.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "libmaturity/board/first_view.h"

namespace maturity {

namespace {

constexpr double kFilmDiagonalMm = 43.266615305567875;  // of a 24 x 36 mm frame
constexpr double kUsualPhoneLensMm = 26.0;
constexpr double kFocalSeExif = 0.015;
constexpr double kFocalSeUnknown = 0.10;
constexpr double kPrintScaleSd = 0.004;  // "fit to page" aside, printers keep to a few per mille
constexpr double kTapeTurnSd = 0.05;     // rad
constexpr double kTapeSdStart = 1.0;     // mm
constexpr double kTapeSdLeast = 0.15;
constexpr double kTapeSdMost = 6.0;
// Corner noise and what an uncorrected phone lens bends, per 1000 px of image width.
constexpr double kCornerSdPer1000 = 0.12;

Eigen::Matrix3d small_rotation(const Eigen::Vector3d& w) {
  const double angle = w.norm();
  if (angle < 1e-14) {
    return Eigen::Matrix3d::Identity();
  }
  return Eigen::AngleAxisd(angle, w / angle).toRotationMatrix();
}

// Unknowns: 0 log focal, 1-3 turn, 4-6 shift (relative to height), 7 log print scale, then per
// marker offset x, offset y (mm) and turn.
struct Problem {
  std::vector<SeenMarker> seen;
  BoardGeometry geometry;
  BoardView start;
  double focal_se = 0.1;
  double corner_sd = 0.3;
  double tape_sd = kTapeSdStart;

  Eigen::Index unknowns() const { return 8 + 3 * static_cast<Eigen::Index>(seen.size()); }

  BoardView view(const Eigen::VectorXd& u) const {
    BoardView v = start;
    v.focal_px = start.focal_px * std::exp(u(0));
    v.camera_from_board = small_rotation(u.segment<3>(1)) * start.camera_from_board;
    v.origin_in_camera_mm =
        start.origin_in_camera_mm + u.segment<3>(4) * start.origin_in_camera_mm.z();
    return v;
  }

  Eigen::VectorXd residuals(const Eigen::VectorXd& u) const {
    const BoardView v = view(u);
    const auto count = static_cast<Eigen::Index>(seen.size());
    Eigen::VectorXd r(8 * count + 2 + 3 * count);
    Eigen::Index k = 0;
    for (Eigen::Index i = 0; i < count; ++i) {
      const SeenMarker& s = seen[static_cast<std::size_t>(i)];
      const Eigen::Vector3d tape = u.segment<3>(8 + 3 * i);
      const Point centre = nominal_centre(s.id, geometry);
      const Eigen::Rotation2Dd turn(tape.z());
      for (std::size_t c = 0; c < 4; ++c) {
        const Point arm = (nominal_corner(s.id, c, geometry) - centre) * std::exp(u(7));
        const Point at = centre + tape.head<2>() + turn * arm;
        const Point px = v.image_from_board({at.x(), at.y(), 0.0});
        r.segment<2>(k) = (px - s.px.at(c)) / corner_sd;
        k += 2;
      }
    }
    r(k++) = u(0) / focal_se;
    r(k++) = u(7) / kPrintScaleSd;
    for (Eigen::Index i = 0; i < count; ++i) {
      r(k++) = u(8 + 3 * i) / tape_sd;
      r(k++) = u(9 + 3 * i) / tape_sd;
      r(k++) = u(10 + 3 * i) / kTapeTurnSd;
    }
    return r;
  }

  Eigen::MatrixXd jacobian(const Eigen::VectorXd& u, const Eigen::VectorXd& r0) const {
    Eigen::MatrixXd j(r0.size(), u.size());
    for (Eigen::Index i = 0; i < u.size(); ++i) {
      Eigen::VectorXd moved = u;
      const double step = i < 8 ? 1e-6 : 1e-4;
      moved(i) += step;
      j.col(i) = (residuals(moved) - r0) / step;
    }
    return j;
  }
};

struct Solution {
  Eigen::VectorXd u;
  Eigen::MatrixXd covariance;
  double corner_rms_px = 0.0;
};

Solution solve(const Problem& problem) {
  Solution s;
  s.u = Eigen::VectorXd::Zero(problem.unknowns());
  Eigen::VectorXd r = problem.residuals(s.u);
  double damping = 1e-3;
  Eigen::MatrixXd normal;
  for (int iteration = 0; iteration < 30; ++iteration) {
    const Eigen::MatrixXd j = problem.jacobian(s.u, r);
    normal = j.transpose() * j;
    const Eigen::VectorXd gradient = j.transpose() * r;
    Eigen::MatrixXd damped = normal;
    damped.diagonal() *= 1.0 + damping;
    const Eigen::VectorXd step = damped.ldlt().solve(-gradient);
    const Eigen::VectorXd next_r = problem.residuals(s.u + step);
    if (next_r.allFinite() && next_r.squaredNorm() <= r.squaredNorm()) {
      const double gain = r.squaredNorm() - next_r.squaredNorm();
      s.u += step;
      r = next_r;
      damping = std::max(1e-9, damping * 0.2);
      if (gain < 1e-9 * (1.0 + r.squaredNorm())) {
        break;
      }
    } else {
      damping *= 10.0;
      if (damping > 1e6) {
        break;
      }
    }
  }
  s.covariance = normal.ldlt().solve(Eigen::MatrixXd::Identity(normal.rows(), normal.cols()));
  const auto corners = 8 * static_cast<Eigen::Index>(problem.seen.size());
  s.corner_rms_px = problem.corner_sd *
                    std::sqrt(2.0 * r.head(corners).squaredNorm() / static_cast<double>(corners));
  return s;
}

BoardView finish(const Problem& problem, const Solution& solution) {
  BoardView view = problem.view(solution.u);
  view.has_scale = true;
  view.markers_used = static_cast<int>(problem.seen.size());
  const double base = view.mm_per_px(view.principal_px);
  const double height = view.camera_position().z();
  Eigen::VectorXd scale_gradient(solution.u.size());
  Eigen::VectorXd height_gradient(solution.u.size());
  for (Eigen::Index i = 0; i < solution.u.size(); ++i) {
    Eigen::VectorXd moved = solution.u;
    moved(i) += 1e-5;
    const BoardView v = problem.view(moved);
    scale_gradient(i) = (std::log(v.mm_per_px(v.principal_px)) - std::log(base)) / 1e-5;
    height_gradient(i) = (std::log(v.camera_position().z()) - std::log(height)) / 1e-5;
  }
  view.scale_relative_se =
      std::sqrt(std::max(0.0, scale_gradient.dot(solution.covariance * scale_gradient)));
  view.height_relative_se =
      std::sqrt(std::max(0.0, height_gradient.dot(solution.covariance * height_gradient)));
  double sum = 0.0;
  for (Eigen::Index i = 8; i + 2 < solution.u.size(); i += 3) {
    sum += solution.u.segment<2>(i).squaredNorm();
  }
  view.marker_misfit_mm = std::sqrt(sum / static_cast<double>(problem.seen.size()));
  return view;
}

}  // namespace

FocalGuess guess_focal(const ImageFrame& frame) {
  const double diagonal = std::hypot(frame.width_px, frame.height_px);
  const double mm = frame.focal_35mm.value_or(kUsualPhoneLensMm);
  return {mm / kFilmDiagonalMm * diagonal, frame.focal_35mm ? kFocalSeExif : kFocalSeUnknown};
}

std::optional<BoardView> fit_camera(const std::vector<MarkerSighting>& sightings,
                                    const BoardGeometry& geometry, const ImageFrame& frame) {
  Problem problem;
  problem.geometry = geometry;
  for (const MarkerSighting& s : sightings) {
    if (s.id >= 0 && s.id <= 3) {
      problem.seen.push_back({s.id, s.corners_px});
    }
  }
  const FocalGuess focal = guess_focal(frame);
  const Point principal(0.5 * (frame.width_px - 1), 0.5 * (frame.height_px - 1));
  problem.focal_se = focal.relative_se;
  problem.corner_sd =
      std::max(0.1, kCornerSdPer1000 * 1e-3 * std::max(frame.width_px, frame.height_px));
  while (!problem.seen.empty()) {
    const auto start = first_view(problem.seen, geometry, focal.px, principal);
    if (!start) {
      return std::nullopt;
    }
    problem.start = *start;
    problem.tape_sd = kTapeSdStart;
    Solution solution;
    for (int round = 0; round < 3; ++round) {
      solution = solve(problem);
      // How well these people tape, from this photo: method of moments on the offsets, with the
      // starting value counted as one marker.
      double sum = 2.0 * kTapeSdStart * kTapeSdStart * 0.25;
      double count = 2.0 * 0.25;
      for (Eigen::Index i = 8; i + 2 < solution.u.size(); i += 3) {
        sum += solution.u.segment<2>(i).squaredNorm() + solution.covariance(i, i) +
               solution.covariance(i + 1, i + 1);
        count += 2.0;
      }
      problem.tape_sd = std::clamp(std::sqrt(sum / count), kTapeSdLeast, kTapeSdMost);
    }
    const BoardView view = finish(problem, solution);
    const bool fits = solution.corner_rms_px < 6.0 * problem.corner_sd + 1.0 &&
                      view.marker_misfit_mm < 4.0 * kTapeSdMost;
    if (fits) {
      return view;
    }
    if (problem.seen.size() == 1) {
      return std::nullopt;
    }
    // One sighting is wrong: leave out the one whose taping would have to be worst.
    Eigen::Index worst = 0;
    double most = -1.0;
    for (Eigen::Index i = 0; i < static_cast<Eigen::Index>(problem.seen.size()); ++i) {
      const double off = solution.u.segment<2>(8 + 3 * i).norm();
      if (off > most) {
        most = off;
        worst = i;
      }
    }
    problem.seen.erase(problem.seen.begin() + worst);
  }
  return std::nullopt;
}

BoardView assumed_view(const ImageFrame& frame) {
  BoardView view;
  const FocalGuess focal = guess_focal(frame);
  view.focal_px = focal.px;
  view.principal_px = Point(0.5 * (frame.width_px - 1), 0.5 * (frame.height_px - 1));
  view.camera_from_board = Eigen::Vector3d(1.0, -1.0, -1.0).asDiagonal();
  view.origin_in_camera_mm = Eigen::Vector3d(0.0, 0.0, focal.px);
  view.height_relative_se = focal.relative_se;
  return view;
}

}  // namespace maturity
