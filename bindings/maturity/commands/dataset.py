"""`maturity measure --dataset`: many photos into a Parquet dataset, here or on a cluster."""

from __future__ import annotations

from collections.abc import Sequence

from rich.text import Text

from maturity.cluster.dask_cluster import cluster_client
from maturity.cluster.run import DatasetRun, measure_into_dataset
from maturity.commands.exits import DONE, LEFT_OUT
from maturity.commands.screen import output, photo_progress, show_list
from maturity.photo_limits import PhotoLimits
from maturity.plain_text import plain_text


def measure_dataset(
    paths: Sequence[str], dataset: str, cluster: str | None, threads: int, limits: PhotoLimits
) -> int:
    """Measure, say what was done, and return the exit code."""
    with photo_progress() as progress, cluster_client(cluster) as client:
        run = measure_into_dataset(
            paths, dataset, client=client, limits=limits, threads=threads, progress=progress
        )
    _show(run, dataset)
    return LEFT_OUT if run.not_measured or run.skipped else DONE


def _show(run: DatasetRun, dataset: str) -> None:
    console = output()
    counts = [f"{run.measured} measured now", f"{run.known} already there"]
    if run.copies:
        counts.append(f"{run.copies} copies of another photo")
    if run.not_measured:
        counts.append(f"{len(run.not_measured)} not measured")
    console.print(Text(f"Photos in {plain_text(dataset)}: {', '.join(counts)}."))
    why = [f"{plain_text(photo)}: {reason}" for photo, reason in run.not_measured.items()]
    rest = "measure fewer folders at once to see them"
    show_list(console, "Not measured; another run tries again", why, rest)
    show_list(console, "Not looked into", run.skipped, rest)
