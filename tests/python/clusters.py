"""A Dask cluster on this machine, for tests."""

from __future__ import annotations

import contextlib

import pytest

from maturity.cluster.needs import OptionalPackageMissing, need


def have(*modules):
    """Skip aloud where an optional package is missing or does not fit the others."""
    for module in modules:
        try:
            need(module)
        except OptionalPackageMissing as error:
            pytest.skip(f"NOT TESTED: {error}")


@contextlib.contextmanager
def two_workers():
    """A client of a cluster of two worker processes on this machine."""
    have("distributed")
    import distributed

    with (
        distributed.LocalCluster(
            n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None
        ) as cluster,
        distributed.Client(cluster) as client,
    ):
        cluster.scheduler.allowed_failures = 1  # of 3, to be quick
        yield client
