#!/usr/bin/env python3
"""Prints each budget of the library as a ratio to something general, measured in one run.

tools/benchmarks/run builds what this calls. Nothing here passes or fails: it is read by people.
"""

from __future__ import annotations

import argparse
import json
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import lme4

TOP = Path(__file__).resolve().parents[2]
BUILD = TOP / "build"
SEASON = TOP / "sample-images" / "season" / "photos"
PHOTO = SEASON / "Weir" / "IMG_1211.jpg"

Row = tuple[str, str, str, str, str]


def main() -> None:
    """Measure and print."""
    argparse.ArgumentParser(description=__doc__.splitlines()[0]).parse_args()
    rows: list[Row] = []
    with tempfile.TemporaryDirectory() as folder:
        photo = Path(folder) / "phone.jpg"
        as_phone_photo(photo)
        for part in (
            lambda: photo_rows(photo),
            batch_rows,
            descriptor_rows,
            block_rows,
            mcmc_rows,
            script_rows,
        ):
            rows.extend(part())
    print_table(rows)


def as_phone_photo(target: Path) -> None:
    """A sample photo as a phone gives it: 12 megapixels, grain, JPEG."""
    import numpy as np
    from PIL import Image

    picture = Image.open(PHOTO)
    size = (4000, 3000) if picture.width > picture.height else (3000, 4000)
    pixels = np.asarray(picture.resize(size, Image.Resampling.BICUBIC), dtype=np.float32)
    grain = np.random.default_rng(20261125).normal(0.0, 2.0, pixels.shape)
    Image.fromarray(np.clip(pixels + grain, 0, 255).astype(np.uint8)).save(target, quality=92)


def google(name: str, *arguments: str) -> dict[str, float]:
    """CPU times of a benchmark program by benchmark, the medians of five, ms."""
    out = subprocess.run(
        [BUILD / "tools" / "benchmarks" / name, "--benchmark_format=json"]
        + ["--benchmark_repetitions=5", "--benchmark_report_aggregates_only=true", *arguments],
        check=True,
        capture_output=True,
        text=True,
    ).stdout
    scale = {"ns": 1e-6, "us": 1e-3, "ms": 1.0, "s": 1e3}
    return {
        one["run_name"]: one["cpu_time"] * scale[one["time_unit"]]
        for one in json.loads(out)["benchmarks"]
        if one.get("aggregate_name") == "median"
    }


def photo_rows(photo: Path) -> list[Row]:
    """Photo to descriptors against OpenCV's decode, and memory against the decoded picture."""
    times = google("bench_photo", str(photo))
    ours, theirs = times["photo_to_descriptors"], times["opencv_decode"]
    stages = ", ".join(
        f"{name.removeprefix('stage_').replace('_', ' ')} {ms:.1f}"
        for name, ms in times.items()
        if name.startswith("stage_")
    )
    print(f"Photo of 12 megapixels, ms: {stages}", file=sys.stderr)
    peak = peak_megabytes(photo) - peak_megabytes(None)
    decoded = 4000 * 3000 * 3 / 1e6
    return [
        (
            "photo to descriptors, 12 MP, 6 fruit",
            f"{ours:.0f} ms",
            f"OpenCV decode {theirs:.0f} ms",
            f"{ours / theirs:.2f} x",
            "at most 1.3 x",
        ),
        (
            "memory of a worker",
            f"{peak:.0f} MB",
            f"decoded photo {decoded:.0f} MB",
            f"{peak / decoded:.2f} x",
            "at most 2.5 x",
        ),
    ]


def peak_megabytes(photo: Path | None) -> float:
    """Largest resident size of measuring one photo; None: of the program that finds none."""
    program = [str(BUILD / "tools" / "measure" / "maturity-measure"), "--threads", "1"]
    program += [str(photo)] if photo else ["--help"]
    code = (
        "import resource, subprocess, sys;"
        "subprocess.run(sys.argv[1:], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL);"
        "print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)"
    )
    out = subprocess.run(
        [sys.executable, "-c", code, *program], check=True, capture_output=True, text=True
    )
    return int(out.stdout) * 1024 / 1e6


def batch_rows() -> list[Row]:
    """The sample season's photos with one and with two threads, by turns."""
    program = str(BUILD / "tools" / "measure" / "maturity-measure")
    times: dict[int, list[float]] = {1: [], 2: []}
    for _ in range(3):
        for threads, all_times in times.items():
            start = time.perf_counter()
            subprocess.run(
                [program, str(SEASON), "--threads", str(threads)],
                check=True,
                stdout=subprocess.DEVNULL,
            )
            all_times.append(time.perf_counter() - start)
    one, two = (statistics.median(times[n]) for n in (1, 2))
    return [
        (
            "two cores against one, 33 photos",
            f"{two:.1f} s",
            f"one core {one:.1f} s",
            f"{one / two:.2f} x",
            "at least 1.8 x",
        )
    ]


