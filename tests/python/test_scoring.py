"""A season folder to decisions: joins, gates, what is left out."""

from __future__ import annotations

import datetime
import json

import pytest
from season_folders import BLOCKS, CLEARED, OVEN_HEADER, POLICY, oven_table, ripe_oven, write_files

import maturity
from maturity.blocks import METER_SLOPE
from maturity.joining import join_fruit
from maturity.photo_places import place_photos
from maturity.visit_scoring import DEFAULT_DESCRIPTORS, score_visit

GOOD = {"blocks": BLOCKS, "policy": POLICY, "sprays": CLEARED, "oven": oven_table(ripe_oven())}


def score(folder, **changes):
    return maturity.score_season(write_files(folder, **{**GOOD, **changes}))


def only(result):
    assert len(result.visits) == 1
    return result.visits[0]


def fake_fruit(number, *, usable=True, tile=False, flags=(), **descriptors):
    return {
        "fruit": number,
        "numbered_by_tile": tile,
        "usable": usable,
        "flags": list(flags),
        "outline_px": [[0, 0], [0, 9], [9, 9]],
        "length_mm": None,
        "descriptors": descriptors,
    }


def fake_photo(*fruits, **changes):
    """What measuring one photo gives, as JSON holds it."""
    measurement = {
        "sha256": None,
        "error": None,
        "flags": [],
        "taken_at": None,
        "code_text": None,
        "fruits": list(fruits),
    }
    return {**measurement, **changes}


def season_with_photos(folder, *names, **files):
    season_folder = write_files(folder, **{**GOOD, **files})
    for name in names:
        path = season_folder / "photos" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(name.encode())
    return maturity.read_season(season_folder)


def test_ripe_cleared_block_is_ready(tmp_path):
    visit = only(score(tmp_path))
    assert visit.decision == "ready"
    assert visit.estimate.readiness > 90
    # Mean of 17.5 + 0.11 * ((7 tree + 3 i) mod 10) over the hand-made fruit, by hand: 17.995.
    low, high = visit.estimate.mean_dm_interval
    assert low < 17.995 < high
    assert visit.used["fruit_with_oven"] == 20 and visit.used["trees"] == 10
    assert visit.readiness_sentence().endswith("in 100 chance that the rule is met")


def test_a_visit_shows_itself_in_one_line(tmp_path):
    shown = repr(only(score(tmp_path)))
    assert shown.startswith("<BlockVisit 'River', 2026-11-03: ready, ") and len(shown) < 100


def test_score_agrees_with_the_estimate_made_by_hand(tmp_path):
    visit = only(score(tmp_path))
    fruit = sorted(ripe_oven(), key=lambda one: (str(one[0]), one[1]))
    alone = maturity.estimate_block(
        [tree for tree, _, _ in fruit],
        oven=[maturity.dry_matter_pct(40, 60, round(40 + 0.2 * dm, 4)) for _, _, dm in fruit],
        minimum_dm_pct=15,
    )
    assert visit.estimate.readiness == alone.readiness
    assert visit.estimate.mean_dm_interval == alone.mean_dm_interval


def test_missing_spray_record_overrides_ready(tmp_path):
    visit = only(score(tmp_path, sprays=CLEARED.splitlines()[0] + "\n"))
    assert visit.decision == "not_cleared"
    assert visit.estimate.decision == "ready"
    assert "no row for block River" in visit.reason_sentences()[0]


def test_application_after_the_last_visit_is_not_overlooked(tmp_path):
    row = "River,2026-11-05 08:00,Anything,7,24,,A. Person,2026-11-05\n"
    visit = only(score(tmp_path, sprays=CLEARED + row))
    assert visit.decision == "not_cleared"
    assert visit.clearance.clear_from == datetime.datetime(2026, 11, 12, 8)


def test_later_application_does_not_rewrite_an_earlier_visit(tmp_path):
    first = oven_table(ripe_oven(), day="2026-10-24")
    second = oven_table(ripe_oven()).split("\n", 1)[1]
    row = "River,2026-10-30 08:00,Anything,7,24,,A. Person,2026-10-30\n"
    result = score(tmp_path, oven=first + second, sprays=CLEARED + row)
    assert [visit.decision for visit in result.visits] == ["ready", "not_cleared"]
    assert [visit.latest for visit in result.visits] == [False, True]


def test_as_of_a_later_day_the_period_is_over(tmp_path):
    row = "River,2026-11-05 08:00,Anything,7,24,,A. Person,2026-11-05\n"
    folder = write_files(tmp_path, **{**GOOD, "sprays": CLEARED + row})
    late = maturity.score_season(folder, as_of=datetime.datetime(2026, 11, 12, 8))
    assert only(late).decision == "ready"


