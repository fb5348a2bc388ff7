"""The sample season: complete, consistent with itself, its readings near their truth."""

from __future__ import annotations

import csv
import datetime
import hashlib
from collections import Counter, defaultdict

import numpy as np
import pytest
from sample_season import (
    PHOTOS,
    SAMPLE_IMAGES,
    SEASON,
    SEASON_TRUTH,
    TRUTH,
    place,
    rows,
    true_fruit,
)

import maturity


def test_manifest_lists_every_photo_with_its_checksum():
    with (SAMPLE_IMAGES / "MANIFEST.csv").open(encoding="utf-8", newline="") as file:
        listed = {row["photo"]: row for row in csv.DictReader(file, strict=True)}
    there = {path.relative_to(SAMPLE_IMAGES).as_posix() for path in PHOTOS.rglob("*.jpg")}
    assert set(listed) == there
    for name, row in listed.items():
        content = (SAMPLE_IMAGES / name).read_bytes()
        assert row["sha256"] == hashlib.sha256(content).hexdigest(), name
        assert int(row["bytes"]) == len(content), name
        assert "tools/render_season" in row["origin"] and row["licence"], name


def test_everything_together_stays_within_twenty_megabytes():
    files = [
        path
        for path in SAMPLE_IMAGES.rglob("*")
        if path.is_file() and SEASON / "results" not in path.parents
    ]
    assert sum(path.stat().st_size for path in files) <= 20_000_000


def test_season_reads_without_a_problem():
    season = maturity.read_season(SEASON)
    assert [str(problem) for problem in season.problems] == []
    assert len(season.blocks) == 3
    assert set(season.photos) == set(TRUTH)


def test_there_is_enough_in_every_block_and_visit():
    photos, fruit, trees = defaultdict(int), defaultdict(int), defaultdict(set)
    for truth in TRUTH.values():
        key = (truth["block"], truth["date"])
        photos[key] += 1
        fruit[key] += len(truth["fruits"])
        trees[key].add(truth["tree"])
        assert 4 <= len(truth["fruits"]) <= 8, truth["photo"]
    for row in rows("meter"):
        trees[row["block"], row["date"]].add(row["tree"])
    assert len(TRUTH) >= 24 and len(photos) == 6
    assert min(photos.values()) >= 5 and min(fruit.values()) >= 24
    assert min(len(one) for one in trees.values()) >= 6
    oven = {(*place(row), row["fruit"]) for row in rows("oven")}
    for key in photos:
        # Two of every sampled tree, whether its fruit were photographed or only metered.
        per_tree = Counter(one[1] for one in oven if (one[0], one[2]) == key)
        assert set(per_tree) == trees[key] and set(per_tree.values()) == {2}


def test_photos_table_agrees_with_what_lies_on_the_boards():
    table = {row["photo"]: row for row in rows("photos")}
    assert set(table) == set(TRUTH)
    from_card_alone = 0
    for photo, row in table.items():
        truth = TRUTH[photo]
        assert int(row["fruit_count"]) == len(truth["fruits"]), photo
        if not row["tree"]:
            from_card_alone += 1
            assert truth["tree_card"] == "/".join(place(truth)), photo
        else:
            assert place(row) == place(truth), photo
    assert from_card_alone >= 2


@pytest.mark.parametrize("table", ["oven", "meter", "fruit"])
def test_readings_belong_to_sampled_fruit_and_trees(table):
    trees = {(row["block"], row["tree"]): row for row in rows("trees")}
    photographed, on_trees = true_fruit(), {place(truth) for truth in TRUTH.values()}
    photo_of = {place(truth): photo for photo, truth in TRUTH.items()}
    seen = set()
    for row in rows(table):
        assert trees[row["block"], row["tree"]]["excluded"] == "no"
        key = (*place(row), int(row["fruit"]))
        without_photo = table in ("meter", "oven") and place(row) not in on_trees
        assert key in photographed or without_photo, key
        if row["photo"]:
            assert row["photo"] == photo_of[place(row)]
        marks = (key, row.get("replicate"), row.get("meter"))
        assert marks not in seen
        seen.add(marks)


def test_some_meter_readings_have_no_photo_and_some_weighings_no_dry_weight():
    photographed = true_fruit()
    meter = [(*place(row), int(row["fruit"])) for row in rows("meter")]
    without = sum(key not in photographed for key in meter)
    assert 0 < without < 0.2 * len(meter)
    drying = [row for row in rows("oven") if not row["dish_dried_g"]]
    assert drying and {row["date"] for row in drying} == {max(row["date"] for row in rows("oven"))}


