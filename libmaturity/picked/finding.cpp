#include "libmaturity/picked/finding.h"

namespace maturity {

std::string_view name(FindingKind kind) {
  switch (kind) {
    case FindingKind::maturity:
      return "maturity";
    case FindingKind::handling:
      return "handling";
    case FindingKind::before_harvest:
      return "before_harvest";
    case FindingKind::storage:
      return "storage";
  }
  return "";
}

const std::vector<Finding>& findings() {
  using Kind = FindingKind;
  // Causes were READ in the source named, unless that says otherwise.
  static const std::vector<Finding> all{
      {"immature", Kind::maturity, false, "picked before the fruit had filled",
       "show the crew this block's own mature fruit; leave what is doubtful for the next pass", "",
       "", "cut or measure a sample on arrival, so that the crew hears of it the same day",
       "common practice, no source"},
      {"sap_burn", Kind::handling, true,
       "sap that spurts as the stem breaks, and sappy hands and gloves",
       "keep the stem on, or turn the stem end down and away as it breaks; keep sappy gloves and "
       "blades off the skin",
       "let the sap run off with the stem end down before fruit lie on fruit; wash within your own "
       "time limit",
       "no fruit with a running stem above others", "rinse sap off belts and rollers",
       "Queensland government, mango harvesting FAQs"},
      {"browning", Kind::handling, true,
       "sap that oozes, moisture, heat, detergent, rubbing or chilling; not yet seen at packing",
       "keep picked fruit in shade", "keep time in the wash within your own limit",
       "do not let wet fruit stand in the sun", "look at water, brushes, drying and cold store",
       "Ledger 1993"},
      {"rub", Kind::handling, false, "fruit that moves against fruit, leaves, stems or grit",
       "empty bags gently; trim stems to your own length", "clean grit off the mat",
       "smooth, clean bin walls; fill so that fruit does not roll", "brushes and belts",
       "mango defect guide, FAVRI"},
      {"cut", Kind::handling, false, "blades, clippers and finger nails",
       "blunt-tipped clippers; cut the stem, not along the fruit", "trim stems away from the fruit",
       "no loose blades or wire in bins", "", "mango defect guide, FAVRI"},
      {"puncture", Kind::handling, false, "stem ends of other fruit, twigs, bin edges",
       "trim stems that will lie on other fruit", "lay fruit so that stems do not touch others",
       "look for staples, splinters and stones", "", "defect guides, quoted in a secondary source"},
      {"impact_mark", Kind::handling, false, "fruit that drops or is thrown",
       "do not let fruit fall; a net or a second pair of hands below", "lower the drop to the mat",
       "fill from the bottom, do not pour", "look at every drop on the line",
       "mango defect guide, FAVRI"},
      {"skin_break", Kind::handling, false, "tearing at the stem, poles and nets, rough edges",
       "cut, do not tear; look at hooks and nets", "", "line or mend rough bins",
       "look for edges on the line", "mango defect guide, FAVRI"},
      {"bruise", Kind::handling, true, "drops, weight of fruit above, rough transport",
       "do not drop or squeeze fruit", "one layer on the mat",
       "keep to your own filling height; drive slowly on rough tracks",
       "look at every drop on the line", "mango defect guide, FAVRI"},
      {"blemish", Kind::before_harvest, false,
       "healed rubs, hail, scab, insects, sunburn: there before harvest", "", "", "", "",
       "mango defect guide, FAVRI"},
      {"lenticel", Kind::before_harvest, false,
       "rain before harvest; but sap left on the skin, detergent and hot dips do it too, so ask "
       "before anybody is blamed",
       "", "", "", "look at wash and dips before looking at people",
       "Bally et al. 1997; Queensland assessment manual, quoted in a secondary source"},
      {"decay", Kind::storage, true, "rots that enter by wounds or were in the field already", "",
       "", "", "keep decayed fruit apart; ask a plant-health adviser",
       "common practice, no source"}};
  return all;
}

}  // namespace maturity
