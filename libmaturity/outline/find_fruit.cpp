#include "libmaturity/outline/find_fruit.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "libmaturity/core/row_crossings.h"
#include "libmaturity/outline/candidates.h"
#include "libmaturity/outline/fruit_checks.h"
#include "libmaturity/outline/oblique_view.h"
#include "libmaturity/outline/polar_boundary.h"
#include "libmaturity/outline/refine_edge.h"
#include "libmaturity/outline/touching.h"
#include "libmaturity/photo/colour_field.h"

namespace maturity {

namespace {

constexpr double kLeastScore = 0.25;
// In field pixels: about 3 mm on the fruit when the board fills the photo, and nearer than which
// two outlines are in contact.
constexpr double kUnit = 2.8;
constexpr double kContactReach = 2.0;

// Silhouette areas of the smallest and largest mango the search should see, mm^2, with allowance
// for perspective (common practice, no source: 50 x 38 mm and 260 x 170 mm bodies).
constexpr double kLeastAreaMm2 = 1300.0;
constexpr double kMostAreaMm2 = 42000.0;
// Without a scale: shares of the photo.
constexpr double kLeastShare = 0.0025;
constexpr double kMostShare = 0.30;

AreaRange area_range(const ColourField& field, const FruitSearch& search) {
  const double area = static_cast<double>(field.width) * field.height;
  AreaRange range{kLeastShare * area, kMostShare * area};
  if (search.mm_per_px) {
    const double mm2 = *search.mm_per_px * *search.mm_per_px * field.step_x * field.step_y;
    range = {kLeastAreaMm2 / mm2, std::min(kMostShare * area, kMostAreaMm2 / mm2)};
  }
  range.least = std::max(range.least, 60.0);
  return range;
}

bool in_excluded(const Point& photo_px, const FruitSearch& search) {
  return std::any_of(search.excluded.begin(), search.excluded.end(),
                     [&](const Polygon& p) { return contains(p, photo_px); });
}

Candidate on_field(const Candidate& c, const ColourField& half, const ColourField& field) {
  Candidate out = c;
  const auto move = [&](const Point& p) {
    return field.field_from_photo(half.photo_from_field(p));
  };
  out.centre = move(c.centre);
  for (Point& p : out.outline) {
    p = move(p);
  }
  const double scale = half.step_x / field.step_x;
  out.spread *= scale * scale;
  out.area *= scale * scale;
  return out;
}

// Calls for every field pixel inside the outline.
template <typename Visit>
void visit_inside(const ColourField& field, const Polygon& outline, Visit visit) {
  double low = outline[0].y();
  double high = low;
  for (const Point& p : outline) {
    low = std::min(low, p.y());
    high = std::max(high, p.y());
  }
  for (int y = std::max(0, static_cast<int>(low));
       y <= std::min(field.height - 1, static_cast<int>(high) + 1); ++y) {
    const std::vector<double> cuts = row_crossings(outline, y);
    for (std::size_t k = 0; k + 1 < cuts.size(); k += 2) {
      for (int x = std::max(0, static_cast<int>(std::ceil(cuts[k])));
           x <= std::min(field.width - 1, static_cast<int>(std::floor(cuts[k + 1]))); ++x) {
        visit(field.index(x, y));
      }
    }
  }
}

// Whose each pixel is: the candidates' own pixels, and around them, up to `reach` pixels, the
// nearest candidate's. Between two fruit that touch the border runs half way.
std::vector<std::uint16_t> owners_of(const ColourField& field,
                                     const std::vector<Candidate>& candidates, int reach) {
  std::vector<std::uint16_t> owners(field.yellow.size(), 0);
  for (std::size_t k = 0; k < candidates.size(); ++k) {
    visit_inside(field, candidates[k].outline,
                 [&](std::size_t i) { owners[i] = static_cast<std::uint16_t>(k + 1); });
  }
  std::vector<std::size_t> front;
  for (std::size_t i = 0; i < owners.size(); ++i) {
    if (owners[i] != 0) {
      front.push_back(i);
    }
  }
  const auto width = static_cast<std::size_t>(field.width);
  for (int step = 0; step < reach; ++step) {
    std::vector<std::size_t> next;
    const auto claim = [&](std::size_t from, std::size_t to) {
      if (owners[to] == 0) {
        owners[to] = owners[from];
        next.push_back(to);
      }
    };
    for (const std::size_t i : front) {
      const std::size_t x = i % width;
      if (x > 0) {
        claim(i, i - 1);
      }
      if (x + 1 < width) {
        claim(i, i + 1);
      }
      if (i >= width) {
        claim(i, i - width);
      }
      if (i + width < owners.size()) {
        claim(i, i + width);
      }
    }
    front = std::move(next);
  }
  return owners;
}

// Median colour ratios inside the outline (field pixels).
void set_skin_colour(FruitOutline& fruit, const ColourField& field, const Polygon& outline) {
  std::vector<float> yellow;
  std::vector<float> green;
  visit_inside(field, outline, [&](std::size_t i) {
    yellow.push_back(field.yellow[i]);
    green.push_back(field.green[i]);
  });
  if (yellow.empty()) {
    return;
  }
  const auto median = [](std::vector<float>& values) {
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return static_cast<double>(*middle);
  };
  fruit.yellow = median(yellow);
  fruit.green = median(green);
}

// The likeliest of the narrow things that leave the outline; rivals leave it less.
void set_stem(FruitOutline& fruit, const RefinedOutline& refined, double unit_px) {
  constexpr double kSureReach = 2.0;  // units, about 6 mm
  constexpr double kMostSure = 0.9;
  double best = 0.0;
  double squares = 0.0;
  for (const RefinedOutline::Stem& stem : refined.stems) {
    const double weight = stem.likeness * std::min(1.0, stem.reach_px / (kSureReach * unit_px));
    squares += weight * weight;
    if (weight > best) {
      best = weight;
      fruit.stem_base_px = stem.base_px;
    }
  }
  if (best > 0.0) {
    fruit.stem_probability = kMostSure * best * best * best / squares;
  }
}

void flag_leaves(const Photo& photo, std::vector<FruitOutline>& fruit, const LeafSearch& search) {
  for (std::size_t i = 0; i < fruit.size(); ++i) {
    std::vector<Polygon> neighbours;
    for (std::size_t j = 0; j < fruit.size(); ++j) {
      if (j != i) {
        neighbours.push_back(fruit[j].outline_px);
      }
    }
    if (!fruit[i].has(FruitFlag::cut_by_frame) && !fruit[i].has(FruitFlag::occluded) &&
        leaf_at_edge(photo, fruit[i].outline_px, neighbours, search)) {
      fruit[i].add(FruitFlag::occluded);
    }
  }
}

// Without markers nothing tells how the phone was held but the light on the fruit; when most fruit
// of a photo do not look seen from the side, none is.
void flag_side_views(const Photo& photo, std::vector<FruitOutline>& fruit, double unit_px) {
  std::vector<std::size_t> doubtful;
  for (std::size_t i = 0; i < fruit.size(); ++i) {
    if (may_be_seen_from_the_side(photo, fruit[i].outline_px, unit_px)) {
      doubtful.push_back(i);
    }
  }
  if (2 * doubtful.size() >= fruit.size()) {
    for (const std::size_t i : doubtful) {
      fruit[i].add(FruitFlag::not_flat);
    }
  }
}

// Median yellow ratio of the paper just outside the markers' black borders.
double white_yellow(const ColourField& field, const std::vector<Polygon>& markers) {
  std::vector<double> values;
  for (const Polygon& m : markers) {
    const Point centre = area_centroid(m);
    for (std::size_t i = 0; i < m.size(); ++i) {
      constexpr double kIntoTheRim = 1.09;
      const Point side = 0.5 * (m[i] + m[(i + 1) % m.size()]);
      const Point at = field.field_from_photo(centre + kIntoTheRim * (side - centre));
      const int x = static_cast<int>(std::lround(at.x()));
      const int y = static_cast<int>(std::lround(at.y()));
      if (x >= 0 && y >= 0 && x < field.width && y < field.height) {
        values.push_back(static_cast<double>(field.yellow[field.index(x, y)]));
      }
    }
  }
  if (values.size() < 4) {
    return 0.0;
  }
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  constexpr double kMostTint = 0.5;  // beyond it this was no white paper
  return std::clamp(*middle, -kMostTint, kMostTint);
}

}  // namespace

FoundFruit find_fruit(const Photo& photo, const FruitSearch& search) {
  return find_fruit(photo, colour_field(photo, kFruitFieldSide), search);
}

FoundFruit find_fruit(const Photo& photo, const ColourField& field, const FruitSearch& search) {
  const ColourField half = half_size(field);
  std::vector<Candidate> candidates;
  for (const Candidate& c : find_candidates(half, area_range(half, search), search.time)) {
    if (c.score >= kLeastScore && !in_excluded(half.photo_from_field(c.centre), search)) {
      candidates.push_back(on_field(c, half, field));
    }
  }
  FoundFruit found;
  std::vector<double> widths;
  const CheckContext context{photo.width(), photo.height(),
                             white_yellow(field, search.white_rimmed), search.mm_per_px};
  constexpr int kOwnReach = 9;
  const std::vector<std::uint16_t> owners = owners_of(field, candidates, kOwnReach);
  const std::vector<SkinColour> background = background_sample(field, owners);
  for (std::size_t k = 0; k < candidates.size(); ++k) {
    search.time.check();
    const Polygon rough =
        polar_boundary(field, candidates[k], owners, static_cast<std::uint16_t>(k + 1), background);
    Polygon rough_px = rough;
    for (Point& p : rough_px) {
      p = field.photo_from_field(p);
    }
    const RefinedOutline refined = refine_edge(photo, rough_px, kUnit * field.step_x);
    FruitOutline fruit;
    fruit.outline_px = counter_clockwise_on_screen(refined.outline_px);
    fruit.se_px = refined.se_px;
    fruit.correlation_px = refined.correlation_px;
    fruit.edge_share = refined.edge_share;
    set_skin_colour(fruit, field, rough);
    set_stem(fruit, refined, kUnit * field.step_x);
    if (candidates[k].cut_by_frame) {
      fruit.add(FruitFlag::cut_by_frame);
    }
    flag_doubts(fruit, context);
    if (!refined.whole && !fruit.has(FruitFlag::cut_by_frame)) {
      fruit.add(FruitFlag::occluded);
    }
    if (plainly_no_mango(fruit, context)) {
      continue;
    }
    widths.push_back(refined.edge_width_px);
    found.fruit.push_back(std::move(fruit));
  }
  settle_contacts(found.fruit, kContactReach * field.step_x);
  if (!search.mm_per_px) {
    flag_side_views(photo, found.fruit, kUnit * field.step_x);
  }
  flag_leaves(photo, found.fruit, {kUnit * field.step_x, context.white_yellow});
  if (!widths.empty()) {
    const auto middle = widths.begin() + static_cast<std::ptrdiff_t>(widths.size() / 2);
    std::nth_element(widths.begin(), middle, widths.end());
    found.edge_width_px = *middle;
  }
  return found;
}

}  // namespace maturity
