#include "libmaturity/pipeline/measure_photo.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <new>
#include <numbers>
#include <opencv2/core.hpp>
#include <sstream>
#include <stdexcept>
#include <utility>

#include "libmaturity/board/find_markers.h"
#include "libmaturity/board/fit_camera.h"
#include "libmaturity/board/read_code.h"
#include "libmaturity/outline/find_fruit.h"
#include "libmaturity/photo/decode.h"
#include "libmaturity/photo/file_hash.h"
#include "libmaturity/photo/time_limit.h"
#include "libmaturity/pipeline/check_settings.h"
#include "libmaturity/pipeline/measure_fruit.h"
#include "libmaturity/pipeline/number_fruit.h"
#include "libmaturity/pipeline/photo_quality.h"
#include "libmaturity/pipeline/read_file.h"

namespace maturity {

namespace {

constexpr double kMostTiltDeg = 15.0;

struct Board {
  std::vector<MarkerSighting> sightings;
  BoardView view;
};

Board find_board(const Photo& photo, const GreyField& grey, const MeasureSettings& settings,
                 PhotoMeasurement& result) {
  result.code_text = read_code(photo, grey);
  Board board;
  board.sightings = find_markers(photo, grey);
  const ImageFrame frame{photo.width(), photo.height(), photo.facts().focal_35mm};
  const BoardGeometry geometry{settings.marker_width_mm, settings.markers_across_mm,
                               settings.markers_down_mm};
  if (const auto view = fit_camera(board.sightings, geometry, frame)) {
    board.view = *view;
    result.mm_per_px = view->mm_per_px(view->principal_px);
    result.mm_per_px_se = *result.mm_per_px * view->scale_relative_se;
    result.tilt_deg = view->tilt_rad() * 180.0 / std::numbers::pi;
    result.camera_height_mm = view->camera_position().z();
    if (view->markers_used < 4) {
      result.flags.push_back(PhotoFlag::few_markers);
    }
    if (*result.tilt_deg > kMostTiltDeg) {
      result.flags.push_back(PhotoFlag::tilted);
    }
  } else {
    board.view = assumed_view(frame);
    result.flags.push_back(PhotoFlag::no_markers);
  }
  return board;
}

Point centre_of(const MarkerSighting& marker) {
  Point sum = Point::Zero();
  for (const Point& p : marker.corners_px) {
    sum += 0.25 * p;
  }
  return sum;
}

// Reading frame: the board turned with y down, or the picture itself.
Point reading_point(const Board& board, const Point& px) {
  if (!board.view.has_scale) {
    return px;
  }
  const Point p = board.view.board_from_image(px);
  return {p.x(), -p.y()};
}

std::vector<FruitNumber> numbers_of(const std::vector<FruitOutline>& fruit, const Board& board) {
  std::vector<FruitPlace> places;
  for (const FruitOutline& f : fruit) {
    FruitPlace place;
    for (const Point& p : resample_by_arc_length(f.outline_px, 64)) {
      place.outline.push_back(reading_point(board, p));
    }
    const auto [low, high] =
        std::minmax_element(place.outline.begin(), place.outline.end(),
                            [](const Point& a, const Point& b) { return a.y() < b.y(); });
    place.height = high->y() - low->y();
    place.centre = area_centroid(place.outline);
    places.push_back(std::move(place));
  }
  std::vector<NumberTile> tiles;
  for (const MarkerSighting& marker : board.sightings) {
    if (marker.id >= kFirstTileId) {
      tiles.push_back({marker.id - kFirstTileId + 1, reading_point(board, centre_of(marker))});
    }
  }
  return number_fruit(places, tiles);
}

bool spoils_shape(PhotoFlag flag) {
  return flag == PhotoFlag::blurred || flag == PhotoFlag::too_dark ||
         flag == PhotoFlag::overexposed || flag == PhotoFlag::tilted;
}

void measure_fruits(const Photo& photo, const MeasureSettings& settings, const TimeLimit& time,
                    PhotoMeasurement& result) {
  const SmallCopies copies = small_copies(photo, kMarkerSide, kFruitFieldSide);
  const Board board = find_board(photo, copies.grey, settings, result);
  time.check();
  FruitSearch search;
  search.time = time;
  search.mm_per_px = result.mm_per_px;
  for (const MarkerSighting& marker : board.sightings) {
    search.excluded.emplace_back(marker.corners_px.begin(), marker.corners_px.end());
    search.white_rimmed.emplace_back(marker.corners_px.begin(), marker.corners_px.end());
  }
  const FoundFruit found = find_fruit(photo, copies.colour, search);
  if (found.fruit.empty()) {
    result.flags.push_back(PhotoFlag::no_fruit);
  }
  std::vector<Polygon> outlines;
  for (const FruitOutline& f : found.fruit) {
    outlines.push_back(f.outline_px);
  }
  std::optional<double> paper;
  for (const MarkerSighting& marker : board.sightings) {
    const double wider = std::max(marker.edge_width_px[0], marker.edge_width_px[1]);
    if (wider > 0.0) {
      paper = paper ? std::min(*paper, wider) : wider;
    }
  }
  const EdgeWidths widths{paper, found.edge_width_px};
  for (const PhotoFlag flag : judge_quality(photo, outlines, widths)) {
    result.flags.push_back(flag);
  }
  const std::vector<FruitNumber> numbers = numbers_of(found.fruit, board);
  const bool spoiled = std::any_of(result.flags.begin(), result.flags.end(), spoils_shape);
  for (std::size_t i = 0; i < found.fruit.size(); ++i) {
    time.check();
    std::optional<double> thickness;
    if (const auto it = settings.thickness_mm.find(numbers[i].number);
        it != settings.thickness_mm.end()) {
      thickness = it->second;
    }
    FruitMeasurement fruit = measure_fruit(found.fruit[i], board.view, settings, thickness);
    fruit.fruit = numbers[i].number;
    fruit.numbered_by_tile = numbers[i].by_tile;
    fruit.usable = fruit.usable && !spoiled;
    result.fruits.push_back(std::move(fruit));
  }
  std::sort(result.fruits.begin(), result.fruits.end(),
            [](const FruitMeasurement& a, const FruitMeasurement& b) { return a.fruit < b.fruit; });
}

void set_out_of_memory(PhotoMeasurement& result) {
  result.error = "There is not enough memory for this photo.";
  result.error_may_pass = true;
}

}  // namespace

PhotoMeasurement measure_photo_bytes(const std::vector<std::uint8_t>& bytes,
                                     const std::string& path, const MeasureSettings& settings,
                                     std::vector<std::uint8_t>& buffer) {
  check(settings);
  const auto start = std::chrono::steady_clock::now();
  const TimeLimit time(settings.max_seconds);
  PhotoMeasurement result;
  result.path = path;
  try {
    result.sha256 = sha256_hex(bytes);
    Photo photo = decode(bytes, settings.max_megapixels, std::move(buffer));
    result.width_px = photo.width();
    result.height_px = photo.height();
    result.taken_at = photo.facts().taken_at;
    time.check();
    measure_fruits(photo, settings, time, result);
    buffer = photo.release_buffer();
  } catch (const PhotoTimeUp& error) {
    result.error = error.what();
    result.error_may_pass = true;
  } catch (const PhotoTooLarge& error) {
    result.error = error.what();
    result.error_may_pass = true;
  } catch (const PhotoError& error) {
    result.error = error.what();
  } catch (const std::bad_alloc&) {
    set_out_of_memory(result);
  } catch (const cv::Exception& error) {
    result.error = std::string("The photo could not be measured: ") + error.what();
    if (error.code == cv::Error::StsNoMem) {
      set_out_of_memory(result);
    }
  } catch (const std::exception& error) {
    // Whatever a strange photo sets off, it must not cost the others their result.
    result.error = std::string("The photo could not be measured: ") + error.what();
  }
  if (result.error) {
    result.flags.clear();
    result.fruits.clear();
  }
  result.seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
  return result;
}

PhotoMeasurement measure_photo_bytes(const std::vector<std::uint8_t>& bytes,
                                     const std::string& path, const MeasureSettings& settings) {
  std::vector<std::uint8_t> buffer;
  return measure_photo_bytes(bytes, path, settings, buffer);
}

PhotoMeasurement measure_photo(const std::string& path, const MeasureSettings& settings) {
  std::vector<std::uint8_t> buffer;
  return measure_photo(path, settings, buffer);
}

PhotoMeasurement measure_photo(const std::string& path, const MeasureSettings& settings,
                               std::vector<std::uint8_t>& buffer) {
  check(settings);
  PhotoMeasurement result;
  result.path = path;
  result.error_may_pass = true;
  try {
    return measure_photo_bytes(read_file(path), path, settings, buffer);
  } catch (const std::bad_alloc&) {
    set_out_of_memory(result);
  } catch (const std::exception& error) {
    result.error = error.what();
  }
  return result;
}

}  // namespace maturity
