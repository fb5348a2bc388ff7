// Any numbers as an outline with what is known of its pose: a description, or invalid_argument.
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstring>
#include <stdexcept>

#include "libmaturity/descriptors/describe_outline.h"
#include "tests/fuzz/require.h"

namespace {

// Reads numbers of the input; 0 after its end.
class Numbers {
 public:
  Numbers(const std::uint8_t* data, std::size_t size) : data_(data), left_(size) {}
  std::size_t left() const { return left_; }
  std::uint8_t byte() {
    if (left_ == 0) {
      return 0;
    }
    --left_;
    return *data_++;
  }
  double wide() { return take<double>(); }
  double small() { return static_cast<double>(take<std::int16_t>()) / 64.0; }

 private:
  template <class Value>
  Value take() {
    Value value{};
    const std::size_t count = std::min(left_, sizeof(value));
    std::memcpy(&value, data_, count);
    data_ += count;
    left_ -= count;
    return value;
  }
  const std::uint8_t* data_;
  std::size_t left_;
};

// Bytes 1 to 3 of the input choose; the rest are coordinates: doubles, small fixed-point numbers,
// or distances from a centre, which make simple outlines far more often.
maturity::Polygon outline_of(Numbers& numbers, int kind) {
  maturity::Polygon outline;
  const std::size_t size = kind == 0 ? 16 : kind == 1 ? 4 : 2;
  const std::size_t n = std::min<std::size_t>(numbers.left() / size, 600);
  for (std::size_t i = 0; i < n; ++i) {
    if (kind == 0) {
      const double x = numbers.wide();
      outline.emplace_back(x, numbers.wide());
    } else if (kind == 1) {
      const double x = numbers.small();
      outline.emplace_back(x, numbers.small());
    } else {
      const double turn = 6.283185307179586 * static_cast<double>(i) / static_cast<double>(n);
      const double away = 100.0 + numbers.small();
      outline.emplace_back(away * std::cos(turn), 0.8 * away * std::sin(turn));
    }
  }
  return outline;
}

void check(const maturity::ShapeDescription& shape) {
  using maturity::fuzz::require;
  require(std::isfinite(shape.length) && shape.length > 0.0, "a length above 0");
  require(std::isfinite(shape.width) && shape.width > 0.0, "a width above 0");
  require(shape.pose.axis.allFinite() && shape.pose.stem.allFinite(), "a finite pose");
  for (const double value : shape.descriptors.value) {
    require(!std::isinf(value), "a descriptor is a number or unknown");
  }
  for (const double error : shape.descriptors.se) {
    require(std::isnan(error) || (std::isfinite(error) && error >= 0.0), "an error of 0 or more");
  }
}

}  // namespace

// NOLINTNEXTLINE(readability-identifier-naming): the name that libFuzzer calls
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  Numbers numbers(data, size);
  const int kind = numbers.byte() % 3;
  const int known = numbers.byte();
  maturity::DescribeOptions options;
  options.with_errors = (known & 1) != 0;
  if ((known & 2) != 0) {
    const double x = numbers.small();
    options.evidence.given_stem = maturity::Point(x, numbers.small());
  }
  if ((known & 4) != 0) {
    options.edge_sd = numbers.small();
  }
  if ((known & 8) != 0) {
    options.edge_correlation_length = numbers.small();
  }
  try {
    check(maturity::describe_outline(outline_of(numbers, kind), options));
  } catch (const std::invalid_argument& error) {
    maturity::fuzz::require(error.what()[0] != '\0', "an error says what is wrong");
  }
  return 0;
}
