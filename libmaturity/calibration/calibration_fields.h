#pragma once

#include <type_traits>

#include "libmaturity/calibration/shape_calibration.h"

/// One list of the fields of each part for reading and writing, so that neither can forget one.
namespace maturity {

inline constexpr int kFormatWithBaselines = 2;
inline constexpr int kFormatWithRanges = 3;

template <class Value, class Visitor>
void visit_fields(Value& value,
                  Visitor&& visit) requires std::is_same_v<std::remove_const_t<Value>, Agreement> {
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
void visit_fields(Value& value, Visitor&& visit) requires
    std::is_same_v<std::remove_const_t<Value>, ClusteredAgreement> {
  visit("clusters", value.clusters);
  visit("bias", value.bias);
  visit("bias_interval", value.bias_interval);
  visit("bias_significant", value.bias_significant);
  visit("sep", value.sep);
  visit("sep_interval", value.sep_interval);
  visit("rmsep", value.rmsep);
  visit("rmsep_interval", value.rmsep_interval);
  visit("slope", value.slope);
  visit("slope_interval", value.slope_interval);
  visit("slope_significant", value.slope_significant);
  visit("r_squared", value.r_squared);
  visit("r_squared_interval", value.r_squared_interval);
  visit("rpd_sep", value.rpd_sep);
  visit("rpd_sep_interval", value.rpd_sep_interval);
}

template <class Value, class Visitor>
void visit_fields(Value& value, Visitor&& visit) requires
    std::is_same_v<std::remove_const_t<Value>, ShapeValidation> {
  visit("folds", value.folds);
  visit("within_r_squared", value.within_r_squared);
  visit("p_value", value.p_value);
  visit("new_block", value.new_block);
  visit("after_local_mean", value.after_local_mean);
  visit("new_block_ranges", value.new_block_ranges);
  visit("after_local_mean_ranges", value.after_local_mean_ranges);
}

template <class Value, class Visitor>
void visit_fields(Value& value, Visitor&& visit) requires
    std::is_same_v<std::remove_const_t<Value>, ReferenceRange> {
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
  if (value.format >= kFormatWithRanges) {
    visit("new_block_ranges", value.new_block_ranges);
    visit("after_local_mean_ranges", value.after_local_mean_ranges);
    visit("by_season", value.by_season);
  }
}

}  // namespace maturity
