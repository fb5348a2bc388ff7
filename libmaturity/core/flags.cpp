#include "libmaturity/core/flags.h"

#include <array>

namespace maturity {

namespace {

struct Text {
  std::string_view name;
  std::string_view sentence;
};

constexpr std::array<Text, 9> kPhoto{{
    {"blurred", "The photo is not sharp: hold the phone still, tap to focus, and take it again."},
    {"too_dark", "The photo is too dark for safe edges: take it again in more light."},
    {"overexposed",
     "Bright parts are burnt out: take it again in the shade or lower the exposure."},
    {"tilted", "The phone was tilted more than 15 degrees: hold it level above the board."},
    {"no_markers", "No board marker was found, so there are no sizes in mm: show the whole board."},
    {"few_markers", "Fewer than four board markers were found, so the scale is less certain."},
    {"no_fruit", "No fruit was found on this photo."},
    {"same_board", "Another photo shows the same board; the better one is used, this one is not."},
    {"count_differs",
     "The number of fruit found is not the number written down: compare the overlay."},
}};

constexpr std::array<Text, 7> kFruit{{
    {"cut_by_frame", "The fruit is cut by the edge of the photo: keep a hand's breadth around it."},
    {"occluded", "Something lies over the fruit, so its outline is not whole: clear it away."},
    {"touching", "The fruit touches a neighbour; they were separated: lay them apart if you can."},
    {"low_contrast", "The edge is too faint against the board: use a board of another colour."},
    {"not_fruit_like", "The outline does not look like a whole mango."},
    {"not_flat", "The fruit is seen end-on or obliquely: lay it on a cheek, phone level above it."},
    {"pose_uncertain", "It is not clear which end is the stem or which side has the beak."},
}};

}  // namespace

std::string_view name(PhotoFlag flag) { return kPhoto.at(static_cast<std::size_t>(flag)).name; }
std::string_view name(FruitFlag flag) { return kFruit.at(static_cast<std::size_t>(flag)).name; }
std::string_view sentence(PhotoFlag flag) {
  return kPhoto.at(static_cast<std::size_t>(flag)).sentence;
}
std::string_view sentence(FruitFlag flag) {
  return kFruit.at(static_cast<std::size_t>(flag)).sentence;
}

std::vector<PhotoFlag> all_photo_flags() {
  std::vector<PhotoFlag> flags;
  for (std::size_t i = 0; i < kPhoto.size(); ++i) {
    flags.push_back(static_cast<PhotoFlag>(i));
  }
  return flags;
}

std::vector<FruitFlag> all_fruit_flags() {
  std::vector<FruitFlag> flags;
  for (std::size_t i = 0; i < kFruit.size(); ++i) {
    flags.push_back(static_cast<FruitFlag>(i));
  }
  return flags;
}

}  // namespace maturity
