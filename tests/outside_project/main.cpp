// Uses the installed library as a stranger would: one number known from elsewhere, and one call
// into the image stages so that what they need must be linked.
#include <libmaturity/core/version.h>
#include <libmaturity/pipeline/measure_photo.h>
#include <libmaturity/readiness/block_estimate.h>

#include <cmath>
#include <iostream>

int main() {
  maturity::BlockData block;
  block.tree = {"1", "1", "2", "2", "3", "3", "4", "4", "5", "5"};
  block.oven = {15.9, 16.8, 17.2, 15.1, 14.6, 16.3, 18.0, 16.9, 15.7, 16.4};
  maturity::BlockRule rule;
  rule.minimum_dm_pct = 15.0;
  const maturity::BlockEstimate estimate = maturity::estimate_block(block, rule);
  const double readiness = estimate.readiness.value_or(0.0);
  // COMPUTED twice by other programs: the same model with dense covariances in Python (39.2412),
  // and by random-walk sampling (38.6).
  const bool right = std::abs(readiness - 39.2412) < 0.01;

  const maturity::PhotoMeasurement photo = maturity::measure_photo("no such photo.jpg");
  const bool named = photo.error.has_value();

  std::cout << "libmaturity " << maturity::version() << " from outside: readiness " << readiness
            << ", expected 39.2412; a missing photo is " << (named ? "named" : "NOT named") << '\n';
  return right && named ? 0 : 1;
}
