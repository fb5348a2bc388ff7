"""Numerics of picked fruit against scipy and statsmodels."""

from __future__ import annotations

import numpy
import pytest
import scipy.stats
import statsmodels.api
from statsmodels.stats.proportion import confint_proportions_2indep, proportion_confint

from maturity import _core

FOUND = {"A": [9, 14, 3, 8, 11], "B": [2, 5, 1, 0, 4], "C": [6, 1, 7, 3, 2]}


def bins(found=FOUND, checked=50, **changes):
    given = dict(block="River", method="pole", date="2026-11-24")
    return [
        _core.BinCheck(**{**given, **changes}, crew=crew, bin=str(i), checked=checked, found=count)
        for crew, counts in found.items()
        for i, count in enumerate(counts)
    ]


def test_design_effect_is_pearsons_dispersion_of_a_binomial_model():
    counts = numpy.concatenate([numpy.array(values) for values in FOUND.values()])
    crews = numpy.repeat(numpy.eye(3), 5, axis=0)
    model = statsmodels.api.GLM(
        numpy.column_stack([counts, 50 - counts]), crews, family=statsmodels.api.families.Binomial()
    ).fit()
    result = _core.compare_crews(bins())
    assert result.spare_bins == model.df_resid == 12
    assert result.design_effect == pytest.approx(model.pearson_chi2 / model.df_resid, rel=1e-8)


def test_interval_is_wilson_on_fruit_that_bins_and_few_bins_leave():
    result = _core.compare_crews(bins())
    z, t = scipy.stats.norm.ppf(0.975), scipy.stats.t.ppf(0.975, result.spare_bins)
    left = (z / t) ** 2 / result.design_effect
    for one in result.crews:
        expected = proportion_confint(one.found * left, one.checked * left, 0.05, "wilson")
        assert one.interval == pytest.approx(expected, abs=1e-9)


def test_shuffling_two_crews_is_the_permutation_test():
    two = {"A": [9, 14, 3, 8, 11], "B": [2, 5, 7, 4, 4]}
    exact = scipy.stats.permutation_test(
        (two["A"], two["B"]), lambda a, b: sum(a) - sum(b), n_resamples=numpy.inf
    ).pvalue
    result = _core.compare_crews(bins(two), shuffles=19999)
    assert result.compared_by == "shuffled_bins"
    # 20,000 shuffles know a share of 0.07 to 0.0018; three of those.
    assert result.crews[0].p_value == pytest.approx(exact, abs=0.0055)


def test_too_few_bins_are_judged_by_students_t_and_bonferroni():
    few = {crew: counts[:2] for crew, counts in FOUND.items()}
    few["D"] = [4, 5]
    result = _core.compare_crews(bins(few))
    assert result.compared_by == "bin_spread"
    totals = {crew: sum(counts) for crew, counts in few.items()}
    share = sum(totals.values()) / 400
    variance = share * (1 - share) * 100 * 300 / 399 * result.design_effect
    most = max(totals, key=lambda crew: abs(totals[crew] - 100 * share))
    gap = abs(totals[most] - 100 * share) - 0.5
    expected = min(1, 4 * 2 * scipy.stats.t.sf(gap / variance**0.5, result.spare_bins))
    p_values = {one.crew: one.p_value for one in result.crews}
    assert p_values[most] == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize(("checked", "found", "lot"), [(13, 2, 100), (50, 3, 400), (20, 0, 60)])
def test_chances_of_a_load_are_hypergeometric_and_binomial(checked, found, lot):
    rule = dict(acceptable=0.05, refused=0.20)
    whole = _core.decide_load(checked, found, **rule, lot=lot)
    bad = round(0.20 * lot)
    assert whole.chance_if_refused == pytest.approx(
        scipy.stats.hypergeom.cdf(found, lot, bad, checked)
    )
    large = _core.decide_load(checked, found, **rule)
    assert large.chance_if_refused == pytest.approx(scipy.stats.binom.cdf(found, checked, 0.20))
    assert large.chance_if_acceptable == pytest.approx(
        scipy.stats.binom.sf(found - 1, checked, 0.05)
    )
    assert large.interval == pytest.approx(proportion_confint(found, checked, 0.05, "beta"))


def test_smallest_plan_keeps_both_risks_and_one_fruit_less_does_not():
    plan = _core.smallest_plan(acceptable=0.04, refused=0.12)
    binom = scipy.stats.binom
    assert plan.passes_acceptable == pytest.approx(binom.cdf(plan.accept, plan.n, 0.04))
    assert plan.passes_acceptable >= 0.95 and plan.passes_refused <= 0.10
    for accept in range(plan.n):
        assert binom.cdf(accept, plan.n - 1, 0.04) < 0.95 or (
            binom.cdf(accept, plan.n - 1, 0.12) > 0.10
        )


