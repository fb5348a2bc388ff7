"""The mixed model of R's package lme4, where R and it are there; they are not asked for."""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

_SCRIPT = """
suppressPackageStartupMessages(library(lme4))
fruit <- read.csv(commandArgs(TRUE)[1])
fit <- function() lmer(dm ~ a + b + c + d + e + (1 | tree), fruit, REML = TRUE)
made <- suppressMessages(fit())
spent <- replicate(21, {
  start <- proc.time()
  suppressMessages(fit())
  sum((proc.time() - start)[1:2])
})
cat(1000 * mean(spent), fixef(made)[["a"]], sigma(made), "\\n")
"""


def fit(fruit: Any) -> tuple[float, float, float] | None:
    """Processor time (ms, mean of 21), slope of `a` and residual SD; None where it is not there.

    `fruit` is a data frame with columns a to e, tree and dm.
    """
    if shutil.which("Rscript") is None:
        print("Left out: R lme4 (no Rscript; Debian: r-cran-lme4)", file=sys.stderr)
        return None
    with tempfile.TemporaryDirectory() as folder:
        table = Path(folder) / "fruit.csv"
        fruit.to_csv(table, index=False)
        command = ["Rscript", "--vanilla", "-e", _SCRIPT, str(table)]
        done = subprocess.run(command, capture_output=True, text=True)
    if done.returncode != 0:
        why = done.stderr.strip().splitlines() or ["no message"]
        print(f"Left out: R lme4 ({why[0]})", file=sys.stderr)
        return None
    ms, slope, sd = (float(one) for one in done.stdout.split())
    return ms, slope, sd
