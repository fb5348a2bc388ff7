"""The season folder: what is read, and that every mistake is named with its place."""

from __future__ import annotations

import dataclasses
import io
from pathlib import Path

import pytest
from rich.console import Console
from season_folders import BLOCKS, CLEARED, OVEN_HEADER, POLICY, oven_table, write_files

import maturity
from maturity.commands.screen import show_list
from maturity.season import SeasonError
from maturity.season.problems import alike_problems

GOOD_OVEN = oven_table([(1, 1, 15.0), (2, 1, 16.0), (3, 1, 17.0)])


def read(folder: Path, **files: str):
    return maturity.read_season(
        write_files(folder, **{"blocks": BLOCKS, "oven": GOOD_OVEN, **files})
    )


def only_problem(season):
    assert len(season.problems) == 1, [str(one) for one in season.problems]
    return season.problems[0]


def test_a_sound_folder_has_no_problem(tmp_path):
    season = read(tmp_path, policy=POLICY, sprays=CLEARED)
    assert season.problems == []
    assert season.blocks == ["River", "Hill"]
    assert season.frame("oven")["dish_dried_g"].tolist() == [43.0, 43.2, 43.4]
    assert "oven 3" in repr(season)


def test_missing_folder_is_an_os_error(tmp_path):
    with pytest.raises(FileNotFoundError, match="no season folder"):
        maturity.read_season(tmp_path / "nowhere")


def test_empty_folder_names_blocks_csv(tmp_path):
    with pytest.raises(SeasonError, match="blocks.csv"):
        maturity.read_season(tmp_path)


def test_blocks_without_any_data_are_refused(tmp_path):
    with pytest.raises(SeasonError, match="photos under photos/"):
        maturity.read_season(write_files(tmp_path, blocks=BLOCKS))


def test_missing_column_is_named_with_a_near_miss(tmp_path):
    season = read(
        tmp_path, meter="block,tree,date,fruit,meter,dm_percent\nRiver,1,2026-11-03,1,A,15\n"
    )
    problem = only_problem(season)
    assert (problem.file, problem.row, problem.column) == ("meter.csv", 1, "dm_pct")
    assert "'dm_percent' meant" in problem.expected
    assert problem.effect == "file left out"


@pytest.mark.parametrize(
    ("cell", "expected"),
    [
        ('"15,3"', "decimal point"),
        ("fifteen", "decimal point"),
        ("nan", "decimal point"),
        ("1e999", "from 3 to 40"),
        ("153", "from 3 to 40"),
        ("-15", "from 3 to 40"),
        ("", "decimal point"),
    ],
)
def test_wrong_number_is_named_with_its_place(tmp_path, cell, expected):
    header = "block,tree,date,fruit,meter,dm_pct\n"
    text = f"{header}River,1,2026-11-03,1,A,15\nRiver,1,2026-11-03,2,A,{cell}\n"
    season = read(tmp_path, meter=text)
    problem = only_problem(season)
    assert (problem.file, problem.row, problem.column) == ("meter.csv", 3, "dm_pct")
    assert problem.value == cell.strip('"')
    assert expected in problem.expected
    assert len(season.tables["meter"].rows) == 1


def test_all_problems_come_at_once(tmp_path):
    season = read(
        tmp_path,
        meter="block,tree,date,fruit,meter,dm_pct\nRiver,1,3.11.2026,x,A,15\n"
        "Moon,1,2026-11-03,1,A,15\n",
        weather="date,tmin_c,tmax_c\n2026-11-03,30,20\n",
    )
    found = {(one.file, one.row, one.column) for one in season.problems}
    assert found == {
        ("meter.csv", 2, "date"),
        ("meter.csv", 2, "fruit"),
        ("meter.csv", 3, "block"),
        ("weather.csv", 2, "tmin_c"),
    }


@pytest.mark.parametrize(
    ("dish", "fresh", "dried"),
    [
        ("40", "60", "39"),
        ("40", "60", "61"),
        ("40", "40", ""),
        ("60", "40", "50"),
        ("40", "60", "60.1"),
    ],
)
def test_impossible_weighing_is_left_out(tmp_path, dish, fresh, dried):
    row = f"River,9,2026-11-03,1,{dish},{fresh},{dried},\n"
    season = read(tmp_path, oven=GOOD_OVEN + row)
    problem = only_problem(season)
    assert (problem.file, problem.row) == ("oven.csv", 5)
    assert len(season.tables["oven"].rows) == 3


def test_blank_dried_weight_means_still_drying_and_is_no_problem(tmp_path):
    season = read(tmp_path, oven=GOOD_OVEN + "River,9,2026-11-03,1,40,60,,\n")
    assert season.problems == []
    assert season.tables["oven"].rows[-1]["dish_dried_g"] is None


def test_oven_row_without_any_weight_is_named(tmp_path):
    season = read(tmp_path, oven=GOOD_OVEN + "River,9,2026-11-03,1,,,,\n")
    assert "dish_g and dish_fresh_g, or dm_pct" in only_problem(season).expected


