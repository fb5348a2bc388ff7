#include "libmaturity/calibration/calibration_json.h"

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <iomanip>
#include <nlohmann/json.hpp>
#include <sstream>
#include <vector>

#include "libmaturity/calibration/calibration_fields.h"
#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

using Json = nlohmann::ordered_json;

constexpr double kSymmetric = 1e-9;

Json to_json(const Eigen::VectorXd& vector) {
  return std::vector<double>(vector.begin(), vector.end());
}

Json to_json(const Eigen::MatrixXd& matrix) {
  Json rows = Json::array();
  for (Eigen::Index i = 0; i < matrix.rows(); ++i) {
    rows.push_back(to_json(Eigen::VectorXd(matrix.row(i).transpose())));
  }
  return rows;
}

Json to_json(const Bounds& bounds) { return Json::array({bounds.low, bounds.high}); }

class Writer {
 public:
  explicit Writer(Json& json) : json_(json) {}
  template <class Value>
  void operator()(const char* name, const Value& value) {
    if constexpr (requires { to_json(value); }) {
      json_[name] = to_json(value);
    } else {
      json_[name] = value;
    }
  }
  void operator()(const char* name, const CalibrationOutcome& outcome) {
    json_[name] = maturity::name(outcome);
  }
  void operator()(const char* name, const std::vector<ReferenceRange>& baselines) {
    json_[name] = Json::array();
    for (const ReferenceRange& each : baselines) {
      json_[name].push_back(Json::object());
      visit_fields(each, Writer(json_[name].back()));
    }
  }
  template <class Value>
  void operator()(const char* name, const std::optional<Value>& value) {
    json_[name] = nullptr;
    if (!value) {
      return;
    }
    if constexpr (requires { visit_fields(*value, Writer(json_)); }) {
      json_[name] = Json::object();
      visit_fields(*value, Writer(json_[name]));
    } else {
      (*this)(name, *value);
    }
  }

 private:
  Json& json_;
};

class Reader {
 public:
  explicit Reader(const Json& json) : json_(json) {}
  template <class Value>
  void operator()(const char* name, Value& value) {
    read(name, [&](const Json& field) { from(field, value); });
  }

 private:
  template <class Use>
  void read(const char* name, const Use& use) {
    if (!json_.is_object() || !json_.contains(name)) {
      reject_argument(std::string("calibration field ") + name, "missing", "a value");
    }
    try {
      use(json_.at(name));
    } catch (const nlohmann::json::exception& problem) {
      reject_argument(std::string("calibration field ") + name, problem.what(), "its own type");
    }
  }
  template <class Value>
  static void from(const Json& field, Value& value) {
    value = field.get<Value>();
  }
  static void from(const Json& field, Bounds& bounds) {
    bounds = {field.at(0).get<double>(), field.at(1).get<double>()};
  }
  static void from(const Json& field, Eigen::VectorXd& vector) {
    const auto numbers = field.get<std::vector<double>>();
    vector = Eigen::Map<const Eigen::VectorXd>(numbers.data(),
                                               static_cast<Eigen::Index>(numbers.size()));
  }
  static void from(const Json& field, Eigen::MatrixXd& matrix) {
    const auto rows = field.get<std::vector<std::vector<double>>>();
    const auto n = static_cast<Eigen::Index>(rows.size());
    matrix.resize(n, n);
    for (std::size_t i = 0; i < rows.size(); ++i) {
      if (rows[i].size() != rows.size()) {
        reject_argument("calibration matrix", std::to_string(rows[i].size()) + " columns",
                        "as many as rows, " + std::to_string(rows.size()));
      }
      matrix.row(static_cast<Eigen::Index>(i)) =
          Eigen::Map<const Eigen::RowVectorXd>(rows[i].data(), n);
    }
  }
  static void from(const Json& field, CalibrationOutcome& outcome) {
    const auto text = field.get<std::string>();
    for (const auto each : {CalibrationOutcome::usable, CalibrationOutcome::no_usable_information,
                            CalibrationOutcome::cannot_tell}) {
      if (text == maturity::name(each)) {
        outcome = each;
        return;
      }
    }
    reject_argument("calibration field outcome", text,
                    "usable, no_usable_information or cannot_tell");
  }
  static void from(const Json& field, std::vector<ReferenceRange>& baselines) {
    for (const Json& each : field) {
      baselines.emplace_back();
      visit_fields(baselines.back(), Reader(each));
    }
  }
  template <class Value>
  static void from(const Json& field, std::optional<Value>& value) {
    value.reset();
    if (field.is_null()) {
      return;
    }
    value.emplace();
    if constexpr (requires { visit_fields(*value, Reader(field)); }) {
      visit_fields(*value, Reader(field));
    } else {
      from(field, *value);
    }
    if constexpr (std::is_same_v<Value, Agreement>) {
      set_joined_intervals(*value);
    }
  }

  const Json& json_;
};

Json content(const ShapeCalibration& calibration) {
  Json json = Json::object();
  json["format"] = calibration.format;
  visit_calibration(calibration, Writer(json));
  return json;
}

void check_sizes(const ShapeCalibration& calibration) {
  const auto p = static_cast<Eigen::Index>(calibration.names.size());
  const auto square = [&](const Eigen::MatrixXd& m) {
    return m.rows() == p && (m - m.transpose()).cwiseAbs().maxCoeff() <=
                                kSymmetric * (1.0 + m.cwiseAbs().maxCoeff());
  };
  if (p < 1 || calibration.slopes.size() != p || calibration.between_block_sd.size() != p ||
      calibration.shape_mean.size() != p || !square(calibration.slopes_covariance) ||
      !square(calibration.shape_covariance) ||
      !std::all_of(calibration.block_baselines.begin(), calibration.block_baselines.end(),
                   [&](const ReferenceRange& each) {
                     return each.mean.size() == p && square(each.covariance);
                   })) {
    reject_argument("calibration", "parts of different sizes, or not symmetric",
                    "slopes, means and symmetric covariances for each of its names");
  }
}

}  // namespace

std::string calibration_hash(const ShapeCalibration& calibration) {
  std::uint64_t hash = 14695981039346656037ULL;
  for (const char letter : content(calibration).dump()) {
    hash ^= static_cast<unsigned char>(letter);
    hash *= 1099511628211ULL;
  }
  std::ostringstream text;
  text << std::hex << std::setw(16) << std::setfill('0') << hash;
  return text.str();
}

std::string calibration_to_json(const ShapeCalibration& calibration) {
  Json json = content(calibration);
  json["id"] = calibration.id;
  return json.dump(2) + "\n";
}

ShapeCalibration calibration_from_json(std::string_view text) {
  const Json json = Json::parse(text, nullptr, false);
  if (json.is_discarded() || !json.is_object()) {
    reject_argument("calibration", "not a JSON object", "a saved calibration");
  }
  Reader reader(json);
  ShapeCalibration calibration;
  reader("format", calibration.format);
  if (calibration.format < 1 || calibration.format > kCalibrationFormat) {
    reject_argument("calibration field format", calibration.format,
                    "1 to " + std::to_string(kCalibrationFormat));
  }
  visit_calibration(calibration, reader);
  reader("id", calibration.id);
  check_sizes(calibration);
  const std::string hash = calibration_hash(calibration);
  if (hash != calibration.id) {
    reject_argument("calibration field id", calibration.id,
                    hash + ", that of its content: it was changed after it was saved");
  }
  return calibration;
}

}  // namespace maturity
