#include "libmaturity/calibration/calibration_json.h"

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <iomanip>
#include <nlohmann/json.hpp>
#include <sstream>
#include <vector>

#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

using Json = nlohmann::ordered_json;

constexpr double kSymmetric = 1e-9;
constexpr int kFormatWithBaselines = 2;

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

// One list of the fields for both directions, so that neither can forget one.
template <class Value, class Visitor>
void visit_agreement(Value& value, Visitor&& visit) {
  visit("pairs", value.pairs);
  visit("left_out", value.left_out);
  visit("bias", value.bias);
  visit("bias_interval", value.bias_interval);
  visit("bias_limit", value.bias_limit);
  visit("bias_significant", value.bias_significant);
  visit("rmsep", value.rmsep);
  visit("sep", value.sep);
  visit("sep_interval", value.sep_interval);
  visit("slope", value.slope);
  visit("intercept", value.intercept);
  visit("slope_interval", value.slope_interval);
  visit("residual_sd", value.residual_sd);
  visit("slope_t", value.slope_t);
  visit("slope_t_limit", value.slope_t_limit);
  visit("slope_significant", value.slope_significant);
  visit("r_squared", value.r_squared);
  visit("r_squared_interval", value.r_squared_interval);
  visit("r_squared_identity", value.r_squared_identity);
  visit("reference_sd", value.reference_sd);
  visit("rpd_sep", value.rpd_sep);
  visit("rpd_rmsep", value.rpd_rmsep);
}

template <class Value, class Visitor>
void visit_baseline(Value& value, Visitor&& visit) {
  visit("block", value.group);
  visit("fruit", value.members);
  visit("shape_mean", value.mean);
  visit("shape_covariance", value.covariance);
}

template <class Value, class Visitor>
void visit_calibration(Value& value, Visitor&& visit) {
  visit("library_version", value.library_version);
  visit("method_version", value.method_version);
  visit("cultivar", value.source.cultivar);
  visit("first_date", value.source.first_date);
  visit("last_date", value.source.last_date);
  visit("provenance", value.source.provenance);
  visit("names", value.names);
  visit("slopes", value.slopes);
  visit("slopes_covariance", value.slopes_covariance);
  visit("between_block_sd", value.between_block_sd);
  visit("shape_mean", value.shape_mean);
  visit("shape_covariance", value.shape_covariance);
  if (value.format >= kFormatWithBaselines) {
    visit("block_baselines", value.block_baselines);
  }
  visit("fruit", value.fruit);
  visit("blocks", value.blocks);
  visit("left_out", value.left_out);
  visit("residual_sd", value.residual_sd);
  visit("not_selected", value.not_selected);
  visit("outcome", value.outcome);
  visit("folds", value.folds);
  visit("within_r_squared", value.within_r_squared);
  visit("p_value", value.p_value);
  visit("new_block", value.new_block);
  visit("after_local_mean", value.after_local_mean);
}

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
      visit_baseline(each, Writer(json_[name].back()));
    }
  }
  template <class Value>
  void operator()(const char* name, const std::optional<Value>& value) {
    json_[name] = nullptr;
    if constexpr (std::is_same_v<Value, Agreement>) {
      if (value) {
        json_[name] = Json::object();
        visit_agreement(*value, Writer(json_[name]));
      }
    } else if (value) {
      json_[name] = *value;
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
      visit_baseline(baselines.back(), Reader(each));
    }
  }
  static void from(const Json& field, std::optional<double>& value) {
    value = field.is_null() ? std::nullopt : std::optional(field.get<double>());
  }
  static void from(const Json& field, std::optional<Agreement>& value) {
    value.reset();
    if (!field.is_null()) {
      value.emplace();
      visit_agreement(*value, Reader(field));
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