def test_clearance_one_cleared_one_open_one_nothing_applied():
    last = max(datetime.date.fromisoformat(truth["date"]) for truth in TRUTH.values())
    state = {}
    for row in rows("sprays"):
        assert row["confirmed_by"] and row["confirmed_on"]
        if row["product"] == "none":
            state[row["block"]] = "nothing applied"
            continue
        done = datetime.datetime.fromisoformat(row["finished_at"]).date()
        end = done + datetime.timedelta(days=int(row["withholding_days"]))
        state[row["block"]] = "open" if end > last else "over"
    assert sorted(state.values()) == ["nothing applied", "open", "over"]


def test_weather_has_every_day_from_sixty_days_before_the_first_visit():
    days = [datetime.date.fromisoformat(row["date"]) for row in rows("weather")]
    visits = sorted({datetime.date.fromisoformat(truth["date"]) for truth in TRUTH.values()})
    assert days[0] <= visits[0] - datetime.timedelta(days=60) and days[-1] == visits[-1]
    assert all((b - a).days == 1 for a, b in zip(days, days[1:]))
    assert all(float(row["tmin_c"]) < float(row["tmax_c"]) for row in rows("weather"))


def test_picked_fruit_counts_add_up():
    looks: dict[tuple[str, ...], dict[str, int]] = defaultdict(dict)
    checked = {}
    for row in rows("picked"):
        look = (row["date"], row["crew"], row["bin"], row["seen_at"])
        looks[look][row["finding"]] = int(row["count"])
        assert checked.setdefault(look, int(row["fruit_checked"])) == int(row["fruit_checked"])
    for look, found in looks.items():
        worst = max(count for finding, count in found.items() if finding != "none")
        assert found["none"] + worst <= checked[look]
        assert found["none"] + found["damaged_fruit"] + found.get("immature", 0) >= checked[look]


# --- dry matter ------------------------------------------------------------------------------


def test_weighings_give_the_true_dry_matter_within_the_oven_error():
    photographed = true_fruit()
    error = []
    for row in rows("oven"):
        key = (*place(row), int(row["fruit"]))
        if row["dish_dried_g"] and key in photographed:
            grams = [float(row[name]) for name in ("dish_g", "dish_fresh_g", "dish_dried_g")]
            error.append(maturity.dry_matter_pct(*grams) - photographed[key]["dm_pct"])
    # 0.15 % is the stated error; about 80 weighings know their SD to 8 %.
    assert abs(np.mean(error)) < 0.06
    assert 0.11 < np.std(error, ddof=1) < 0.20


def test_meter_reads_high_by_its_stated_bias():
    photographed = true_fruit()
    keyed = [((*place(row), int(row["fruit"])), float(row["dm_pct"])) for row in rows("meter")]
    error = np.array([dm - photographed[key]["dm_pct"] for key, dm in keyed if key in photographed])
    assert error.mean() == pytest.approx(1.1, abs=0.25)
    assert error.std(ddof=1) == pytest.approx(0.9, abs=0.15)


def test_blocks_differ_and_gain_between_visits():
    visits = SEASON_TRUTH["block_visits"]
    by_date = defaultdict(list)
    for visit in visits:
        by_date[visit["date"]].append(visit["mean_dm_pct"])
        standard_error = 1.2 * np.sqrt(0.25 / 5 + 0.75 / visit["photographed_fruit"])
        off = visit["photographed_mean_dm_pct"] - visit["mean_dm_pct"]
        assert abs(off) < 3 * standard_error, visit
    first, second = (by_date[date] for date in sorted(by_date))
    assert all(later > earlier for earlier, later in zip(first, second))
    assert min(np.diff(second)) > 1.2


def test_shape_follows_dry_matter_only_in_part():
    """About 0.4 of the variance within a block; the parameters of true shape carry it."""
    within = []
    for visit in SEASON_TRUTH["block_visits"]:
        group = [
            fruit
            for truth in TRUTH.values()
            if (truth["block"], truth["date"]) == (visit["block"], visit["date"])
            for fruit in truth["fruits"]
        ]
        shape = np.array([fruit["shape"]["end_balance"] for fruit in group])
        within.append(np.corrcoef(shape, [fruit["dm_pct"] for fruit in group])[0, 1])
    assert np.mean(within) < -0.2  # ends become alike: the balance goes down
    stated = [visit["r_squared_signal_dm"] for visit in SEASON_TRUTH["block_visits"]]
    assert 0.25 < np.mean(stated) < 0.6
