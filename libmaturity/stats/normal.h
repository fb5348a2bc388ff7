#pragma once

namespace maturity {

/// The standard normal distribution: chance of a value below z, its density at z, and the value
/// below which one lies with that chance (0 to 1, ends left out; else std::domain_error).
double normal_cdf(double z);
double normal_density(double z);
double normal_quantile(double probability);

}  // namespace maturity