def test_share_passed_with_is_a_beta_quantile():
    assert _core.share_passed_with(13, 2, 0.5) == pytest.approx(scipy.stats.beta.ppf(0.5, 3, 11))
    # A 13-fruit check passes a load with 20 % immature half the time.
    assert _core.share_passed_with(13, 2, 0.5) == pytest.approx(0.20, abs=0.001)


def test_double_plan_is_the_sum_over_both_steps():
    plan = _core.double_plan("J", acceptable_pct=6.5)
    first, second = (scipy.stats.binom(n, 0.1) for n in (plan.first, plan.second))
    undecided = range(plan.accept_first + 1, plan.reject_first)
    expected = first.cdf(plan.accept_first) + sum(
        first.pmf(bad) * second.cdf(plan.accept_total - bad) for bad in undecided
    )
    fruit = plan.first + plan.second * sum(first.pmf(bad) for bad in undecided)
    assert _core.double_acceptance(plan, 0.1) == pytest.approx((expected, fruit))


@pytest.mark.parametrize(("arrival", "held"), [((3, 300), (9, 90)), ((0, 150), (0, 60))])
def test_late_damage_is_newcombes_interval(arrival, held):
    late = _core.compare_looks(arrival, held)
    expected = confint_proportions_2indep(*held, *arrival, compare="diff", method="newcomb")
    assert late.interval == pytest.approx(expected, abs=1e-9)


def test_trend_is_that_of_theil_and_sen_over_days():
    rng = numpy.random.default_rng(5)
    days = numpy.repeat(numpy.arange(9.0), 4)
    values = numpy.round(4 + 0.3 * days + rng.normal(0, 0.8, 36), 1)
    one = _core.summarise_timings(list(zip(days, values)), low=None, high=5.0)
    medians = numpy.median(values.reshape(9, 4), axis=1)
    slope, _, low, high = scipy.stats.theilslopes(medians, numpy.arange(9.0), 0.95)
    assert one.slope_per_day == pytest.approx(slope)
    assert one.slope_interval == pytest.approx((low, high))
    outside = int((values > 5).sum())
    assert one.share_interval == pytest.approx(proportion_confint(outside, 36, 0.05, "wilson"))


def test_bins_stand_out_by_fishers_exact_test():
    result = _core.outlying_bins(bins())
    total, found = 15 * 50, sum(map(sum, FOUND.values()))
    flat = [count for counts in FOUND.values() for count in counts]
    for one, count in zip(result, flat):
        table = [[count, 50 - count], [found - count, total - 50 - (found - count)]]
        exact = scipy.stats.fisher_exact(table, alternative="greater").pvalue
        assert one.p_value == pytest.approx(min(1.0, 15 * exact), rel=1e-6)
        assert one.interval == pytest.approx(proportion_confint(count, 50, 0.05, "beta"))


def test_days_that_vary_are_judged_by_a_log_linear_model():
    """Crew by day, quasi-likelihood: the same fit and dispersion by statsmodels."""
    days = {"A": [30, 4, 6], "B": [5, 5, 7], "C": [4, 6, 5]}
    rows = [
        _core.BinCheck(
            block="River",
            method="",
            date=str(day),
            crew=crew,
            bin=f"{day}{n}",
            checked=50,
            found=count + n % 2,
        )
        for crew, counts in days.items()
        for day, count in enumerate(counts)
        for n in range(4)
    ]
    result = _core.compare_crews(rows)
    found = numpy.array([[4 * count + 2 for count in counts] for counts in days.values()])
    crew, day = (index.ravel() for index in numpy.indices(found.shape))
    design = numpy.column_stack([numpy.eye(3)[crew], numpy.eye(3)[day][:, 1:]])
    fit = statsmodels.api.GLM(
        found.ravel(),
        design,
        exposure=numpy.full(9, 200),
        family=statsmodels.api.families.Poisson(),
    ).fit()
    share = fit.mu / 200
    spread = ((found.ravel() - fit.mu) ** 2 / (200 * share * (1 - share))).sum()
    ratio = spread / result.design_effect / 4
    assert result.design_effect == 1.0 and fit.df_resid == 4
    # Score of crew A: 162 against the third of each day, of 400 fruit beside it.
    expected = found.sum() / 3
    pooled = found.sum(axis=0) / 600
    variance = (pooled * (1 - pooled) * 200 * 2 / 3 * 600 / 599).sum()
    score = (found[0].sum() - expected) / (variance * ratio) ** 0.5
    p_value = min(1, 3 * 2 * scipy.stats.t.sf(score, 4))
    one = result.crews[0]
    assert one.reason == "days_not_told" and one.p_value == pytest.approx(p_value, rel=1e-6)
