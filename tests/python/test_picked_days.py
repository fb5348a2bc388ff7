"""Days and bins of picked fruit: limits, what stands out, and what it costs."""

from __future__ import annotations

import csv

import pytest
from picked_files import DAYS, HEADER, PRICES, checks, line, three_crews
from season_folders import BLOCKS, write_files
from statsmodels.stats.proportion import proportion_confint
from test_commands import run

import maturity


def test_days_are_held_against_limits_and_a_single_day_tells_nothing(tmp_path):
    lines = [
        line("East", f"{day}{n}", 25 if day == DAYS[2] else 2, date=day)
        for day in DAYS
        for n in range(4)
    ]
    made = checks(tmp_path, *lines)
    assert [one["checked"] for one in made.days] == [200, 200, 200]
    assert [one["beyond_limits"] for one in made.days] == [True, True, True]
    alone = checks(tmp_path, *lines[:4])
    assert alone.days[0]["beyond_limits"] is None


def test_limits_of_days_know_how_much_bins_vary(tmp_path):
    from maturity.picked_sentences import days_notes

    def days(folder, found, names):
        lines = [
            line("East", name and f"{day}{n}", count, date=day, time=f"0{n}:00")
            for day, counts in zip(DAYS, found)
            for n, (name, count) in enumerate(zip(names, counts))
        ]
        return checks(folder, *lines)

    found = [(2, 14, 0, 12), (0, 9, 1, 10), (16, 2, 3, 11)]
    made = days(tmp_path / "a", found, "abcd")
    row = made.days[0]
    assert row["design_effect_known"] and row["design_effect"] == pytest.approx(
        maturity._core.compare_crews(
            [
                maturity._core.BinCheck(
                    block="B", method=day, date=day, crew="E", bin=str(n), checked=50, found=count
                )
                for day, counts in zip(DAYS, found)
                for n, count in enumerate(counts)
            ]
        ).design_effect
    )
    half = 3 * (row["centre"] * (1 - row["centre"]) * row["design_effect"] / 200) ** 0.5
    assert row["limits"][1] == pytest.approx(row["centre"] + half)
    assert f"where {row['design_effect']:.1f} fruit of a bin tell" in days_notes(made)[0]
    # One look of a day tells nothing of bins: 50 fruit vary 2.47 times as much, as assumed.
    unknown = days(tmp_path / "b", [(9,), (2,), (3,)], "a")
    assert unknown.days[0]["design_effect"] == pytest.approx(2.47)
    assert not unknown.days[0]["design_effect_known"]
    assert "one drawn by itself (assumed" in days_notes(unknown)[0]
    assert "A single day" in days_notes(days(tmp_path / "c", [(9,)], "a"))[0]


def test_a_single_day_is_shown_with_its_cost(tmp_path):
    folder = write_files(tmp_path, blocks=BLOCKS, picked=HEADER + line("East", 1, 5), prices=PRICES)
    shown = " ".join(run("check", folder, cwd=tmp_path).stdout.split())
    assert f"{DAYS[0]}, River, pole, immature fruit of 1 bins looked into or stated: 100 (" in shown
    assert "A single day of a block and method has no limits" in shown


def test_bins_that_stand_out_are_shown_and_all_are_written(tmp_path):
    lines = [line(crew, f"{crew}{n}", n % 3) for crew in ("East", "North") for n in range(5)]
    lines += [line("North", "odd", 18), line("South", "s", 4, finding="rub")]
    folder = write_files(tmp_path / "s", blocks=BLOCKS, picked=HEADER + "".join(lines))
    done = run("check", folder, "--csv", tmp_path / "b.csv", cwd=tmp_path)
    shown = " ".join(done.stdout.split())
    assert f"{DAYS[0]} River North odd 18 of 50 36.0 22.9 to 50.8 1.6" in shown
    assert "1 of 11 bins has more immature fruit than the others" in shown
    table = list(csv.DictReader((tmp_path / "b.csv").open(encoding="utf-8")))
    assert len(table) == 12
    odd = next(row for row in table if row["bin"] == "odd")
    assert (odd["immature"], odd["immature_stands_out"], odd["damaged"]) == ("18", "yes", "")
    assert [row["immature_stands_out"] for row in table].count("yes") == 1
    # Blank, not 0, where nobody looked.
    south = next(row for row in table if row["bin"] == "s")
    assert (south["immature"], south["damaged"], south["damaged_share"]) == ("", "4", "0.08")
    assert float(odd["immature_low"]) == pytest.approx(proportion_confint(18, 50, 0.05, "beta")[0])


