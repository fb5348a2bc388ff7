"""`maturity check`: the screen, its exit codes, and seasons that cannot be read."""

from __future__ import annotations

import json

import pytest
from picked_files import HEADER, line, three_crews
from sample_season import SEASON, rows
from season_folders import BLOCKS, write_files
from test_commands import run

import maturity


def test_command_on_the_sample_season_fits_80_columns(tmp_path):
    """Counts of the sample season added up here from its file."""
    done = run("check", SEASON, "--json", tmp_path / "c.json", cwd=tmp_path)
    assert "Traceback" not in done.stderr and done.returncode == 0
    assert max(len(text) for text in done.stdout.splitlines()) <= 80
    assert "Same days:" in done.stdout and "Beside" not in done.stdout
    crews = json.loads((tmp_path / "c.json").read_text())["crews"]
    for name, one in crews.items():
        mine = [
            row for row in rows("picked") if row["crew"] == name and row["finding"] == "immature"
        ]
        assert one["immature"] == sum(int(row["count"]) for row in mine)
        assert one["checked"] == sum(int(row["fruit_checked"]) for row in mine)
    assert "seek help" in done.stdout
    assert "Tern: more immature fruit than the other crews" in " ".join(done.stdout.split())


def test_only_names_fold_in_a_narrow_table(tmp_path):
    """Numbers stay whole: an interval broken over two lines is read wrong."""
    crews = ("Crew of the northern valley", "Second crew of the ridge")
    lines = [
        line(crew, f"{crew[0]}{n}", 40 * (crew[0] == "S") + n) for crew in crews for n in (1, 2)
    ]
    folder = write_files(tmp_path, blocks=BLOCKS, picked=HEADER + "".join(lines))
    shown = run("check", folder, cwd=tmp_path).stdout.splitlines()
    assert max(len(text) for text in shown) <= 80
    table = shown[
        : shown.index(
            next(text for text in shown if text.startswith("  ") and "Same days" not in text)
        )
    ]
    rows = [text for text in table if " of 100 " in text]
    assert len(rows) == 2 and all(" to " in row for row in rows)
    assert not any(text.strip() in ("to", "tell") for text in shown)


def test_command_names_doubts_with_1_and_no_row_with_2(tmp_path):
    folder = write_files(
        tmp_path / "s", blocks=BLOCKS, picked=HEADER + "".join(three_crews()) + line("east", 9, 99)
    )
    done = run("check", folder, cwd=tmp_path)
    assert done.returncode == 1 and "Problems in the files (1)" in done.stdout
    folder = write_files(tmp_path / "t", blocks=BLOCKS, picked=HEADER + line("East", 9, 99))
    done = run("check", folder, cwd=tmp_path)
    assert done.returncode == 2 and "Traceback" not in done.stderr and "picked.csv" in done.stderr


@pytest.mark.parametrize(
    ("picked", "sentence"),
    [
        (
            (HEADER + line("East", 1, 3, checked=99999999999)).encode(),
            "column fruit_checked: found '99999999999'; expected a whole number from 1 to 100000",
        ),
        (
            (HEADER + line("East", 1, 3, load_bins=10**12)).encode(),
            "column load_bins: found '1000000000000'; expected a whole number from 1 to 10000",
        ),
        (
            HEADER.replace("count,", "").encode() + b"2026-11-24,River,East,1\n",
            "picked.csv, row 1, column count: found",
        ),
        ((HEADER + line("Andr\u00e9", 1, 3)).encode("latin-1"), "text in UTF-8"),
    ],
)
def test_what_cannot_be_read_is_named_without_a_traceback(tmp_path, picked, sentence):
    folder = write_files(tmp_path / "s", blocks=BLOCKS, picked=HEADER)
    (folder / "picked.csv").write_bytes(picked)
    done = run("check", folder, cwd=tmp_path)
    assert done.returncode == 2 and "Traceback" not in done.stderr
    assert sentence in " ".join(done.stderr.split())


def test_score_still_reads_a_season_of_picked_fruit_only(tmp_path):
    folder = write_files(tmp_path, blocks=BLOCKS, picked=HEADER + line("East", 1, 2))
    assert maturity.score_season(folder).silent_blocks.keys() == {"River", "Hill"}
