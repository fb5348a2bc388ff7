#pragma once

namespace maturity {

/// Standard deviation of the error of one oven value, %: the repeat error in quadrature with what
/// the balance adds, sqrt(2) 100 (step/sqrt 12)/fresh (three readings rounded to the step, the
/// dish's share of the numerator and denominator nearly cancelling). balance_step_g > 0, fresh_g
/// (sample without dish) > 0, repeat_sd_pct >= 0; default 0.15 follows duplicates agreeing within
/// 0.2 (AOAC 934.06, a dried-fruit method, READ). Throws std::invalid_argument.
double oven_error_sd_pct(double balance_step_g, double fresh_g, double repeat_sd_pct = 0.15);

}  // namespace maturity
