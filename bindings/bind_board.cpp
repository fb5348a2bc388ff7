#include <ZXing/BarcodeFormat.h>
#include <ZXing/BitMatrix.h>
#include <ZXing/MultiFormatWriter.h>

#include <stdexcept>

#include "bindings/fields.h"

namespace maturity::bindings {

namespace {

/// Cells of a square code (QR, ISO/IEC 18004), row by row, "1" is black, without its quiet rim.
std::vector<std::string> code_cells(const std::string& text) {
  if (text.empty() || text.size() > 200) {
    throw std::invalid_argument("text: " + std::to_string(text.size()) +
                                " bytes; expected 1 to 200, as a tree card is read back");
  }
  const auto matrix = ZXing::MultiFormatWriter(ZXing::BarcodeFormat::QRCode)
                          .setEncoding(ZXing::CharacterSet::UTF8)
                          .setMargin(0)
                          .encode(text, 0, 0);
  std::vector<std::string> rows;
  for (int y = 0; y < matrix.height(); ++y) {
    std::string row;
    for (int x = 0; x < matrix.width(); ++x) {
      row += matrix.get(x, y) ? '1' : '0';
    }
    rows.push_back(row);
  }
  return rows;
}

}  // namespace

void bind_board(py::module_& module) {
  module.def("code_cells", &code_cells, py::arg("text"),
             "Cells of a square code (QR), row by row, 1 is black, without its quiet rim.");
}

}  // namespace maturity::bindings
