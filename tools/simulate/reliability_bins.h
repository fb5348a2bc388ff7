#pragma once

#include <array>
#include <cstddef>
#include <string>

namespace maturity::simulate {

/// Stated chances held against how often what they were about was true.
class ReliabilityBins {
 public:
  /// Stated chance 0..1, and whether it came true.
  void add(double stated, bool met);
  /// "0.50, 0.53 (0.03), 361": mean stated, true, its standard error, how many.
  std::string cell(std::size_t bin) const;
  static std::size_t count() { return kEdges.size() - 1; }
  /// "0.40 to 0.60"
  static std::string label(std::size_t bin);

 private:
  static constexpr std::array<double, 10> kEdges{0.0, 0.05, 0.1, 0.2,  0.4,
                                                 0.6, 0.8,  0.9, 0.95, 1.0};
  struct Bin {
    double stated = 0.0;
    double met = 0.0;
    double n = 0.0;
  };
  std::array<Bin, kEdges.size() - 1> bins_{};
};

}  // namespace maturity::simulate
