"""The command line as a whole: completion, JSON everywhere, 80 columns, a next step."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import click
import pytest
from click.testing import CliRunner
from season_folders import (
    BLOCKS,
    OVEN_HEADER,
    POLICY,
    oven_row,
    oven_table,
    ripe_oven,
    write_files,
)
from walk_seasons import tree_table, walk_season

from maturity import score_season
from maturity.commands import command
from maturity.commands.program import error_words, mistake
from maturity.season import read_season

WORK = [name for name in command.commands if name != "completion"]


def run(*arguments, cwd, **environment):
    return subprocess.run(
        [sys.executable, "-P", "-m", "maturity", *map(str, arguments)],
        cwd=cwd,
        env={**os.environ, **environment},
        capture_output=True,
        text=True,
        timeout=120,
    )


def shown(*arguments):
    return CliRunner().invoke(command, list(arguments), prog_name="maturity").output


@pytest.mark.parametrize("name", WORK)
def test_every_command_has_json_an_example_and_fits_80_columns(name):
    options = [word for one in command.commands[name].params for word in one.opts]
    assert "--json" in options, name
    text = shown(name, "--help")
    assert "Example: maturity " + name in " ".join(text.split())
    assert max(map(len, text.splitlines())) <= 80
    for one in command.commands[name].params:
        if isinstance(one, click.Option):
            assert one.help, (name, one.name)


def test_help_names_every_command_whole_and_in_the_order_of_the_work():
    text = shown("--help")
    assert "..." not in text.split("\n", 1)[1] and max(map(len, text.splitlines())) <= 80
    places = [text.index(f"\n  {name} ") for name in command.commands]
    assert places == sorted(places)


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_completion_prints_a_script(shell):
    text = shown("completion", shell)
    assert "_MATURITY_COMPLETE" in text and f"maturity completion {shell}" in text


def test_bash_completes_commands_and_options(tmp_path):
    asked = {"_MATURITY_COMPLETE": "bash_complete", "COMP_CWORD": "1"}
    done = run(cwd=tmp_path, COMP_WORDS="maturity gu", **asked)
    assert done.stdout.split() == ["plain,guide"]
    asked["COMP_CWORD"] = "2"
    done = run(cwd=tmp_path, COMP_WORDS="maturity guide --pr", **asked)
    assert done.stdout.split() == ["plain,--practice"]
    # The script itself is one that bash can read.
    (tmp_path / "script").write_text(shown("completion", "bash"))
    assert subprocess.run(["bash", "-n", tmp_path / "script"], check=False).returncode == 0


def test_a_slip_of_the_finger_is_answered_with_what_was_meant():
    text = shown("scroe", "x")
    assert "Did you mean score" in text and "guide" in text
    assert "Did you mean" not in shown("xyzzy")


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["score", "nowhere"], "maturity score --help"),
        (["guide", "nowhere", "--block", "B", "--out", "x"], "maturity guide --help"),
        (["walk", "nowhere", "--block", "B", "--out", "x"], "maturity walk --help"),
    ],
)
def test_a_mistake_gets_a_sentence_and_a_next_step(tmp_path, arguments, words):
    done = run(*arguments, cwd=tmp_path)
    assert done.returncode == 2 and "Traceback" not in done.stderr
    assert "no season folder 'nowhere'" in " ".join(done.stderr.split())
    assert "Next: " in done.stderr and words in done.stderr
    assert max(map(len, done.stderr.splitlines())) <= 80


def test_a_long_message_keeps_its_lines_and_its_names():
    text = mistake("first line\n" + "word " * 40 + "a/very/long/" + "x" * 90, None)
    assert text.splitlines()[0] == "maturity: first line"
    assert "a/very/long/" + "x" * 90 in text.splitlines()


def test_an_error_of_the_system_names_the_file_without_a_number():
    said = error_words(FileNotFoundError(2, "No such file or directory", "here/x.csv"))
    assert said.startswith("here/x.csv: no such file or directory; check the path")
    assert error_words(FileNotFoundError("no season folder")) == "no season folder"


def test_start_and_board_say_as_json_what_they_made(tmp_path):
    season, said = str(tmp_path / "season"), str(tmp_path / "said.json")
    shown("start", season, "--json", said)
    made = json.loads(Path(said).read_text(encoding="utf-8"))
    assert all((tmp_path / "season" / name).exists() for name in made["files"])
    shown("board", "--out", str(tmp_path), "--tree", "Weir/1", "--json", said)
    made = json.loads(Path(said).read_text(encoding="utf-8"))
    assert made["cards"] == ["Weir/1"] and (tmp_path / made["files"][1]).exists()


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["report", ".", "--as-of", "yesterday"], "expected a day as 2026-11-10"),
        (["scor", "x"], "Did you mean score?"),
        (["score", ".", "--threads", "-4"], "-4 is not 0 or more"),
        (["score", ".", "--thread", "2"], "No such option: --thread. Did you mean --threads?"),
        (["walk", "."], "Missing option '--block'"),
        (["measure", ".", "--max-megapixels", "9999"], "is not 0.01 to 2000"),
    ],
)
def test_a_slip_in_an_option_fits_80_columns_and_says_what_next(tmp_path, arguments, words):
    done = run(*arguments, cwd=tmp_path, COLUMNS="80")
    assert done.returncode == 2 and done.stdout == ""
    lines = done.stderr.splitlines()
    assert max(map(len, lines)) <= 80 and lines[0].startswith("maturity: ")
    assert words in " ".join(" ".join(lines).split())
    assert lines[-1].startswith("Next: maturity ") and "Usage: maturity" in done.stderr


def test_mistakes_in_tables_that_a_command_does_not_use_are_not_its_exit_code(tmp_path):
    """A walk and a forecast do not rest on picked.csv; score, which reads all, still tells."""
    season = walk_season(tmp_path / "season", picked="date,block\nnever,River\n")
    asked = ["walk", season, "--block", "River", "--date", "2026-11-10", "--trees", "9"]
    done = run(*asked, "--seed", "1", "--out", tmp_path / "out", cwd=tmp_path)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "problems in files that this does not use" in done.stdout
    (season / "trees.csv").write_text(tree_table() + "River,7,61,north,124.8,no\n")
    done = run(*asked, "--seed", "1", "--out", tmp_path / "out2", cwd=tmp_path)
    assert done.returncode == 1 and "north" in done.stdout


def test_a_new_season_says_what_is_missing_one_after_the_other(tmp_path):
    season = tmp_path / "season"
    shown("start", str(season))

    def said(*arguments):
        return " ".join(run(*arguments, cwd=tmp_path).stderr.split())

    assert "below the header, as River,Amberlee" in said("score", season)
    (season / "blocks.csv").write_text("block,cultivar\n,\nRiver,\n")
    assert "none of its rows could be used" in said("score", season)
    (season / "blocks.csv").write_text("block,cultivar\nRiver,Amberlee\n")
    board = said("board", "--season", season, "--block", "River", "--out", tmp_path)
    assert "--tree River/12" in board and "maturity walk" in board
    assert "expected photos under photos/" in said("score", season)
    (season / "oven.csv").write_bytes(b"PK\x03\x04 a workbook")
    assert "save the sheet as CSV UTF-8" in said("score", season)
    (season / "blocks.csv").rename(season / "blocks.xlsx")
    assert "there is blocks.xlsx, which is not read" in said("score", season)


def test_photos_that_are_not_there_at_all_are_named_in_one_line_for_each_table(tmp_path):
    files = {"blocks": BLOCKS, "oven": oven_table(ripe_oven())}
    rows = "".join(f"IMG_{one}.jpg,River,{one},2026-11-03\n" for one in range(1, 31))
    season = read_season(write_files(tmp_path, **files, photos="photo,block,tree,date\n" + rows))
    assert [str(one) for one in season.problems] == [
        "photos.csv, column photo: expected photo files under photos/, which holds none; 30 rows "
        "name photos (rows left out)"
    ]


def test_visits_of_one_tree_each_are_asked_about(tmp_path):
    rows = "".join(
        oven_row(tree, fruit, 16.0 + fruit / 10, day=f"2026-{9 + tree:02}-03")
        for tree in (1, 2, 3)
        for fruit in (1, 2)
    )
    files = {"blocks": BLOCKS, "policy": POLICY, "oven": OVEN_HEADER + rows}
    notes = score_season(write_files(tmp_path, **files)).notes()
    assert any("River: 3 visits of one tree each" in note for note in notes)
    files["oven"] += oven_row(9, 1, 16.0, day="2026-10-03")
    assert not score_season(write_files(tmp_path, **files)).notes()