def test_few_oven_fruit_never_make_a_block_ready(tmp_path):
    visit = only(score(tmp_path, oven=oven_table(ripe_oven()[:4])))
    assert visit.decision == "sample_more"
    assert any("oven" in sentence for sentence in visit.reason_sentences())


def test_each_row_of_policy_is_scored(tmp_path):
    rows = POLICY + "River,far,mean,19,,0.8,invented policy,2026-09-01\n"
    result = score(tmp_path, policy=rows)
    assert [(v.market, v.rule, v.decision) for v in result.visits] == [
        (None, "share", "ready"),
        ("far", "mean", "not_yet"),
    ]
    assert result.visits[1].confidence == 0.8


def test_block_without_policy_or_without_data_says_so(tmp_path):
    result = score(tmp_path)
    assert result.silent_blocks == {"Hill": "no photo and no reading of this block could be used"}
    result = score(tmp_path, policy=POLICY.splitlines()[0] + "\n")
    assert result.visits == []
    assert "policy.csv has no row" in result.silent_blocks["River"]


def test_replicates_count_as_one_fruit_and_far_ones_are_doubted(tmp_path):
    rows = "River,1,2026-11-03,1,40,60,43.52,2\n"
    oven = OVEN_HEADER + "River,1,2026-11-03,1,40,60,43.42,1\n" + rows
    visit = only(score(tmp_path, oven=oven + oven_table(ripe_oven()[2:]).split("\n", 1)[1]))
    first = visit.fruit[0]
    # 17.1 and 17.6 %: mean 17.35, 0.5 apart.
    assert first["oven_dm_pct"] == pytest.approx(17.35, abs=1e-9)
    assert visit.used["fruit_with_oven"] == 19
    assert any("0.50 % apart" in note for note in visit.notes)


def test_still_drying_is_a_state_and_not_a_reading(tmp_path):
    result = score(tmp_path, oven=GOOD["oven"] + "River,11,2026-11-03,1,40,60,,1\n")
    visit = only(result)
    assert result.left_out == []
    assert visit.used["fruit_still_drying"] == 1
    assert visit.used["fruit_with_oven"] == 20
    assert any("still drying" in note for note in visit.notes)


def test_meter_with_most_readings_comes_first_and_the_other_has_its_own_bias(tmp_path):
    header = "block,tree,date,fruit,meter,dm_pct\n"
    one = "".join(f"River,{t},2026-11-03,{f},A,{dm + 1}\n" for t, f, dm in ripe_oven())
    other = "".join(f"River,{t},2026-11-03,{f},B,{dm + 5}\n" for t, f, dm in ripe_oven()[:6])
    visit = only(score(tmp_path, meter=header + other + one))
    assert visit.meter == "A" and visit.other_meters == ["B"]
    assert visit.used["fruit_with_meter"] == 20
    assert visit.left_out == []
    assert any("6 fruit read with meter B" in note for note in visit.notes)
    assert visit.estimate.meter_bias[0] == pytest.approx(1.0, abs=0.3)
    assert visit.meter_biases()["B"][0] == pytest.approx(5.0, abs=0.7)
    # Seasons do not take a meter's slope for exact; here it is 1, and 20 pairs say so.
    slope, sd = visit.estimate.meter_slope
    assert METER_SLOPE[0] < slope < 1.1 and 0 < sd < METER_SLOPE[1]


def test_excluded_tree_is_left_out_by_name(tmp_path):
    trees = "block,row,tree,excluded\n" + "".join(
        f"River,1,{t},{'yes' if t == 3 else 'no'}\n" for t in range(1, 11)
    )
    result = score(tmp_path, trees=trees)
    assert only(result).used["fruit_with_oven"] == 18
    assert sum("marks this tree as excluded" in one.reason for one in result.left_out) == 2


def test_two_visits_give_a_forecast(tmp_path):
    first = oven_table(ripe_oven(14.0), day="2026-10-27")
    second = oven_table(ripe_oven(14.7)).split("\n", 1)[1]
    result = score(tmp_path, oven=first + second)
    (outlook,) = result.outlooks
    assert 0 < outlook.forecast.gain_per_week < 1.5
    assert outlook.chance_on(datetime.date(2026, 11, 24)) > outlook.chance_on(
        datetime.date(2026, 11, 3)
    )


def test_json_holds_no_nan_and_the_promised_fields(tmp_path):
    result = score(tmp_path)
    text = json.dumps(result.to_dict(), allow_nan=False)
    (block,) = json.loads(text)["blocks"]
    for name in (
        "mean_dm_pct mean_dm_sd mean_dm_interval share_mature share_interval readiness decision "
        "reasons flags psi_mean psi_sd spread_sd meter_bias p_noshape clearance used left_out"
    ).split():
        assert name in block
    assert len(block["fruit"]) == 20
    assert result.to_frame().shape[0] == 1