def test_row_written_twice_counts_once(tmp_path):
    again = oven_table([(1, 1, 15.0)]).splitlines()[1] + "\n"
    season = read(tmp_path, oven=GOOD_OVEN + again)
    problem = only_problem(season)
    assert problem.row == 5 and "same as row 2" in problem.expected
    assert len(season.tables["oven"].rows) == 3


def test_rows_that_contradict_each_other_are_all_left_out(tmp_path):
    other = oven_table([(1, 1, 19.0)]).splitlines()[1] + "\n"
    season = read(tmp_path, oven=GOOD_OVEN + other)
    assert [one.row for one in season.problems] == [2, 5]
    assert [row["tree"] for row in season.tables["oven"].rows] == ["2", "3"]


def test_unknown_photo_is_named_and_the_reading_kept(tmp_path):
    text = "block,tree,date,fruit,photo,dm_pct\nRiver,1,2026-11-03,1,lost.jpg,15\n"
    season = read(tmp_path, oven=text)
    problem = only_problem(season)
    assert (problem.column, problem.value) == ("photo", "lost.jpg")
    assert season.tables["oven"].rows[0]["photo"] is None


def test_photo_row_without_a_file_is_left_out(tmp_path):
    season = read(tmp_path, photos="photo,block,tree\nlost.jpg,River,1\n")
    assert only_problem(season).effect == "row left out"
    assert season.tables["photos"].rows == []


@pytest.mark.parametrize(
    ("files", "meant"),
    [(["River/a.JPG"], "; is 'River/a.JPG' meant?"), (["River/a.jpg", "Hill/a.jpg"], "")],
)
def test_photo_row_in_the_wrong_folder_names_the_photo_meant(tmp_path, files, meant):
    folder = write_files(
        tmp_path, blocks=BLOCKS, oven=GOOD_OVEN, photos="photo,block\na.jpg,River\n"
    )
    for name in files:
        (folder / "photos" / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / "photos" / name).write_bytes(b"")
    (problem,) = maturity.read_season(folder).problems
    assert problem.expected == f"a photo file under photos/ with this name{meant}"


def test_semicolons_decimal_comma_and_byte_order_mark_are_recognised(tmp_path):
    text = "\ufeffblock;tree;date;fruit;meter;dm_pct\r\nRiver;1;2026-11-03;1;A;15,3\r\n"
    season = read(tmp_path, meter=text)
    assert season.problems == []
    assert season.tables["meter"].rows[0]["dm_pct"] == 15.3
    assert any("semicolon, decimal comma, with byte order mark" in one for one in season.notes())


def test_semicolons_with_decimal_point_are_recognised(tmp_path):
    season = read(
        tmp_path, meter="block;tree;date;fruit;meter;dm_pct\nRiver;1;2026-11-03;1;A;15.3\n"
    )
    assert season.problems == []
    assert season.tables["meter"].rows[0]["dm_pct"] == 15.3


def test_mixed_decimal_signs_name_the_odd_one(tmp_path):
    rows = "".join(f"River;1;2026-11-03;{n};A;15,{n}\n" for n in range(1, 4))
    text = "block;tree;date;fruit;meter;dm_pct\n" + rows + "River;1;2026-11-03;9;A;15.9\n"
    problem = only_problem(read(tmp_path, meter=text))
    assert (problem.row, problem.value) == (5, "15.9") and "decimal comma" in problem.expected


def test_unknown_columns_are_kept_and_named(tmp_path):
    text = "block,tree,date,fruit,meter,dm_pct,remark\nRiver,1,2026-11-03,1,A,15.3,wet\n"
    season = read(tmp_path, meter=text)
    assert season.problems == []
    assert season.frame("meter")["remark"].tolist() == ["wet"]
    assert any("kept but not used: remark" in one for one in season.notes())


def test_too_many_cells_leave_the_row_out(tmp_path):
    text = "date,tmin_c,tmax_c\n2026-11-03,20,5,30,5\n2026-11-04,20.5,30.5\n"
    season = read(tmp_path, weather=text)
    assert only_problem(season).row == 2
    assert len(season.tables["weather"].rows) == 1


def test_file_that_is_not_utf8_is_named(tmp_path):
    folder = write_files(tmp_path, blocks=BLOCKS, oven=GOOD_OVEN)
    (folder / "meter.csv").write_bytes(b"block,caf\xe9\n")
    problem = only_problem(maturity.read_season(folder))
    assert problem.file == "meter.csv" and "UTF-8" in problem.expected


def test_unclosed_quote_is_named(tmp_path):
    season = read(tmp_path, meter='block,tree,date,fruit,meter,dm_pct\nRiver,"1,2026\n')
    assert only_problem(season).file == "meter.csv"


def test_tree_that_the_map_does_not_know_is_named_but_kept(tmp_path):
    trees = "block,row,tree\nRiver,1,1\nRiver,1,2\n"
    season = read(tmp_path, trees=trees)
    problem = only_problem(season)
    assert (problem.column, problem.value, problem.effect) == ("tree", "3", "row kept")
    assert len(season.tables["oven"].rows) == 3


def test_header_only_file_is_an_empty_table(tmp_path):
    season = read(tmp_path, meter="block,tree,date,fruit,meter,dm_pct\n")
    assert season.problems == [] and season.tables["meter"].present


