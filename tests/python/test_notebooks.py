"""The notebooks run from a clean state and are stored without output."""

from __future__ import annotations

import json
import os
import shutil
import sys
from pathlib import Path

import nbformat
import pytest
from nbclient import NotebookClient
from measured_season import measured_results
from sample_photos import SAMPLE_SEASON

NOTEBOOKS = sorted((Path(__file__).parents[2] / "notebooks").glob("*.ipynb"))
#: Each notebook must run within this, a second run of the same photos not counted.
LONGEST_SECONDS = 120


def test_there_are_notebooks():
    assert len(NOTEBOOKS) == 6


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_notebook_begins_with_a_question_and_ends_with_limits(path):
    cells = nbformat.read(path, as_version=4).cells
    assert cells[0].source.startswith("# ") and "?" in cells[0].source.splitlines()[0]
    assert "**Question of a" in cells[0].source
    assert cells[-1].source.startswith("## Limits") and "The answer" in cells[-3].source


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_notebook_is_stored_without_output(path):
    for cell in nbformat.read(path, as_version=4).cells:
        assert not cell.get("outputs") and cell.get("execution_count") is None


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_notebook_runs_to_an_answer(path, tmp_path, monkeypatch):
    if "cluster" in path.stem:
        for package in ("pyarrow.dataset", "fsspec", "distributed"):
            pytest.importorskip(package, reason=f"NOT TESTED: {path.name} needs {package}")
    monkeypatch.setenv("MATURITY_SEASON", str(SAMPLE_SEASON))
    # Measured once for all tests: measuring has its own.
    shutil.copytree(measured_results(), tmp_path / "results")
    monkeypatch.setenv("MATURITY_RESULTS", str(tmp_path / "results"))
    monkeypatch.setenv("JUPYTER_PATH", str(tmp_path / "jupyter"))
    kernel = tmp_path / "jupyter" / "kernels" / "this-python"
    kernel.mkdir(parents=True)
    # The kernel of the machine may be another Python than the one that has the package.
    command = [sys.executable, "-m", "ipykernel_launcher", "-f", "{connection_file}"]
    (kernel / "kernel.json").write_text(json.dumps({"argv": command, "display_name": "this"}))
    notebook = nbformat.read(path, as_version=4)
    client = NotebookClient(notebook, timeout=LONGEST_SECONDS, kernel_name="this-python")
    client.execute(cwd=str(tmp_path), env=dict(os.environ))
    answer = "".join(
        output.get("text", "") for output in notebook.cells[-2].outputs if "text" in output
    )
    assert "here" in answer or "cannot tell" in answer or "No information" in answer
