// One JPEG to its outlines and descriptors on one core, stage by stage, against OpenCV's full
// decode of the same bytes in the same run. tools/benchmarks/run makes a photo of 12 megapixels for
// it.
#include <benchmark/benchmark.h>

#include <cstdlib>
#include <iostream>
#include <opencv2/core.hpp>
#include <opencv2/imgcodecs.hpp>
#include <vector>

#include "libmaturity/board/find_markers.h"
#include "libmaturity/board/read_code.h"
#include "libmaturity/outline/find_fruit.h"
#include "libmaturity/photo/decode.h"
#include "libmaturity/photo/file_hash.h"
#include "libmaturity/pipeline/measure_photo.h"
#include "libmaturity/pipeline/read_file.h"

namespace maturity {
namespace {

std::vector<std::uint8_t>& photo_bytes() {
  static std::vector<std::uint8_t> bytes;
  return bytes;
}

void opencv_decode(benchmark::State& state) {
  for (auto _ : state) {
    benchmark::DoNotOptimize(cv::imdecode(photo_bytes(), cv::IMREAD_COLOR).data);
  }
}

void photo_to_descriptors(benchmark::State& state) {
  std::size_t fruits = 0;
  std::vector<std::uint8_t> buffer;
  for (auto _ : state) {
    fruits = measure_photo_bytes(photo_bytes(), "benchmark", {}, buffer).fruits.size();
  }
  state.counters["fruit"] = static_cast<double>(fruits);
}

void stage_hash(benchmark::State& state) {
  for (auto _ : state) {
    benchmark::DoNotOptimize(sha256_hex(photo_bytes()));
  }
}

void stage_decode(benchmark::State& state) {
  std::vector<std::uint8_t> buffer;
  for (auto _ : state) {
    Photo photo = decode(photo_bytes(), 50.0, std::move(buffer));
    benchmark::DoNotOptimize(photo.width());
    buffer = photo.release_buffer();
  }
}

void stage_read_code(benchmark::State& state) {
  const Photo photo = decode(photo_bytes(), 50.0);
  const GreyField grey = grey_field(photo, kMarkerSide);
  for (auto _ : state) {
    benchmark::DoNotOptimize(read_code(photo, grey));
  }
}

void stage_find_markers(benchmark::State& state) {
  const Photo photo = decode(photo_bytes(), 50.0);
  for (auto _ : state) {
    benchmark::DoNotOptimize(find_markers(photo).size());
  }
}

void stage_find_fruit(benchmark::State& state) {
  const Photo photo = decode(photo_bytes(), 50.0);
  FruitSearch search;
  search.mm_per_px = measure_photo_bytes(photo_bytes(), "benchmark", {}).mm_per_px;
  for (const MarkerSighting& marker : find_markers(photo)) {
    search.excluded.emplace_back(marker.corners_px.begin(), marker.corners_px.end());
    search.white_rimmed = search.excluded;
  }
  for (auto _ : state) {
    benchmark::DoNotOptimize(find_fruit(photo, search).fruit.size());
  }
}

BENCHMARK(opencv_decode)->Unit(benchmark::kMillisecond);
BENCHMARK(photo_to_descriptors)->Unit(benchmark::kMillisecond);
BENCHMARK(stage_hash)->Unit(benchmark::kMillisecond);
BENCHMARK(stage_decode)->Unit(benchmark::kMillisecond);
BENCHMARK(stage_read_code)->Unit(benchmark::kMillisecond);
BENCHMARK(stage_find_markers)->Unit(benchmark::kMillisecond);
BENCHMARK(stage_find_fruit)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace maturity

int main(int argc, char** argv) {
  benchmark::Initialize(&argc, argv);
  if (argc != 2) {
    std::cerr << "usage: bench_photo [benchmark options] PHOTO\n";
    return EXIT_FAILURE;
  }
  try {
    maturity::photo_bytes() = maturity::read_file(argv[1]);
    cv::setNumThreads(1);
    benchmark::RunSpecifiedBenchmarks();
  } catch (const std::exception& error) {
    std::cerr << error.what() << '\n';
    return EXIT_FAILURE;
  }
  return EXIT_SUCCESS;
}
