"""A Dask cluster on this machine, for tests."""

from __future__ import annotations

import contextlib
import subprocess
import sys
import threading

import pytest

from maturity.cluster.needs import OptionalPackageMissing, need

#: Seconds without any worker after which another one is started.
_EMPTY_SECONDS = 20


def have(*modules):
    """Skip aloud where an optional package is missing or does not fit the others."""
    for module in modules:
        try:
            need(module)
        except OptionalPackageMissing as error:
            pytest.skip(f"NOT TESTED: {error}")


@contextlib.contextmanager
def two_workers():
    """A client of a cluster of two worker processes on this machine.

    Workers that a test kills come back. On a busy machine Dask now and then gives one up that does
    not start in its time, and a client waits for workers without end: then another is started.
    """
    have("distributed")
    import distributed

    with (
        distributed.LocalCluster(
            n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None
        ) as cluster,
        distributed.Client(cluster) as client,
        _never_empty(cluster.scheduler),
    ):
        cluster.scheduler.allowed_failures = 1  # of 3, to be quick
        yield client


@contextlib.contextmanager
def _never_empty(scheduler):
    over, started = threading.Event(), []

    def watch():
        empty = 0
        while not over.wait(1.0):
            empty = 0 if scheduler.workers else empty + 1
            if empty >= _EMPTY_SECONDS:
                command = [sys.executable, "-P", "-m", "distributed.cli.dask_worker"]
                command += [scheduler.address, "--nthreads", "1", "--no-nanny", "--no-dashboard"]
                started.append(
                    subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
                )
                empty = 0

    watcher = threading.Thread(target=watch, daemon=True)
    watcher.start()
    try:
        yield
    finally:
        over.set()
        watcher.join()
        for process in started:
            process.kill()
            process.wait()
