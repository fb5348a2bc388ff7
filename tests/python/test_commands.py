"""The command line: exit codes, sentences instead of tracebacks, files left."""

from __future__ import annotations

import json
import re
import subprocess
import sys

import pytest
from sample_season import SEASON
from season_folders import BLOCKS, CLEARED, POLICY, oven_table, ripe_oven, write_files

from maturity.plain_text import as_sentence
from maturity.season.declarations import TABLES

ONE_BLOCK = {
    "blocks": "block,cultivar\nRiver,Amberlee\n",
    "policy": POLICY,
    "sprays": CLEARED,
    "oven": oven_table(ripe_oven()),
}


def run(*arguments, cwd):
    return subprocess.run(
        [sys.executable, "-m", "maturity", *map(str, arguments)],
        cwd=cwd,
        capture_output=True,
        text=True,
        timeout=300,
    )


@pytest.fixture
def season(tmp_path):
    return write_files(tmp_path / "season", **ONE_BLOCK)


def test_sound_season_ends_with_0_and_fits_80_columns(season, tmp_path):
    done = run("score", season, cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    assert max(len(line) for line in done.stdout.splitlines()) <= 80
    assert re.search(r"\d+ in 100 chance that the rule is met", done.stdout)
    assert "ready" in done.stdout


def test_results_go_to_the_folder_of_results(season, tmp_path):
    run("score", season, "--json", tmp_path / "a.json", "--csv", tmp_path / "a.csv", cwd=tmp_path)
    results = season / "results"
    assert {path.name for path in results.iterdir()} >= {"score.json", "score.csv"}
    assert (results / "score.json").read_bytes() == (tmp_path / "a.json").read_bytes()
    data = json.loads((tmp_path / "a.json").read_text())
    assert data["blocks"][0]["decision"] == "ready"
    assert (tmp_path / "a.csv").read_text().startswith("block,date,")


def test_results_elsewhere_leave_the_season_untouched(season, tmp_path):
    done = run("score", season, "--results", tmp_path / "out", cwd=tmp_path)
    assert done.returncode == 0
    assert {path.suffix for path in season.iterdir()} == {".csv"}
    assert (tmp_path / "out" / "score.json").exists()


def test_something_left_out_ends_with_1_and_names_it(season, tmp_path):
    with open(season / "oven.csv", "a", encoding="utf-8") as file:
        file.write("River,11,2026-11-03,1,40,60,39,\n")
    done = run("score", season, cwd=tmp_path)
    assert done.returncode == 1
    assert "oven.csv, row 22" in re.sub(r"\s+", " ", done.stdout)


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (("score", "nowhere"), "no season folder 'nowhere'"),
        (("report", "nowhere"), "no season folder 'nowhere'"),
        (("measure", "nowhere.jpg"), "no photo or folder 'nowhere.jpg'"),
        (("score",), "Missing argument"),
        (("score", "season", "--threads", "-1"), "-1"),
        (("score", "season", "--as-of", "soon"), "'soon'; expected a day as 2026-11-10 or"),
        (("forecast", "season", "--first-day", "1.12."), "'1.12.'; expected a day as 2026-11-10"),
        (("score", "season", "--calibration", "season/oven.csv"), "is no calibration"),
        (("unheard-of",), "No such command"),
    ],
)
def test_a_users_mistake_ends_with_2_and_a_sentence(season, tmp_path, arguments, sentence):
    done = run(*arguments, cwd=tmp_path)
    assert done.returncode == 2
    assert sentence in " ".join(done.stderr.split())
    assert "Traceback" not in done.stderr


def test_unusable_season_ends_with_2_and_all_reasons(tmp_path):
    folder = write_files(tmp_path / "season", blocks=BLOCKS.replace("cultivar", "kultivar"))
    done = run("score", folder, cwd=tmp_path)
    assert done.returncode == 2 and "Traceback" not in done.stderr
    assert "blocks.csv" in done.stderr


