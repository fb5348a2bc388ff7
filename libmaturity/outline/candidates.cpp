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
#include "libmaturity/outline/level_sets.h"
#include "libmaturity/outline/pixel_outline.h"
#include "libmaturity/outline/split_touching.h"

namespace maturity {

namespace {

constexpr float kLevelStep = 0.12F;  // log units between levels
constexpr double kLeastEllipticity = 0.90;
constexpr double kMostElongation = 2.4;  // a leaf is longer

// A component that was looked at.
struct Seen {
  PixelBox box;
  double pixels;
};

struct Search {
  const ColourField& field;
  AreaRange range;
  const TimeLimit& time;
  std::vector<Candidate> found;
  std::vector<std::vector<Seen>> seen;  // by the top row of the box
  int cuts = 0;
};

// Levels and channels see the same blob many times over; one hardly other than one looked at before
// tells nothing new.
bool is_new(Search& search, const Seen& blob) {
  constexpr double kSamePixels = 0.01;
  constexpr int kSameSide = 1;
  const auto same = [](int a, int b) { return std::abs(a - b) <= kSameSide; };
  const auto known_at = [&](int top) {
    const auto& row = search.seen[static_cast<std::size_t>(top)];
    return std::any_of(row.begin(), row.end(), [&](const Seen& other) {
      return std::abs(other.pixels - blob.pixels) <= kSamePixels * blob.pixels &&
             same(other.box.left, blob.box.left) && same(other.box.right, blob.box.right) &&
             same(other.box.bottom, blob.box.bottom);
    });
  };
  const int top = blob.box.top;
  bool known = false;
  for (int row = std::max(0, top - kSameSide);
       row <= std::min(search.field.height - 1, top + kSameSide) && !known; ++row) {
    known = known_at(row);
  }
  if (!known) {
    search.seen[static_cast<std::size_t>(top)].push_back(blob);
  }
  return !known;
}

bool touches_frame(const cv::Rect& box, const ColourField& field) {
  return box.x <= 0 || box.y <= 0 || box.x + box.width >= field.width ||
         box.y + box.height >= field.height;
}

// Returns how elliptic the outline is, 0 when it is no outline.
double consider(Search& search, const std::vector<cv::Point>& contour, int cut, double neck) {
  const cv::Moments m = cv::moments(contour);
  if (m.m00 < search.range.least || m.m00 > search.range.most) {
    return 0.0;
  }
  Candidate c;
  c.area = m.m00;
  c.centre = {m.m10 / m.m00, m.m01 / m.m00};
  c.spread << m.mu20, m.mu11, m.mu11, m.mu02;
  c.spread /= m.m00;
  const double det = c.spread.determinant();
  if (!(det > 0.0)) {
    return 0.0;
  }
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix2d> eigen(c.spread);
  const double elongation = std::sqrt(eigen.eigenvalues()(1) / eigen.eigenvalues()(0));
  c.ellipticity = c.area / (4.0 * std::numbers::pi * std::sqrt(det));
  c.cut_by_frame = touches_frame(cv::boundingRect(contour), search.field);
  c.cut = cut;
  c.neck = neck;
  if (elongation > kMostElongation || c.ellipticity < kLeastEllipticity) {
    return c.ellipticity;
  }
  const double shape = std::min(1.0, (c.ellipticity - kLeastEllipticity + 0.02) / 0.08);
  c.outline = polygon_of(contour);
  c.score = shape * low_step(edge_steps(c.outline, search.field), 0.25);
  const double ellipticity = c.ellipticity;
  search.found.push_back(std::move(c));
  return ellipticity;
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

cv::Rect rect_of(const PixelBox& box) { return {box.left, box.top, box.width(), box.height()}; }

// Outlines of one component, holes filled, as smooth pieces.
void consider_component(Search& search, const Component& component) {
  // Fill, then open: holes are highlights, thin arms are stems.
  constexpr int kMargin = 2;
  const cv::Rect box = rect_of(component.box);
  cv::Mat filled(box.height + 2 * kMargin, box.width + 2 * kMargin, CV_8UC1, cv::Scalar(0));
  const cv::Point shift(kMargin - box.x, kMargin - box.y);
  constexpr int kSet = 255;
  for (const PixelRun& run : component.runs) {
    std::fill_n(filled.ptr<std::uint8_t>(run.row + shift.y) + run.begin + shift.x,
                run.end - run.begin, std::uint8_t{kSet});
  }
  std::vector<std::vector<cv::Point>> pieces;
  cv::findContours(filled, pieces, cv::RETR_EXTERNAL, cv::CHAIN_APPROX_NONE);
  const double area = cv::contourArea(pieces[0]);
  if (area < search.range.least) {
    return;
  }
  cv::drawContours(filled, pieces, 0, cv::Scalar(kSet), cv::FILLED);
  const int radius = std::max(1, static_cast<int>(0.06 * std::sqrt(area)));
  open_with_disc({filled.data, filled.total()}, filled.cols, filled.rows, radius);
  cv::findContours(filled, pieces, cv::RETR_EXTERNAL, cv::CHAIN_APPROX_NONE, -shift);
  for (const auto& piece : pieces) {
    if (cv::contourArea(piece) < search.range.least) {
      continue;
    }
    // Two bodies that touch make no ellipse: two discs 0.89, one a quarter of the other 0.90.
    constexpr double kSurelyOne = 0.97;
    if (consider(search, piece, -1, 0.0) > kSurelyOne) {
      continue;
    }
    int most = search.cuts;
    for (const SplitPart& part : split_touching(polygon_of(piece), search.range.least)) {
      consider(search, pixels_of<cv::Point>(part.outline), search.cuts + part.cut, part.neck);
      most = std::max(most, search.cuts + part.cut + 1);
    }
    search.cuts = most;
  }
}

void search_channel(Search& search, const std::vector<float>& channel) {
  const LevelSets sets(channel, search.field.width, search.field.height, kLevelStep);
  // Several fruit that touch, but not the board or the ground.
  constexpr double kMostTogether = 4.0;
  constexpr double kMostOfPhoto = 0.6;
  const double most =
      std::min(kMostTogether * search.range.most,
               kMostOfPhoto * static_cast<double>(search.field.width) * search.field.height);
  Windows windows{cv::Rect(0, 0, search.field.width, search.field.height)};
  for (int level = 1; level <= sets.levels() && !windows.empty(); ++level) {
    search.time.check();
    // A higher level has nothing outside what is large enough here.
    Windows next;
    for (const cv::Rect& w : windows) {
      for (const Component& component :
           sets.above(level, {w.x, w.y, w.x + w.width, w.y + w.height}, search.range.least)) {
        add_window(next, rect_of(component.box));
        const auto pixels = static_cast<double>(component.pixels);
        if (pixels <= most && is_new(search, {component.box, pixels})) {
          consider_component(search, component);
        }
      }
    }
    windows = std::move(next);
  }
}

// Whether an outline takes the place of a better one that it overlaps. A part of a fruit, its blush
// or its sunlit side, may be bounded more sharply than the whole: the outline around it is right. A
// fruit with its cast shadow may be more elliptic than the fruit: the outline within is right.
bool takes_place(const Candidate& c, const Candidate& held, double shared, const ColourField& field,
                 double least_area) {
  constexpr double kMostGrowth = 1.7;
  // Of a piece cut off something larger and hardly as large as the least fruit.
  constexpr double kMostGrowthOfPart = 6.0;
  constexpr double kSmallPart = 2.0;
  constexpr double kNearlyAll = 0.9;
  const bool part = held.cut >= 0 && held.area < kSmallPart * least_area;
  const bool around = shared > kNearlyAll * held.area && c.area > 1.12 * held.area &&
                      c.area < (part ? kMostGrowthOfPart : kMostGrowth) * held.area &&
                      c.ellipticity > held.ellipticity - (part ? 0.03 : 0.004);
  const bool within =
      shared > kNearlyAll * c.area && held.area > 1.05 * c.area && held.area < kMostGrowth * c.area;
  if (!around && !within) {
    return false;
  }
  return around ? !only_shadow_between(held.outline, c.outline, field)
                : only_shadow_between(c.outline, held.outline, field);
}

// Greedy by score.
std::vector<Candidate> best_of_overlapping(std::vector<Candidate> found, const ColourField& field,
                                           double least_area) {
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
               takes_place(c, kept[other - 1], shared[other], field, least_area)) {
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
// broad. A fruit cut from its shadow has no such twin: the shadow is not kept. One cut from its
// number tile has one that is much smaller.
void drop_halves(std::vector<Candidate>& kept) {
  constexpr double kHalvesNeck = 0.60;
  constexpr double kLeastOfTwin = 0.4;
  const auto alike = [](double a, double b) {
    return std::min(a, b) > kLeastOfTwin * std::max(a, b);
  };
  const auto is_half = [&](const Candidate& c) {
    return c.cut >= 0 && c.neck > kHalvesNeck &&
           std::count_if(kept.begin(), kept.end(), [&](const Candidate& other) {
             return other.cut == c.cut && other.score > 0.5 * c.score && alike(other.area, c.area);
           }) > 1;
  };
  std::vector<Candidate> whole;
  std::copy_if(kept.begin(), kept.end(), std::back_inserter(whole),
               [&](const Candidate& c) { return !is_half(c); });
  kept = std::move(whole);
}

}  // namespace

std::vector<Candidate> find_candidates(const ColourField& field, const AreaRange& range,
                                       const TimeLimit& time) {
  const auto rows = static_cast<std::size_t>(field.height);
  Search search{field, range, time, {}, std::vector<std::vector<Seen>>(rows), 0};
  search_channel(search, field.yellow);
  const auto mixed = [&](const std::vector<float>& other, float share) {
    std::vector<float> plane(field.yellow.size());
    std::transform(field.yellow.begin(), field.yellow.end(), other.begin(), plane.begin(),
                   [share](float yellow, float more) { return yellow + share * more; });
    return plane;
  };
  search_channel(search, mixed(field.green, -0.5F));  // red over blue
  search_channel(search, field.green);
  // Sun to sky shade moves every colour along about one line in (light, yellow): across that line
  // shaded and lit skin are alike and cast shadows are not skin.
  search_channel(search, mixed(field.light, -kShadeSlope));
  std::vector<Candidate> kept = best_of_overlapping(std::move(search.found), field, range.least);
  drop_halves(kept);
  return kept;
}

}  // namespace maturity
