"""The sample season, measured and scored once for all tests of one run."""

from __future__ import annotations

import atexit
import functools
import shutil
import tempfile
from pathlib import Path

from sample_photos import SAMPLE_SEASON

import maturity
from maturity.scoring import SeasonScore


@functools.cache
def measured_results() -> Path:
    """A folder of results that holds the measurements of every photo."""
    folder = Path(tempfile.mkdtemp(prefix="maturity-tests-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    maturity.score_season(SAMPLE_SEASON, results=folder)
    return folder


@functools.cache
def sample_score() -> SeasonScore:
    """The score of the sample season; not to be changed."""
    return maturity.score_season(SAMPLE_SEASON, results=measured_results())
