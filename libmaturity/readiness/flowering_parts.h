#pragma once

#include <vector>

#include "libmaturity/readiness/flowering_estimate.h"
#include "libmaturity/readiness/more_samples.h"

namespace maturity {

/// One flowering's part of the variance of what the rule asks of the block.
struct FloweringPart {
  /// As planning_variance takes it, share_z being the flowering's own.
  PlanningState state;
  /// Now, squared %; 0 where it has no crop.
  double variance = 0.0;

  /// Once so much is added, squared %.
  double after(int trees, int photos, int oven) const;
};

/// What the variance of psi (of the mean, under that rule) of a joined block is made of.
struct FloweringParts {
  std::vector<FloweringPart> of_flowering;
  /// That of the shares of the crop, squared %.
  double crop_shares = 0.0;

  double total() const;
};

/// To first order var psi = SUM_g c_g^2 var(M_g - z_g S_g) + var(SUM_g w_g F_g) / (SUM w f)^2, with
/// w the shares of the crop, M and S mean and spread of a flowering, f_g and F_g its density at psi
/// and its share above, z_g = (M_g - psi)/S_g, c_g = w_g f_g / SUM w f; for the rule `mean` c_g =
/// w_g, z_g = 0 and M_g in place of F_g. Trees in common are not reckoned with. `joined.joined`
/// must hold.
FloweringParts flowering_parts(const JoinedEstimate& joined);

}  // namespace maturity
