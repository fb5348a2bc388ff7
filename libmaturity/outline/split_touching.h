#pragma once

#include <opencv2/core.hpp>
#include <vector>

namespace maturity {

/// Splits one blob's outline at the neck between two hollows that face each other: the shortest cut
/// whose both parts are at least least_area. No parts when the blob has no such pair of hollows.
/// Internal to this folder: it speaks OpenCV's integer outlines.
std::vector<std::vector<cv::Point>> split_touching(const std::vector<cv::Point>& outline,
                                                   double least_area);

}  // namespace maturity
