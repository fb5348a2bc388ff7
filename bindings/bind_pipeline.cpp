#include "bindings/fields.h"
#include "bindings/states.h"
#include "libmaturity/pipeline/measure_photo.h"
#include "libmaturity/pipeline/same_board.h"

namespace maturity::bindings {

namespace {

void bind_results(py::module_& module) {
  using F = FruitMeasurement;
  Fields<F>(module, "FruitMeasurement",
            "One fruit of a photo; upright pixels, (0,0) the centre of "
            "the top-left pixel. None: not known.")
      .field("fruit", &F::fruit, "Number on its tile, or place in reading order, from 1.")
      .field("numbered_by_tile", &F::numbered_by_tile, "True when a tile gave the number.")
      .field("outline_px", &F::outline_px, "Silhouette without the stem, (N,2), px.")
      .field("outline_se_px", &F::outline_se_px, "Standard error across the outline, px.")
      .field("outline_mm", &F::outline_mm, "Widest section of the solid, (N,2), mm.")
      .field("stem_px", &F::stem_px, "Stem point, px.")
      .field("nose_px", &F::nose_px, "Nose point, px.")
      .field("ventral_side", &F::ventral_side, "+1, -1, 0 when unknown.")
      .field("axis_probability", &F::axis_probability, "Chance that the ends are right.")
      .field("side_probability", &F::side_probability, "Chance that the side is right.")
      .field("length_mm", &F::length_mm, "Length, mm.")
      .field("length_se_mm", &F::length_se_mm, "Its standard error, mm.")
      .field("width_mm", &F::width_mm, "Width, mm.")
      .field("width_se_mm", &F::width_se_mm, "Its standard error, mm.")
      .field("mass_g_estimate", &F::mass_g_estimate, "Mass estimated from size, g.")
      .field("mass_se_g", &F::mass_se_g, "Its standard error, g.")
      .field("flags", &F::flags, "What is doubtful (names).")
      .field("usable", &F::usable, "False where the shape must not be scored.")
      .field("descriptors", &F::descriptors, "Value by name; undefined ones are absent.")
      .field("descriptor_se", &F::descriptor_se, "Standard error by name.")
      .finish();
  using P = PhotoMeasurement;
  Fields<P> fields(module, "PhotoMeasurement",
                   "All that was measured on one photo, or why nothing was.");
  fields.field("path", &P::path, "As given by the caller.")
      .field("sha256", &P::sha256, "Of the file.")
      .field("width_px", &P::width_px, "Upright image, px.")
      .field("height_px", &P::height_px, "Upright image, px.")
      .field("taken_at", &P::taken_at, "Date and time, ISO 8601.")
      .field("error", &P::error, "Set when the photo could not be read whole.")
      .field("error_may_pass", &P::error_may_pass,
             "True where another run may succeed: time, memory, a file out of reach.")
      .field("flags", &P::flags, "What is doubtful (names).")
      .field("mm_per_px", &P::mm_per_px, "Of the board surface at the image centre.")
      .field("mm_per_px_se", &P::mm_per_px_se, "Its standard error.")
      .field("tilt_deg", &P::tilt_deg, "Of the camera against the board, degrees.")
      .field("camera_height_mm", &P::camera_height_mm, "Above the board, mm.")
      .field("code_text", &P::code_text, "Text of a square code on the board.")
      .field("seconds", &P::seconds, "Time taken.")
      .field("fruits", &P::fruits, "A FruitMeasurement for each fruit.");
  auto& photo = fields.finish();
  photo.def(
      "to_json", [](const P& self) { return to_json({self}); },
      R"(Text of the JSON results, {"version": ..., "photos": {path: {...}}}.)");
  // The JSON results are the contract, so the dictionary is read from their text.
  photo.attr("to_dict") = py::cpp_function(
      [](const P& self) {
        const py::dict results = py::module_::import("json").attr("loads")(to_json({self}));
        const py::dict photos = results["photos"];
        return py::dict(photos.begin()->second.cast<py::dict>());
      },
      py::is_method(photo), "The fields of the JSON results of this photo; unknown is None.");
}

}  // namespace

void bind_pipeline(py::module_& module) {
  bind_results(module);
  using S = MeasureSettings;
  py::class_<S>(module, "MeasureSettings", "Limits and known facts for measuring photos.")
      .def(py::init<>())
      .def_readwrite("max_megapixels", &S::max_megapixels)
      .def_readwrite("max_seconds", &S::max_seconds)
      .def_readwrite("marker_width_mm", &S::marker_width_mm)
      .def_readwrite("markers_across_mm", &S::markers_across_mm)
      .def_readwrite("markers_down_mm", &S::markers_down_mm)
      .def_readwrite("thickness_ratio", &S::thickness_ratio)
      .def_readwrite("thickness_ratio_sd", &S::thickness_ratio_sd)
      .def_readwrite("thickness_mm", &S::thickness_mm)
      .def_readwrite("threads", &S::threads)
      .def("key", &settings_key, "Text that changes with any setting that changes the numbers.");
  module.def("measure_photo", py::overload_cast<const std::string&, const S&>(&measure_photo),
             py::arg("path"), py::arg("settings") = S{}, py::call_guard<py::gil_scoped_release>());
  module.def(
      "measure_photos",
      [](const std::vector<std::string>& paths, const S& settings,
         const std::function<bool(std::size_t, const PhotoMeasurement&)>& done) {
        const py::gil_scoped_release release;
        return measure_photos(paths, settings, done);
      },
      py::arg("paths"), py::arg("settings") = S{},
      py::arg("done") = std::function<bool(std::size_t, const PhotoMeasurement&)>(),
      "Measures many photos; `done(index, photo)` is called after each and stops the batch by "
      "returning False.");
  module.def(
      "measure_each_photo",
      [](const std::vector<std::string>& paths, const S& settings,
         const std::function<bool(std::size_t, PhotoMeasurement)>& taken) {
        const py::gil_scoped_release release;
        measure_each_photo(paths, settings, [&](std::size_t i, PhotoMeasurement&& photo) {
          return taken(i, std::move(photo));
        });
      },
      py::arg("paths"), py::arg("settings"), py::arg("taken"),
      "Measures many photos and keeps none; `taken(index, photo)` is called with each and stops "
      "the batch by returning False.");
  Fields<BoardMatch>(module, "BoardMatch",
                     "How well the fruit of one photo can be laid over those of another.")
      .field("matched", &BoardMatch::matched, "Fruit of the first that lie on one of the second.")
      .field("mean_overlap", &BoardMatch::mean_overlap, "Of their outlines, 0..1.")
      .field("least_overlap", &BoardMatch::least_overlap, "The smallest of them.")
      .field("same", &BoardMatch::same, "True for two shots of one board.")
      .finish();
  module.def("compare_boards", &compare_boards, py::arg("first"), py::arg("second"),
             py::call_guard<py::gil_scoped_release>(),
             "Compares the outlines, each (N,2) in px, of two photos: is it one board?");
  module.def("to_json", &to_json, py::arg("photos"), py::arg("pretty") = false,
             "Text of the JSON results of many photos.");
}

}  // namespace maturity::bindings
