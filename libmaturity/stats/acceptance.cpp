#include "libmaturity/stats/acceptance.h"

#include <algorithm>
#include <boost/math/distributions/binomial.hpp>
#include <boost/math/distributions/hypergeometric.hpp>
#include <cmath>
#include <string>

#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

void check_share(double share) {
  if (!(share >= 0.0 && share <= 1.0)) {
    reject_argument("share", share, "within 0 to 1");
  }
}

double finite_lot(int n, int accept, double share, int lot) {
  const auto bad = static_cast<int>(std::lround(share * lot));
  // Fewer bad fruit than allowed, or more good ones than can be avoided: settled without a table.
  if (std::min(bad, n) <= accept) {
    return 1.0;
  }
  if (n - (lot - bad) > accept) {
    return 0.0;
  }
  const boost::math::hypergeometric distribution(
      static_cast<unsigned>(bad), static_cast<unsigned>(n), static_cast<unsigned>(lot));
  return boost::math::cdf(distribution, accept);
}

}  // namespace

double acceptance_probability(int n, int accept, double share, std::optional<int> lot) {
  if (n < 1) {
    reject_argument("n", n, "at least 1 fruit checked");
  }
  if (accept < 0 || accept > n) {
    reject_argument("accept", accept, "at least 0 and at most the number checked");
  }
  check_share(share);
  if (lot) {
    if (*lot < n) {
      reject_argument("lot", *lot, "at least the number checked, " + std::to_string(n));
    }
    return finite_lot(n, accept, share, *lot);
  }
  return boost::math::cdf(boost::math::binomial(n, share), accept);
}

DoubleOutcome double_acceptance(const DoublePlan& plan, double share) {
  check_share(share);
  if (plan.first < 1 || plan.second < 1) {
    reject_argument("plan", std::to_string(plan.first) + " and " + std::to_string(plan.second),
                    "two samples of at least 1 fruit");
  }
  if (plan.accept_first < 0 || plan.reject_first <= plan.accept_first ||
      plan.accept_total < plan.reject_first - 1) {
    reject_argument("plan", plan.accept_first,
                    "0 <= accept_first < reject_first <= accept_total + 1");
  }
  const boost::math::binomial first(plan.first, share);
  const boost::math::binomial second(plan.second, share);
  DoubleOutcome outcome;
  outcome.acceptance = boost::math::cdf(first, std::min(plan.accept_first, plan.first));
  double undecided = 0.0;
  for (int bad = plan.accept_first + 1; bad < std::min(plan.reject_first, plan.first + 1); ++bad) {
    const double chance = boost::math::pdf(first, bad);
    undecided += chance;
    const int allowed = std::min(plan.accept_total - bad, plan.second);
    outcome.acceptance += allowed < 0 ? 0.0 : chance * boost::math::cdf(second, allowed);
  }
  outcome.expected_fruit = plan.first + undecided * plan.second;
  return outcome;
}

}  // namespace maturity