def test_oven_header_of_the_tests_is_a_declared_one():
    from maturity.season.declarations import OVEN

    assert set(OVEN_HEADER.strip().split(",")) <= {column.name for column in OVEN.columns}


def test_a_blank_cheek_beside_a_named_one_is_named(tmp_path):
    header = "block,tree,date,fruit,cheek,dm_pct\n"
    rows = ["River,1,2026-11-03,1,a,15", "River,1,2026-11-03,1,,16", "River,2,2026-11-03,1,,16"]
    season = read(tmp_path, oven=header + "\n".join(rows) + "\n")
    problem = only_problem(season)
    assert (problem.file, problem.row, problem.column) == ("oven.csv", 3, "cheek")
    assert "row 2 names 'a'" in problem.expected and "kept" in problem.effect
    assert len(season.tables["oven"].rows) == 3


def test_a_meter_spelt_two_ways_is_named_once_and_kept_apart(tmp_path):
    header = "block,tree,date,fruit,meter,setting,dm_pct\n"
    names = ["M1,,15", "M1,,15", "m 1,,15", "m 1,,15", "M1,,16", "M2,,15", "M2,b,15"]
    rows = [f"River,{tree},2026-11-03,1,{name}" for tree, name in enumerate(names, 1)]
    season = read(tmp_path, meter=header + "\n".join(rows) + "\n")
    problem = only_problem(season)
    assert (problem.file, problem.row, problem.value) == ("meter.csv", 4, "m 1")
    assert problem.expected == "'M1' as in row 2, if it is the same one"
    assert problem.effect.startswith("2 rows kept, counted as a meter of its own")
    assert {row["meter"] for row in season.tables["meter"].rows} == {"M1", "m 1", "M2"}


def test_one_number_for_every_fruit_is_one_line(tmp_path):
    rows = [f"River,1,2026-11-03,1,{10 + n / 1000}\n" for n in range(2000)]
    folder = write_files(
        tmp_path, blocks=BLOCKS, oven="block,tree,date,fruit,dm_pct\n" + "".join(rows)
    )
    with pytest.raises(SeasonError) as caught:
        maturity.read_season(folder)
    assert len(caught.value.problems) == 2001
    # Each row with the numbers of all the others was a message of 20 MB.
    assert len(str(caught.value)) < 600
    assert (
        "oven.csv, rows 2, 3, 4 and 1997 more, column block, tree, date, fruit, replicate, cheek, "
        "hours: found 'River, 1, 2026-11-03, 1, , , '; expected one row for this; rows 2, 3, 4 and "
        "1997 more contradict each other"
    ) in str(caught.value)


def test_what_must_not_be_blank_says_so(tmp_path):
    problem = only_problem(read(tmp_path, trees="block,row,tree\nRiver,1,\n"))
    assert (problem.row, problem.value) == (2, "")
    assert problem.expected == "a text, not a blank cell"


def test_a_screen_counts_the_problems_it_does_not_show():
    said = Console(file=io.StringIO(), width=80)
    show_list(said, "Problems", [f"line {n}" for n in range(22)], "see", [1] * 20 + [5, 7])
    assert "Problems (32):" in said.file.getvalue() and "and 12 more" in said.file.getvalue()


def test_cells_that_are_wrong_alike_are_one_line(tmp_path):
    bad = ["x", "-1", "99", "x"]
    rows = [f"River,{tree},2026-11-03,1,{dm}\n" for tree, dm in enumerate(bad, 1)]
    folder = write_files(
        tmp_path, blocks=BLOCKS, oven="block,tree,date,fruit,dm_pct\n" + "".join(rows)
    )
    meter = (
        "block,tree,date,fruit,meter,dm_pct\nRiver,1,2026-11-03,1,A,99\nRiver,2,2026-11-03,1,A,x\n"
    )
    write_files(folder, meter=meter + "River,3,2026-11-03,1,A,15\n")
    found = maturity.read_season(folder)
    assert len(found.problems) == 6  # JSON and tables have each of them
    of_oven, of_meter = map(str, alike_problems(found.problems))
    assert of_oven.startswith(
        "oven.csv, rows 2, 3, 4 and 5, column dm_pct: found 'x', '-1' and '99';"
    )
    assert of_oven.endswith("(rows left out)")
    assert of_meter.startswith(
        "meter.csv, rows 2 and 3, column dm_pct: found '99' and 'x'; expected"
    )
    # One stays as it was, and what asks for something else is a line of its own.
    (alone,) = map(str, alike_problems(found.problems[:1]))
    assert alone.startswith("oven.csv, row 2, column dm_pct: found 'x'; expected")
    assert alone.endswith("(row left out)")
    other = dataclasses.replace(found.problems[1], expected="something else")
    assert len(alike_problems([found.problems[0], other])) == 2
    many = [dataclasses.replace(found.problems[0], row=2 * n, value=str(n)) for n in range(1, 31)]
    assert "rows 2, 4, 6 and 27 more, column dm_pct: found '1', '2', '3' and 27 others;" in str(
        alike_problems(many)[0]
    )
