#include "libmaturity/outline/candidates.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <iterator>
#include <numbers>
#include <opencv2/imgproc.hpp>
#include <utility>

#include "libmaturity/outline/disc_opening.h"
#include "libmaturity/outline/edge_steps.h"
#include "libmaturity/outline/pixel_outline.h"
#include "libmaturity/outline/split_touching.h"

namespace maturity {

namespace {

constexpr double kLevelStep = 0.12;  // log units between levels
constexpr double kLeastEllipticity = 0.90;
constexpr double kMostElongation = 2.4;  // a leaf is longer

cv::Mat view_of(const std::vector<float>& plane, const ColourField& field) {
  return {field.height, field.width, CV_32FC1, const_cast<float*>(plane.data())};  // NOLINT
}

struct Search {
  const ColourField& field;
  AreaRange range;
  std::vector<Candidate> found;
  int cuts = 0;
};

bool touches_frame(const cv::Rect& box, const ColourField& field) {
  return box.x <= 0 || box.y <= 0 || box.x + box.width >= field.width ||
         box.y + box.height >= field.height;
}

void consider(Search& search, const std::vector<cv::Point>& contour, int cut, double neck) {
  const cv::Moments m = cv::moments(contour);
  if (m.m00 < search.range.least || m.m00 > search.range.most) {
    return;
  }
  Candidate c;
  c.area = m.m00;
  c.centre = {m.m10 / m.m00, m.m01 / m.m00};
  c.spread << m.mu20, m.mu11, m.mu11, m.mu02;
  c.spread /= m.m00;
  const double det = c.spread.determinant();
  if (!(det > 0.0)) {
    return;
  }
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix2d> eigen(c.spread);
  const double elongation = std::sqrt(eigen.eigenvalues()(1) / eigen.eigenvalues()(0));
  c.ellipticity = c.area / (4.0 * std::numbers::pi * std::sqrt(det));
  c.cut_by_frame = touches_frame(cv::boundingRect(contour), search.field);
  c.cut = cut;
  c.neck = neck;
  if (elongation > kMostElongation || c.ellipticity < kLeastEllipticity) {
    return;
  }
  const double shape = std::min(1.0, (c.ellipticity - kLeastEllipticity + 0.02) / 0.08);
  c.outline = polygon_of(contour);
  c.score = shape * low_step(edge_steps(c.outline, search.field), 0.25);
  search.found.push_back(std::move(c));
}

// Rectangles that hold everything worth looking at, none overlapping another.
using Windows = std::vector<cv::Rect>;

void add_window(Windows& windows, cv::Rect window) {
  for (std::size_t k = 0; k < windows.size();) {
    if ((windows[k] & window).empty()) {
      ++k;
      continue;
    }
    window |= windows[k];
    windows.erase(windows.begin() + static_cast<std::ptrdiff_t>(k));
    k = 0;
  }
  windows.push_back(window);
}

// Looks at one window of one level. What it finds large enough is added to `next`: a higher level
// has nothing outside that could be.
void components_in(Search& search, const cv::Mat& channel, double level, const cv::Rect& window,
                   Windows& next) {
  cv::Mat mask;
  cv::compare(channel(window), level, mask, cv::CMP_GT);
  // All outer outlines, also those of fruit inside a ring: a board lies in the middle of the
  // ground.
  std::vector<std::vector<cv::Point>> contours;
  std::vector<cv::Vec4i> hierarchy;
  cv::findContours(mask, contours, hierarchy, cv::RETR_CCOMP, cv::CHAIN_APPROX_NONE, window.tl());
  for (std::size_t i = 0; i < contours.size(); ++i) {
    const auto& contour = contours[i];
    const bool hole = hierarchy[i][3] >= 0;
    if (hole || contour.size() < 12) {
      continue;
    }
    const double area = cv::contourArea(contour);
    if (area < search.range.least) {
      continue;
    }
    const cv::Rect box = cv::boundingRect(contour);
    add_window(next, box);
    if (area > 4.0 * search.range.most) {
      continue;
    }
    // Fill, then open: holes are highlights, thin arms are stems.
    constexpr int kMargin = 2;
    cv::Mat filled(box.height + 2 * kMargin, box.width + 2 * kMargin, CV_8UC1, cv::Scalar(0));
    const cv::Point shift(kMargin - box.x, kMargin - box.y);
    cv::drawContours(filled, std::vector<std::vector<cv::Point>>{contour}, 0, cv::Scalar(255),
                     cv::FILLED, cv::LINE_8, cv::noArray(), 0, shift);
    const int radius = std::max(1, static_cast<int>(0.06 * std::sqrt(area)));
    open_with_disc({filled.data, filled.total()}, filled.cols, filled.rows, radius);
    std::vector<std::vector<cv::Point>> pieces;
    cv::findContours(filled, pieces, cv::RETR_EXTERNAL, cv::CHAIN_APPROX_NONE,
                     cv::Point(-shift.x, -shift.y));
    for (const auto& piece : pieces) {
      if (cv::contourArea(piece) < search.range.least) {
        continue;
      }
      consider(search, piece, -1, 0.0);
      int most = search.cuts;
      for (const SplitPart& part : split_touching(polygon_of(piece), search.range.least)) {
        consider(search, pixels_of<cv::Point>(part.outline), search.cuts + part.cut, part.neck);
        most = std::max(most, search.cuts + part.cut + 1);
      }
      search.cuts = most;
    }
  }
}

void search_channel(Search& search, const cv::Mat& channel) {
  double low = 0.0;
  double high = 0.0;
  cv::minMaxLoc(channel, &low, &high);
  const int levels = static_cast<int>(std::ceil((high - low) / kLevelStep)) - 1;
  Windows windows{cv::Rect(0, 0, channel.cols, channel.rows)};
  for (int step = 1; step <= levels && !windows.empty(); ++step) {
    Windows next;
    for (const cv::Rect& window : windows) {
      components_in(search, channel, low + kLevelStep * step, window, next);
    }
    windows = std::move(next);
  }
}

// Whether an outline takes the place of a better one that it overlaps. A part of a fruit, its blush
// or its sunlit side, may be bounded more sharply than the whole: the outline around it is right. A
// fruit with its cast shadow may be more elliptic than the fruit: the outline within is right.
bool takes_place(const Candidate& c, const Candidate& held, double shared,
                 const ColourField& field) {
  constexpr double kMostGrowth = 1.7;
  constexpr double kNearlyAll = 0.9;
  const bool around = shared > kNearlyAll * held.area && c.area > 1.12 * held.area &&
                      c.area < kMostGrowth * held.area && c.ellipticity > held.ellipticity - 0.004;
  const bool within =
      shared > kNearlyAll * c.area && held.area > 1.05 * c.area && held.area < kMostGrowth * c.area;
  if (!around && !within) {
    return false;
  }
  return around ? !only_shadow_between(held.outline, c.outline, field)
                : only_shadow_between(c.outline, held.outline, field);
}

// Greedy by score.
std::vector<Candidate> best_of_overlapping(std::vector<Candidate> found, const ColourField& field) {
  constexpr double kMostShared = 0.15;
  constexpr double kNearlyAsGood = 0.7;
  std::stable_sort(found.begin(), found.end(),
                   [](const Candidate& a, const Candidate& b) { return a.score > b.score; });
  // Whom each pixel belongs to, counted from 1.
  cv::Mat owner(field.height, field.width, CV_16UC1, cv::Scalar(0));
  std::vector<Candidate> kept;
  std::vector<double> first_score;  // of each place, whoever holds it now
  for (const Candidate& c : found) {
    const std::vector<cv::Point> pixels = pixels_of<cv::Point>(c.outline);
    const cv::Rect box = cv::boundingRect(pixels) & cv::Rect(0, 0, field.width, field.height);
    cv::Mat own(box.height, box.width, CV_8UC1, cv::Scalar(0));
    cv::fillPoly(own, std::vector<std::vector<cv::Point>>{pixels}, cv::Scalar(1), cv::LINE_8, 0,
                 cv::Point(-box.x, -box.y));
    std::vector<int> shared(kept.size() + 1, 0);
    int area = 0;
    for (int y = 0; y < box.height; ++y) {
      for (int x = 0; x < box.width; ++x) {
        if (own.at<std::uint8_t>(y, x) != 0) {
          ++area;
          ++shared[owner.at<std::uint16_t>(box.y + y, box.x + x)];
        }
      }
    }
    std::size_t touched = 0;
    std::size_t other = 0;
    for (std::size_t k = 1; k < shared.size(); ++k) {
      if (shared[k] > kMostShared * std::min<double>(area, kept[k - 1].area)) {
        ++touched;
        other = k;
      }
    }
    std::size_t place = 0;
    if (touched == 0) {
      kept.push_back(c);
      first_score.push_back(c.score);
      place = kept.size();
    } else if (touched == 1 && c.score > kNearlyAsGood * first_score[other - 1] &&
               takes_place(c, kept[other - 1], shared[other], field)) {
      kept[other - 1] = c;
      owner.setTo(0.0, owner == static_cast<double>(other));
      place = other;
    }
    if (place > 0) {
      owner(box).setTo(static_cast<double>(place), own);
    }
  }
  return kept;
}

// Two halves of one long thing, a leaf cut across: both kept, and the cut as long as they are
// broad. A fruit cut from its shadow has no such twin: the shadow is not kept.
void drop_halves(std::vector<Candidate>& kept) {
  constexpr double kHalvesNeck = 0.60;
  const auto is_half = [&](const Candidate& c) {
    return c.cut >= 0 && c.neck > kHalvesNeck &&
           std::count_if(kept.begin(), kept.end(), [&](const Candidate& other) {
             return other.cut == c.cut && other.score > 0.5 * c.score;
           }) > 1;
  };
  std::vector<Candidate> whole;
  std::copy_if(kept.begin(), kept.end(), std::back_inserter(whole),
               [&](const Candidate& c) { return !is_half(c); });
  kept = std::move(whole);
}

}  // namespace

std::vector<Candidate> find_candidates(const ColourField& field, const AreaRange& range) {
  const cv::Mat yellow = view_of(field.yellow, field);
  const cv::Mat green = view_of(field.green, field);
  const cv::Mat light = view_of(field.light, field);
  Search search{field, range, {}, 0};
  search_channel(search, yellow);
  cv::Mat red_over_blue;
  cv::scaleAdd(green, -0.5, yellow, red_over_blue);
  search_channel(search, red_over_blue);
  search_channel(search, green);
  // Sun to sky shade moves every colour along about one line in (light, yellow): across that line
  // shaded and lit skin are alike and cast shadows are not skin.
  cv::Mat without_shade;
  cv::scaleAdd(light, -static_cast<double>(kShadeSlope), yellow, without_shade);
  search_channel(search, without_shade);
  std::vector<Candidate> kept = best_of_overlapping(std::move(search.found), field);
  drop_halves(kept);
  return kept;
}

}  // namespace maturity
