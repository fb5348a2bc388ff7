#include "bindings/block_question.h"

#include <tuple>

namespace maturity::bindings {

namespace {

/// Readings, error and the number of fruit it rests on.
using MeterGiven = std::tuple<std::vector<double>, std::optional<double>, std::optional<int>>;

UseShape use_shape_named(const std::string& text) {
  if (text == "auto") {
    return UseShape::automatic;
  }
  if (text == "on") {
    return UseShape::on;
  }
  if (text == "off") {
    return UseShape::off;
  }
  throw py::value_error("use_shape: " + text + " is not one of auto, on, off");
}

/// Some members as a tuple, and back; a member is listed in one order in both.
template <class T, class... Member>
py::tuple members(const T& self, Member T::*... member) {
  return py::make_tuple(self.*member...);
}

template <class T, class... Member>
void set_members(T& self, const py::tuple& state, Member T::*... member) {
  std::size_t place = 0;
  ((self.*member = state[place++].cast<Member>()), ...);
}

py::tuple question_state(const BlockQuestion& self) {
  using D = BlockData;
  using M = FurtherMeter;
  using O = BlockOptions;
  py::list further;
  for (const M& meter : self.data.further_meters) {
    further.append(members(meter, &M::dm_pct, &M::sep_pct, &M::sep_n));
  }
  return py::make_tuple(
      members(self.data, &D::tree, &D::shape, &D::oven, &D::meter, &D::included), further,
      self.rule,
      members(self.options, &O::descriptor_names, &O::calibration, &O::picked_on_purpose,
              &O::picked_by_shape_only, &O::meter_sep_pct, &O::meter_sep_n, &O::meter_slope,
              &O::meter_slope_sd, &O::oven_sd_pct, &O::drop_nodes_below),
      static_cast<int>(self.options.use_shape));
}

BlockQuestion question_from(const py::tuple& state) {
  using D = BlockData;
  using M = FurtherMeter;
  using O = BlockOptions;
  BlockQuestion self;
  set_members(self.data, state[0].cast<py::tuple>(), &D::tree, &D::shape, &D::oven, &D::meter,
              &D::included);
  for (const py::handle one : state[1]) {
    M& meter = self.data.further_meters.emplace_back();
    set_members(meter, one.cast<py::tuple>(), &M::dm_pct, &M::sep_pct, &M::sep_n);
  }
  self.rule = state[2].cast<BlockRule>();
  set_members(self.options, state[3].cast<py::tuple>(), &O::descriptor_names, &O::calibration,
              &O::picked_on_purpose, &O::picked_by_shape_only, &O::meter_sep_pct, &O::meter_sep_n,
              &O::meter_slope, &O::meter_slope_sd, &O::oven_sd_pct, &O::drop_nodes_below);
  self.options.use_shape = static_cast<UseShape>(state[4].cast<int>());
  return self;
}

}  // namespace

void bind_block_question(py::module_& module) {
  py::class_<CalibrationSlopes>(module, "CalibrationSlopes",
                                "What earlier blocks say of dry matter against shape.")
      .def(py::init([](std::string id, std::vector<std::string> names, int version,
                       Eigen::VectorXd slopes, Eigen::MatrixXd slopes_covariance,
                       Eigen::VectorXd shape_mean, Eigen::MatrixXd shape_covariance) {
             return CalibrationSlopes{std::move(id),
                                      std::move(names),
                                      version,
                                      std::move(slopes),
                                      std::move(slopes_covariance),
                                      std::move(shape_mean),
                                      std::move(shape_covariance)};
           }),
           py::kw_only(), py::arg("id"), py::arg("names"), py::arg("version"), py::arg("slopes"),
           py::arg("slopes_covariance"), py::arg("shape_mean") = Eigen::VectorXd(),
           py::arg("shape_covariance") = Eigen::MatrixXd())
      .def_readonly("id", &CalibrationSlopes::id)
      .def_readonly("names", &CalibrationSlopes::names)
      .def_readonly("version", &CalibrationSlopes::version)
      .def(py::pickle(
          [](const CalibrationSlopes& self) {
            return members(self, &CalibrationSlopes::id, &CalibrationSlopes::names,
                           &CalibrationSlopes::version, &CalibrationSlopes::slopes,
                           &CalibrationSlopes::slopes_covariance, &CalibrationSlopes::shape_mean,
                           &CalibrationSlopes::shape_covariance);
          },
          [](const py::tuple& state) {
            CalibrationSlopes self;
            set_members(self, state, &CalibrationSlopes::id, &CalibrationSlopes::names,
                        &CalibrationSlopes::version, &CalibrationSlopes::slopes,
                        &CalibrationSlopes::slopes_covariance, &CalibrationSlopes::shape_mean,
                        &CalibrationSlopes::shape_covariance);
            return self;
          }));
  py::class_<BlockQuestion>(module, "BlockQuestion",
                            "Fruit, rule and options; see maturity.estimate_block.")
      .def(py::init([](const std::vector<std::string>& tree, const Eigen::MatrixXd& shape,
                       const std::vector<double>& oven, const std::vector<double>& meter,
                       const std::vector<MeterGiven>& further_meters,
                       const std::vector<bool>& included, double minimum_dm_pct,
                       double required_share, const std::string& rule, double confidence,
                       bool picked_on_purpose, const std::optional<CalibrationSlopes>& calibration,
                       const std::vector<std::string>& descriptor_names,
                       const std::string& use_shape, std::optional<double> meter_sep_pct,
                       std::optional<int> meter_sep_n, double meter_slope, double meter_slope_sd,
                       double oven_sd_pct) {
             BlockOptions options;
             options.use_shape = use_shape_named(use_shape);
             options.descriptor_names = descriptor_names;
             options.calibration = calibration;
             options.picked_on_purpose = picked_on_purpose;
             options.meter_sep_pct = meter_sep_pct;
             options.meter_sep_n = meter_sep_n;
             options.meter_slope = meter_slope;
             options.meter_slope_sd = meter_slope_sd;
             options.oven_sd_pct = oven_sd_pct;
             std::vector<FurtherMeter> further;
             further.reserve(further_meters.size());
             for (const auto& [dm_pct, sep_pct, sep_n] : further_meters) {
               further.push_back({dm_pct, sep_pct, sep_n});
             }
             return BlockQuestion{
                 {tree, shape, oven, meter, included, further},
                 {minimum_dm_pct, required_share, Shown<RuleKind>::in(py::str(rule)), confidence},
                 options};
           }),
           py::kw_only(), py::arg("tree"), py::arg("shape"), py::arg("oven"), py::arg("meter"),
           py::arg("further_meters"), py::arg("included"), py::arg("minimum_dm_pct"),
           py::arg("required_share"), py::arg("rule"), py::arg("confidence"),
           py::arg("picked_on_purpose"), py::arg("calibration"), py::arg("descriptor_names"),
           py::arg("use_shape"), py::arg("meter_sep_pct"), py::arg("meter_sep_n"),
           py::arg("meter_slope"), py::arg("meter_slope_sd"), py::arg("oven_sd_pct"))
      .def(py::pickle(&question_state, &question_from));
}

}  // namespace maturity::bindings