def test_no_bin_standing_out_is_said(tmp_path):
    from maturity.picked_bins import bins_sentence, standing_out

    made = checks(tmp_path / "a", *three_crews())
    assert standing_out(made.bins, "damaged_fruit") == []
    assert bins_sentence(made.bins, "damaged_fruit") is None
    alike = checks(tmp_path / "b", *[line("East", n, n % 3) for n in range(8)])
    assert bins_sentence(alike.bins, "immature").startswith("No bin of 8 has more immature fruit")
    alone = checks(tmp_path / "c", line("East", 1, 40))
    assert "No bin has another" in bins_sentence(alone.bins, "immature")


def test_cost_of_a_bin_by_hand(tmp_path):
    """8 of 200 are 4 %: of 500 kg 20 kg, at 3 a kg 60."""
    prices = "what,value,unit\nprice,3,money/kg\nfruit mass,0.4,kg\nbin mass,500,kg\n"
    cost = checks(tmp_path, *three_crews(), prices=prices).to_dict()["crews"]["North"]
    assert cost["cost_per_bin"]["mass_kg"]["value"] == pytest.approx(20)
    assert cost["cost_per_bin"]["money"]["value"] == pytest.approx(60)
    wrong = checks(tmp_path, *three_crews(), prices=prices.replace("0.4,kg", "400,g"))
    assert wrong.costs == {} and "'fruit mass'" in wrong.notes[0]


def test_every_bin_has_its_share_and_exact_interval(tmp_path):
    bins = checks(tmp_path, *three_crews()).to_dict()["bins"]
    assert len(bins) == 12 and bins[0]["crew"] == "East" and bins[0]["share"] == 12 / 50
    assert bins[0]["interval"] == pytest.approx(proportion_confint(12, 50, 0.05, "beta"))


def test_day_costs_all_bins_that_are_known(tmp_path):
    """50 of 300 in 6 bins of 1,000 fruit: 1,000 fruit, 400 kg, 1,200."""
    lines = [line("East", n, 5) for n in range(2)] + [line("North", n, 10) for n in (3, 4, 5, 6)]
    (day,) = checks(tmp_path, *lines, prices=PRICES).days
    assert (day["bins"], day["all_bins_known"]) == (6, False)
    assert day["cost"].fruit.value == pytest.approx(1000)
    assert day["cost"].money.value == pytest.approx(1200)


def test_day_costs_only_bins_judged_in_that_way(tmp_path):
    lines = [line("East", n, 5, load="L", load_bins=9) for n in range(2)]
    lines += [line("East", n, 10, by="eye", load="L", load_bins=9) for n in (3, 4, 5)]
    days = {row["method"]: row for row in checks(tmp_path, *lines, prices=PRICES).days}
    assert {method: row["bins"] for method, row in days.items()} == {
        "pole": 2,
        "pole (by eye or not said)": 3,
    }
    assert days["pole"]["cost"].fruit.value == pytest.approx(200)
    assert not days["pole"]["all_bins_known"]


def test_money_has_no_false_precision():
    from maturity import _core
    from maturity.picked_costs import as_known, cost_text

    cost = _core.cost_of_share(
        0.1234, (0.05, 0.23), fruit=12345, fruit_mass_g=380, price_per_kg=3.1, fruit_per_tray=None
    )
    assert as_known(cost.money) == (1800, 700, 3300)
    assert "worth 1800 (700 to 3300)" in cost_text(cost)


def test_what_there_is_is_never_rounded_to_nothing():
    from maturity import _core
    from maturity.picked_costs import as_known, cost_text

    cost = _core.cost_of_share(
        0.002, (0.0001, 0.2), fruit=1000, fruit_mass_g=400, price_per_kg=3, fruit_per_tray=None
    )
    assert as_known(cost.fruit) == (2, pytest.approx(0.1), 200)
    assert cost_text(cost).startswith("2 (0.1 to 200) fruit, 0.8 (0.04 to 80) kg, worth 2 (0.1 to")
    tiny = _core.cost_of_share(
        0.01, (1e-7, 0.09), fruit=1000, fruit_mass_g=400, price_per_kg=None, fruit_per_tray=None
    )
    assert "(0.0001 to 90) fruit" in cost_text(tiny), "no powers of ten"