def test_scoring_twice_gives_the_same_and_changes_no_file(tmp_path):
    folder = write_files(tmp_path / "season", **GOOD)
    before = {path.name: path.read_bytes() for path in folder.iterdir()}
    one = maturity.score_season(folder, results=tmp_path / "out")
    two = maturity.score_season(folder, results=tmp_path / "out")
    assert one.to_dict() == two.to_dict()
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before


# --- photos and readings -------------------------------------------------------------------------


def test_photo_and_readings_meet_by_block_tree_date_and_fruit(tmp_path):
    season = season_with_photos(tmp_path, "River/1/2026-11-03/a.jpg")
    photos = place_photos(
        season,
        {"River/1/2026-11-03/a.jpg": fake_photo(fake_fruit(1, elongation=1.4), fake_fruit(2))},
    )
    fruit, left_out = join_fruit(season, photos)
    day = datetime.date(2026, 11, 3)
    joined = next(one for one in fruit if one.key == ("River", "1", day, 1))
    assert joined.shape == {"elongation": 1.4} and joined.oven is not None
    assert left_out == []


def test_photos_csv_wins_over_code_folder_and_exif(tmp_path):
    name = "River/9/a.jpg"
    table = "photo,block,tree\n" + f"{name},Hill,4\n"
    season = season_with_photos(tmp_path, name, photos=table)
    photo = fake_photo(code_text="River/7/2026-11-01", taken_at="2026-11-02T08:00:00")
    (placed,) = place_photos(season, {name: photo})
    assert (placed.block, placed.tree, placed.date) == ("Hill", "4", datetime.date(2026, 11, 1))
    assert placed.sources == {
        "block": "photos.csv",
        "tree": "photos.csv",
        "date": "the code on the board",
    }
    assert any("says tree 7" in note for note in placed.notes)


@pytest.mark.parametrize(
    ("photo", "reason"),
    [
        (fake_photo(taken_at=None), "its date is not known"),
        (fake_photo(error="cut short"), "cut short"),
        (fake_photo(code_text="Moon/1/2026-11-03"), "not in blocks.csv"),
        (fake_photo(taken_at="2026-11-03T08:00", flags=["same_board"]), "already counted"),
    ],
)
def test_photo_that_cannot_be_used_says_why(tmp_path, photo, reason):
    folder = "x" if photo["code_text"] else "River/1"
    season = season_with_photos(tmp_path, f"{folder}/a.jpg")
    (placed,) = place_photos(season, {f"{folder}/a.jpg": photo})
    assert reason in placed.left_out


def test_fruit_count_that_differs_keeps_readings_apart(tmp_path):
    name = "a.jpg"
    table = f"photo,block,tree,date,fruit_count\n{name},River,1,2026-11-03,3\n"
    season = season_with_photos(tmp_path, name, photos=table)
    photos = place_photos(season, {name: fake_photo(fake_fruit(1, elongation=1.4), fake_fruit(2))})
    fruit, left_out = join_fruit(season, photos)
    assert all(one.photo is None for one in fruit)
    assert "2 fruit found, photos.csv says 3" in left_out[0].reason


def test_first_fruit_counts_on_but_a_tile_is_a_tile(tmp_path):
    table = "photo,block,tree,date,first_fruit\na.jpg,River,1,2026-11-03,7\n"
    season = season_with_photos(tmp_path, "a.jpg", photos=table)
    photos = place_photos(season, {"a.jpg": fake_photo(fake_fruit(1), fake_fruit(9, tile=True))})
    fruit, _ = join_fruit(season, photos)
    assert {one.key[3] for one in fruit if one.photo} == {7, 9}


def test_two_boards_with_the_same_numbers_do_not_count_twice(tmp_path):
    names = ("River/1/2026-11-03/a.jpg", "River/1/2026-11-03/b.jpg")
    season = season_with_photos(tmp_path, *names)
    worse = fake_photo(fake_fruit(1, usable=False, flags=["occluded"]), sha256="1")
    better = fake_photo(fake_fruit(1, elongation=1.4), sha256="2")
    fruit, left_out = join_fruit(season, place_photos(season, dict(zip(names, (worse, better)))))
    assert [one.photo.name for one in fruit if one.photo] == [names[1]]
    assert "no fruit may count twice" in left_out[0].reason and names[0] in left_out[0].what


def copies(tmp_path, *names):
    season = season_with_photos(tmp_path, *names)
    photo = fake_photo(fake_fruit(1), sha256="1")
    return [one.left_out for one in place_photos(season, dict.fromkeys(names, photo))]


def test_the_same_file_twice_counts_once(tmp_path):
    first, second = copies(tmp_path, "River/1/2026-11-03/a.jpg", "River/1/2026-11-03/b.jpg")
    assert first is None and second == "the same file as River/1/2026-11-03/a.jpg"


