"""The report's section about picked fruit: what it says, no markup from files, its charts."""

from __future__ import annotations

import base64
import re

from picked_files import DAYS, HEADER, PRICES, limits, line
from season_folders import BLOCKS, write_files
from test_commands import run
from test_report import EVIL, Page

import maturity
from maturity.report import render_report

CREWS = {"East": (12, 14, 13, 11), "North": (1, 3, 2, 2), "South": (2, 2, 1, 3)}


def rows(**changes):
    return "".join(
        line(crew, f"{crew[0]}{number}", count, date=DAYS[number % 3], **changes)
        for crew, counts in CREWS.items()
        for number, count in enumerate(counts)
    )


def season(folder, picked, **files):
    return write_files(folder, blocks=BLOCKS, picked=HEADER + picked, **files)


def page(folder):
    return Page(render_report(maturity.score_season(folder)))


def words(made):
    return " ".join("".join(made.text).split())


def test_section_says_who_differs_what_next_and_what_a_check_misses(tmp_path):
    folder = season(
        tmp_path,
        rows(),
        prices=PRICES,
        limits=limits(acceptable_immature=5, refused_immature=20),
    )
    made = page(folder)
    text = words(made)
    assert "East: more immature fruit than the other crews" in text
    assert "No more than chance" in text and "half the time" in text
    assert "sort: a load with 5 % immature would show so many" in text
    assert "Sap in an eye, or blisters: seek medical help." in text
    charts = [one for tag, one in made.tags if tag == "img"]
    assert len(charts) == 3 and all(len(one["alt"]) > 20 for one in charts)
    for one in charts:
        drawing = base64.b64decode(one["src"].split(",", 1)[1])
        assert drawing.startswith(b"<?xml") and b"<svg" in drawing
    assert all(b - a <= 1 for a, b in zip(made.headings, made.headings[1:]))


def test_names_in_the_section_are_never_markup(tmp_path):
    evil = '"' + EVIL.replace('"', '""') + '"'
    made = page(season(tmp_path, rows() + line(evil, 9, 3)))
    assert not any(tag == "script" for tag, _ in made.tags)
    assert EVIL in "".join(made.text)
    for tag, one in made.tags:
        if tag == "img":
            drawing = base64.b64decode(one["src"].split(",", 1)[1]).decode()
            assert "<script" not in drawing


def test_season_without_picked_fruit_has_no_section(tmp_path):
    folder = write_files(
        tmp_path, blocks=BLOCKS, oven="block,tree,date,fruit,dm_pct\nRiver,1,2026-11-03,1,15\n"
    )
    assert "Picked fruit" not in words(page(folder))
    # `maturity start` leaves a header only.
    (folder / "picked.csv").write_text(HEADER)
    assert "Picked fruit" not in words(page(folder))


def test_unusable_table_is_said(tmp_path):
    bad = line("East", 1, 99)
    folder = season(tmp_path, bad, oven="block,tree,date,fruit,dm_pct\nRiver,1,2026-11-03,1,15\n")
    assert "no row that can be used" in words(page(folder))


def test_command_writes_charts(tmp_path):
    folder = season(tmp_path / "s", rows())
    done = run("check", folder, "--charts", tmp_path / "c", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    names = sorted(path.name for path in (tmp_path / "c").iterdir())
    assert names == ["crews.svg", "days-1.svg", "passing.svg"]
    assert re.search(r"<svg", (tmp_path / "c" / "passing.svg").read_text())