def descriptor_rows() -> list[Row]:
    """Outlines of 512 points a second, and against the same in numpy."""
    import numpy as np
    from compare_numpy import describe, invented_outlines, of_library, seconds

    times = google("bench_descriptors")
    outlines = invented_outlines(60)
    ratios = [seconds(describe, outlines) / seconds(of_library, outlines) for _ in range(5)]
    return [
        (
            "outline to descriptors",
            f"{1e3 / times['describe/values']:.0f} a second",
            "the bar itself",
            "",
            "20,000 a second",
        ),
        (
            "the same with standard errors",
            f"{1e3 / times['describe/values_with_errors']:.0f} a second",
            "the bar itself",
            "",
            "5,000 a second",
        ),
        (
            "the same from Python, pose stated",
            "",
            "numpy, the same values",
            f"{np.median(ratios):.0f} x faster",
            "at least 20 x",
        ),
    ]


def block_rows() -> list[Row]:
    """One block estimate against a mixed model fitted to fruit of as many trees."""
    import numpy as np
    import pandas as pd
    import statsmodels.formula.api as smf

    times = google("bench_block_estimate")
    rng = np.random.default_rng(7)
    tree = np.repeat(np.arange(20), 3)
    fruit = pd.DataFrame(rng.normal(size=(60, 5)), columns=list("abcde")).assign(
        tree=tree, dm=16.5 + rng.normal(0, 0.6, 20)[tree] + rng.normal(size=60)
    )
    spent = []
    for _ in range(5):
        start = time.process_time()
        fitted = smf.mixedlm("dm ~ a + b + c + d + e", fruit, groups=fruit["tree"]).fit(reml=True)
        spent.append(1e3 * (time.process_time() - start))
    mixed = statistics.median(spent)
    of_r = lme4.fit(fruit)
    rows: list[Row] = []
    for name, run, bar in (
        ("block estimate, oven only", "estimate/oven_only_60_fruit", "at most 5 ms"),
        ("block estimate, with meter", "estimate/with_meter_60_fruit", "at most 15 ms"),
    ):
        ours = times[run]
        rows.append(
            (
                name,
                f"{ours:.1f} ms",
                f"statsmodels MixedLM {mixed:.0f} ms",
                f"{mixed / ours:.0f} x faster",
                bar,
            )
        )
    if of_r is not None:
        ms, slope, _ = of_r
        ours = times["estimate/oven_only_60_fruit"]
        same = f"their slopes {slope:.4f} and {fitted.params['a']:.4f}"
        rows.append(
            ("the same, oven only", f"{ours:.1f} ms", f"R lme4 {ms:.0f} ms ({same})")
            + (f"{ms / ours:.0f} x faster", "")
        )
    return rows


def mcmc_rows() -> list[Row]:
    """A block estimate with shape, oven and meter against a general-purpose sampler."""
    sys.path.insert(0, str(TOP / "tools" / "mcmc_agreement"))
    try:
        import compare
    except ImportError as error:
        print(f"Left out: MCMC ({error}; PyPI: emcee)", file=sys.stderr)
        return []
    case = next(one for one in compare.worked_cases() if one.name == "shape, oven and meter")
    spent, readiness = [], []
    for call in (
        lambda: compare.library(case),
        lambda: compare.sample(case, walkers=24, steps=1500, seed=20251125),
    ):
        call_times = []
        for _ in range(5 if not spent else 1):
            start = time.process_time()
            found = call()["readiness"]
            call_times.append(1e3 * (time.process_time() - start))
        spent.append(statistics.median(call_times))
        readiness.append(found)
    ours, (theirs, its_error) = readiness
    return [
        (
            f"block estimate, {len(case.tree)} fruit ({case.name})",
            f"{spent[0]:.1f} ms, readiness {100 * ours:.1f}",
            f"emcee {spent[1]:.0f} ms, {100 * theirs:.1f} (error {100 * its_error:.1f})",
            f"{spent[1] / spent[0]:.0f} x faster",
            "",
        )
    ]


def script_rows() -> list[Row]:
    """A plain scikit-image script for the same outlines, and how near the truth both come."""
    try:
        from plain_outlines import compare
    except ImportError as error:
        print(f"Left out: the scikit-image script ({error})", file=sys.stderr)
        return []
    ours, theirs = compare(TOP / "sample-images" / "season", BUILD)
    return [
        (
            f"outlines, mean distance over {ours.fruit} fruit",
            f"{ours.distance_px:.2f} px, {ours.found} found",
            f"scikit-image {theirs.distance_px:.2f} px, {theirs.found} found",
            f"{theirs.seconds / ours.seconds:.0f} x faster",
            "",
        )
    ]


def print_table(rows: list[Row]) -> None:
    """Columns as wide as what they hold."""
    head: Row = ("what", "ours", "against", "ratio", "bar")
    widths = [max(len(row[i]) for row in [head, *rows]) for i in range(len(head))]
    for row in [head, *rows]:
        print("  ".join(cell.ljust(width) for cell, width in zip(row, widths)).rstrip())


if __name__ == "__main__":
    main()
