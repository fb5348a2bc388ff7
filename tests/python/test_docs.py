"""The docs: every flag has an entry, the tutorial runs, the site builds without a warning."""

from __future__ import annotations

import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner
from measured_season import measured_results

from maturity import _core
from maturity.commands import command

TOP = Path(__file__).parents[2]
DOCS = TOP / "docs"


def states_in_the_code() -> dict[str, str]:
    """Every state of the library that has a sentence, read from the sources, with its file."""
    found = {}
    for path in sorted((TOP / "libmaturity").glob("*/*.cpp")):
        text = path.read_text("utf-8")
        if "std::string_view sentence(" not in text and "LoadStep step" not in text:
            continue
        for table in re.findall(
            r"constexpr std::array<\w*Text, \d+> k\w+\{\{(.*?)\n\}\};", text, re.S
        ):
            found.update(dict.fromkeys(re.findall(r'\{\s*"([a-z_]+)"', table), path.name))
        for body in re.findall(r"std::string_view name\(\w+ \w+\) \{(.*?)\n\}", text, re.S):
            found.update(dict.fromkeys(re.findall(r'return "([a-z_]+)"', body), path.name))
    return found


def entries(page: str) -> dict[str, str]:
    """Headed entries of the page of flags, with their text."""
    parts = re.split(r"^### `([a-z_]+)`$", page, flags=re.M)[1:]
    return dict(zip(parts[::2], parts[1::2]))


#: Names of checks, explained where the checks are, and of what is as it should be.
NOT_DOUBTS = {"plain_mean", "tolerance_limit", "two_phase_regression", "finished"}


def test_every_flag_and_reason_has_an_entry_that_says_what_to_do():
    states = states_in_the_code()
    assert {*_core.photo_flag_sentences(), *_core.fruit_flag_sentences()} <= set(states)
    assert len(states) > 60
    written = entries((DOCS / "flags.md").read_text("utf-8"))
    assert sorted(set(states) - NOT_DOUBTS - set(written)) == []
    assert sorted(set(written) - set(states)) == [], "entries for what the code does not have"
    for name, text in written.items():
        assert re.search(r"\*\*Means:\*\* .{15,}", text) and re.search(
            r"\*\*Do:\*\* .{7,}", text
        ), name


def test_a_flag_without_entry_is_caught():
    page = (DOCS / "flags.md").read_text("utf-8").replace("### `blurred`", "### `softened`")
    assert "blurred" not in entries(page) and "softened" not in states_in_the_code()


def tutorial_commands() -> list[list[str]]:
    blocks = re.findall(r"```sh\n(.*?)```", (DOCS / "tutorial.md").read_text("utf-8"), re.S)
    return [shlex.split(line)[1:] for block in blocks for line in block.splitlines()]


def test_tutorial_runs_as_it_stands(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "sample-images").symlink_to(TOP / "sample-images")
    shutil.copytree(measured_results(), tmp_path / "week" / "results")
    commands = tutorial_commands()
    assert {one[0] for one in commands} == set(command.commands) - {"calibrate", "completion"}
    said = []
    for arguments in commands:
        done = CliRunner().invoke(command, arguments, prog_name="maturity")
        assert done.exit_code in (0, 1) and not isinstance(done.exception, ValueError), (
            arguments,
            done.output,
        )
        said.append(done.output)
    text = " ".join(" ".join(said).split())
    # What the tutorial tells of the results.
    told = re.search(r"Saddle is ready: (\d+) in 100 chance", (DOCS / "tutorial.md").read_text())
    assert f"Saddle, 2025-11-21: {told[1]} in 100 chance" in text
    assert "Not cleared until 2025-11-28" in text
    for name in ("walk/walk.pdf", "guide/practice.pdf", "report.html", "score.json", "fruit.csv"):
        assert (tmp_path / "week" / name).exists(), name


def test_links_between_pages_lead_somewhere():
    for page in [TOP / "README.md", *DOCS.rglob("*.md")]:
        for link in re.findall(r"\]\(([^)#]+?)(?:#[^)]*)?\)", page.read_text("utf-8")):
            if not link.startswith(("http", "mailto")):
                assert (page.parent / link).exists(), (page.name, link)


def test_site_builds_without_a_warning(tmp_path):
    pytest.importorskip("sphinx", reason="no python3-sphinx")
    source = tmp_path / "source"
    shutil.copytree(DOCS, source)
    reference = [sys.executable, "-P", TOP / "tools" / "docs_reference", source]
    subprocess.run(reference, check=True)
    # The builder "dummy" reads and resolves every page, and writes none: half the time.
    build = [sys.executable, "-P", "-m", "sphinx", "-q", "-W", "--keep-going", "-b", "dummy"]
    done = subprocess.run([*build, source, tmp_path / "site"], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    assert "## guide" in (source / "api" / "commands.md").read_text("utf-8")
    assert "degree_days" in (source / "api" / "cpp" / "forecast.rst").read_text("utf-8")
    # Wrong on purpose: a page that nothing leads to is a warning.
    (source / "stray.md").write_text("# Stray\n", "utf-8")
    again = subprocess.run([*build, source, tmp_path / "site"], capture_output=True, text=True)
    assert again.returncode != 0 and "stray" in again.stderr
