#include "bindings/block_question.h"
#include "bindings/intervals.h"
#include "libmaturity/readiness/flowering_estimate.h"
#include "libmaturity/readiness/flowering_plan.h"

namespace maturity::bindings {

template <>
struct Shown<CropShareSource> : NamedState<CropShareSource, all_crop_share_sources> {};

namespace {

void bind_flowering_plan(py::module_& module) {
  using A = FloweringAddition;
  Fields<A>(module, "FloweringAddition",
            "What more to sample of one flowering; trees, photos, oven are additions.")
      .field("name", &A::name, "As the tables name it.")
      .field("trees", &A::trees, "New trees.")
      .field("photos", &A::photos, "New photographed fruit.")
      .field("oven", &A::oven, "New oven readings.")
      .field("part", &A::part, "Its part of the block's variance now, 0..1; None: not known.")
      .finish();
  using P = FloweringPlan;
  Fields<P>(module, "FloweringPlan", "Which flowering of a block wants how many more fruit.")
      .field("block", &P::block, "SamplePlan of the block: sums of the flowerings.")
      .field("flowerings", &P::flowerings, "A FloweringAddition for each.")
      .field("crop_share_part", &P::crop_share_part,
             "The part of the variance that the shares of the crop have, 0..1; None: not known.")
      .field("drawn_apart", &P::drawn_apart,
             "False: new trees are drawn among all of the block, and those of each are expected.")
      .finish();
  module.attr("photos_per_new_tree") = kPhotosPerTree;
  module.def(
      "more_samples_of_flowerings",
      [](const JoinedEstimate& joined, double cost_tree, double cost_photo, double cost_oven,
         double settle, const std::vector<int>& trees_left) {
        const py::gil_scoped_release release;
        return more_samples(joined, SamplingCosts{cost_tree, cost_photo, cost_oven}, settle,
                            trees_left);
      },
      py::arg("estimate"), py::kw_only(), py::arg("cost_tree"), py::arg("cost_photo"),
      py::arg("cost_oven"), py::arg("settle"), py::arg("trees_left") = std::vector<int>(),
      "See maturity.more_samples.");
}

}  // namespace

void bind_flowerings(py::module_& module) {
  using F = FloweringEstimate;
  Fields<F>(module, "FloweringEstimate", "One flowering of a block, estimated on its own fruit.")
      .field("name", &F::name, "As the tables name it.")
      .field("estimate", &F::estimate, "BlockEstimate of its own fruit alone.")
      .field("crop_share", &F::crop_share, "Its part of the crop, 0..1; None: not known.")
      .field("crop_share_sd", &F::crop_share_sd, "Its standard deviation.")
      .field("crop_share_interval", &F::crop_share_interval, "95 % interval (low, high).")
      .field("lacks", &F::lacks, "What it lacks, in words.")
      .finish();
  using J = JoinedEstimate;
  Fields<J> fields(module, "JoinedEstimate",
                   "A block whose flowerings are known, joined by their shares of the crop.");
  fields
      .field("block", &J::block,
             "BlockEstimate of the block; never \"ready\" where a flowering lacks something.")
      .field("together", &J::together, "BlockEstimate of all fruit, whatever their flowering.")
      .field("joined", &J::joined, "False: `block` has the figures of all fruit together.")
      .field("flowerings", &J::flowerings, "A FloweringEstimate for each.")
      .field("crop_share_source", &J::crop_share_source,
             R"("counted", "counted_on_some", "sampled" or "given"; None: not known.)")
      .field("sentences", &J::sentences, "What keeps it back or was left out.")
      .field("fruit_without_flowering", &J::fruit_without_flowering, "So many fruit.");
  fields.finish().def_property_readonly(
      "crop_share_sentence",
      [](const J& self) {
        return self.crop_share_source
                   ? std::optional<std::string>(sentence(*self.crop_share_source))
                   : std::nullopt;
      },
      "Where the shares of the crop come from, in a sentence; None: not known.");
  module.attr("fewest_share_trees") = kFewestShareTrees;
  module.attr("most_without_flowering") = kMostWithoutFlowering;
  module.def(
      "estimate_flowerings",
      [](const BlockQuestion& question, const std::vector<std::string>& names,
         const std::vector<std::string>& of_fruit, const std::vector<bool>& drawn_at_random,
         const std::vector<std::string>& of_tree, const std::vector<double>& crop,
         double of_block) {
        const py::gil_scoped_release release;
        return estimate_flowerings(question.data,
                                   {names, of_fruit, drawn_at_random, of_tree, crop, of_block},
                                   question.rule, question.options);
      },
      py::arg("question"), py::kw_only(), py::arg("names"), py::arg("of_fruit"),
      py::arg("drawn_at_random") = std::vector<bool>(),
      py::arg("of_tree") = std::vector<std::string>(), py::arg("crop") = std::vector<double>(),
      py::arg("of_block") = 1.0,
      "Each flowering apart and the block joined; a row of fruit for each entry of `of_fruit`.");
  bind_flowering_plan(module);
}

}  // namespace maturity::bindings