def test_the_same_file_under_two_trees_counts_for_neither(tmp_path):
    first, second = copies(tmp_path, "River/1/2026-11-03/a.jpg", "River/2/2026-11-03/b.jpg")
    assert "River/2/2026-11-03/b.jpg, which stands under River, tree 2, 2026-11-03" in first
    assert "River/1/2026-11-03/a.jpg, which stands under River, tree 1, 2026-11-03" in second


def test_a_copy_that_belongs_nowhere_takes_nothing_from_the_other(tmp_path):
    stray, placed = copies(tmp_path, "2026-11-03/a.jpg", "River/1/2026-11-03/a.jpg")
    assert "its block is not known" in stray and placed is None


def test_fruit_that_is_not_usable_gives_no_shape_but_keeps_its_reading(tmp_path):
    name = "River/1/2026-11-03/a.jpg"
    season = season_with_photos(tmp_path, name)
    bad = fake_fruit(1, usable=False, flags=["cut_by_frame"], elongation=1.4)
    fruit, left_out = join_fruit(season, place_photos(season, {name: fake_photo(bad)}))
    assert fruit[0].shape is None and fruit[0].oven is not None
    assert left_out[0].reason == "cut_by_frame"


COMPLETE = dict.fromkeys(DEFAULT_DESCRIPTORS, 0.1)


def score_photos(season, fruit):
    """Scores the only visit of block River, its photos handed in as measured."""
    name = next(iter(season.photos))
    sample, _ = join_fruit(season, place_photos(season, {name: fake_photo(*fruit)}))
    return score_visit(
        season.tables["blocks"].rows[0],
        datetime.date(2026, 11, 3),
        season.tables["policy"].rows[0],
        sample,
        sprays=season.tables["sprays"].rows,
        latest=True,
        calibration=None,
        descriptors=DEFAULT_DESCRIPTORS,
        as_of=None,
    )


def test_usable_decides_and_an_unknown_side_alone_does_not(tmp_path):
    """A mature fruit without a beak has an unknown side; its shape may still be scored."""
    season = season_with_photos(tmp_path, "River/1/2026-11-03/a.jpg")
    visit = score_photos(
        season,
        [
            fake_fruit(1, flags=["pose_uncertain"], **COMPLETE),
            fake_fruit(2, usable=False, flags=["not_flat"], **COMPLETE),
        ],
    )
    assert visit.used["fruit_with_shape"] == 1
    assert [one["fruit"] for one in visit.fruit if one["has_shape"]] == [1]


def test_fruit_that_lacks_a_descriptor_counts_as_no_photo_and_is_named(tmp_path):
    season = season_with_photos(tmp_path, "River/1/2026-11-03/a.jpg")
    visit = score_photos(
        season,
        [fake_fruit(1, **COMPLETE), fake_fruit(2, **{**COMPLETE, "nose_roundness": None})],
    )
    assert visit.used["fruit_with_shape"] == 1
    (left,) = visit.left_out
    assert left.what == "shape of fruit 2 of tree 1 (photo River/1/2026-11-03/a.jpg)"
    assert left.reason == "nose_roundness cannot be told from this outline"


def test_default_descriptors_exist_in_the_library():
    known = {one["name"] for one in maturity._core.descriptor_registry()}
    assert set(DEFAULT_DESCRIPTORS) <= known and len(DEFAULT_DESCRIPTORS) <= 8


def test_object_beyond_the_numbered_fruit_does_not_shift_numbers(tmp_path):
    table = "photo,block,tree,date,fruit_count\na.jpg,River,1,2026-11-03,2\n"
    season = season_with_photos(tmp_path, "a.jpg", photos=table)
    leaf = fake_fruit(3, usable=False, flags=["not_fruit_like"])
    found = fake_photo(fake_fruit(1, tile=True), fake_fruit(2, tile=True), leaf)
    (placed,) = place_photos(season, {"a.jpg": found})
    assert placed.left_out is None
    assert "1 found without a tile" in placed.notes[0]
    fruit, _ = join_fruit(season, [placed])
    assert [one.key[3] for one in fruit if one.photo] == [1, 2]


def test_usable_fruit_without_its_tile_means_the_numbers_cannot_be_trusted(tmp_path):
    table = "photo,block,tree,date,fruit_count\na.jpg,River,1,2026-11-03,2\n"
    season = season_with_photos(tmp_path, "a.jpg", photos=table)
    found = fake_photo(fake_fruit(1, tile=True), fake_fruit(2, tile=True), fake_fruit(3))
    (placed,) = place_photos(season, {"a.jpg": found})
    assert "3 fruit found, photos.csv says 2" in placed.left_out