def test_unwritable_results_end_with_2(season, tmp_path):
    (tmp_path / "file").write_text("")
    done = run("score", season, "--results", tmp_path / "file" / "out", cwd=tmp_path)
    assert done.returncode == 2 and "Traceback" not in done.stderr


def test_names_are_never_read_as_markup(tmp_path):
    files = {name: text.replace("River", "[bold]River") for name, text in ONE_BLOCK.items()}
    done = run("score", write_files(tmp_path / "season", **files), cwd=tmp_path)
    assert done.returncode == 0
    assert "[bold]River" in done.stdout


def test_start_makes_a_folder_that_is_read_after_filling_in(tmp_path):
    done = run("start", "new", cwd=tmp_path)
    assert done.returncode == 0
    assert (tmp_path / "new" / "board.pdf").read_bytes().startswith(b"%PDF")
    assert run("score", "new", cwd=tmp_path).returncode == 2
    for name, text in ONE_BLOCK.items():
        header = (tmp_path / "new" / f"{name}.csv").read_text().strip().split(",")
        lines = text.splitlines()
        given = lines[0].split(",")
        with open(tmp_path / "new" / f"{name}.csv", "a", encoding="utf-8") as file:
            for line in lines[1:]:
                cells = dict(zip(given, line.split(",")))
                file.write(",".join(cells.get(column, "") for column in header) + "\n")
    assert run("score", "new", cwd=tmp_path).returncode == 0


@pytest.mark.parametrize(
    ("note", "said"),
    [
        ("oven sample of fruit 1", "Oven sample of fruit 1"),
        ("policy.csv leaves it blank", "policy.csv leaves it blank"),
        ("outside_calibration: far off", "outside_calibration: far off"),
        ("", ""),
    ],
)
def test_a_note_begins_like_a_sentence_but_for_names(note, said):
    assert as_sentence(note) == said


def test_every_column_says_what_goes_there(tmp_path):
    run("start", "season", cwd=tmp_path)
    text = (tmp_path / "season" / "EXAMPLES.txt").read_text("utf-8")
    for table in TABLES:
        section = text[text.index(f"{table.file}: ") :].partition("\n\n")[0]
        for column in table.columns:
            assert column.meaning, (table.file, column.name)
            assert f"    {column.name}: {column.meaning}; " in section
    # Words of programmers are for cells that break the rule.
    assert "control" not in text


def test_start_changes_nothing_that_is_there(tmp_path):
    run("start", "new", cwd=tmp_path)
    (tmp_path / "new" / "blocks.csv").write_text("mine")
    done = run("start", "new", cwd=tmp_path)
    assert done.returncode == 2 and "nothing was changed" in done.stderr
    assert (tmp_path / "new" / "blocks.csv").read_text() == "mine"


def test_forecast_needs_two_visits_and_says_so(season, tmp_path):
    done = run("forecast", season, "--json", tmp_path / "f.json", cwd=tmp_path)
    assert done.returncode == 1
    assert "one visit" in done.stdout
    first = oven_table(ripe_oven(13.9), day="2026-10-24")
    (season / "oven.csv").write_text(first + oven_table(ripe_oven(14.6)).split("\n", 1)[1])
    done = run("forecast", season, "--json", tmp_path / "f.json", cwd=tmp_path)
    assert done.returncode == 0 and "in 100" in done.stdout
    (forecast,) = json.loads((tmp_path / "f.json").read_text())["forecasts"]
    assert [len(forecast["visits"]), forecast["block"]] == [2, "River"]


def test_version_names_what_it_rests_on(tmp_path):
    assert "numpy" in run("--version", cwd=tmp_path).stdout


def test_flags_on_the_screen_are_explained_once_and_only_those(tmp_path):
    done = run("measure", SEASON / "photos" / "Weir" / "IMG_1534.jpg", cwd=tmp_path)
    said = " ".join(done.stdout.split())
    assert done.returncode == 1 and said.count("blurred: The photo is not sharp") == 1
    assert "too_dark:" not in said
    assert max(len(line) for line in done.stdout.splitlines()) <= 80
