"""Pieces of work on a Dask cluster, or here one after the other; lost workers are made up for."""

from __future__ import annotations

import contextlib
import logging
from collections.abc import Callable, Iterable, Iterator
from typing import Any, TypeVar

from maturity.about import library_version
from maturity.cluster.needs import need

_Task = TypeVar("_Task")
#: How often a piece of work is tried again after an error; losses of workers Dask counts itself.
_RETRIES = 2
#: Pieces of work handed to the cluster ahead, for each of its threads: none waits, few are held.
_AHEAD = 3
_SECONDS_FOR_WORKERS = 30


class VersionMismatch(RuntimeError, OSError):
    """Machines have different versions of this library."""


class TaskLost(Exception):
    """A piece of work whose every worker was lost."""


@contextlib.contextmanager
def connected(address: str) -> Iterator[Any]:
    """A client of the scheduler at an address like ``tcp://10.0.0.5:8786``.

    Raises
    ------
    OSError
        Nothing answers there, or it has no workers.
    """
    distributed = need("distributed")
    try:
        client = distributed.Client(address, timeout=5)
    except (OSError, ValueError, TypeError) as error:
        raise OSError(
            f"no scheduler answers at {address} ({error}): start one with `dask-scheduler`, and "
            "give the address that it prints, like tcp://10.0.0.5:8786"
        ) from error
    with client:
        try:
            client.wait_for_workers(1, timeout=_SECONDS_FOR_WORKERS)
        except Exception as error:  # which class, depends on the version of distributed
            if not client.nthreads():
                raise OSError(
                    f"the scheduler at {address} has no workers: start some with "
                    f"`dask-worker {address}`"
                ) from error
            raise
        yield client


@contextlib.contextmanager
def cluster_client(address: str | None) -> Iterator[Any]:
    """`connected` for a command; None where no cluster is asked for."""
    if address is None:
        yield None
        return
    # A client that closes on a busy machine leaves words of asyncio about its own time limits.
    logging.getLogger("asyncio").setLevel(logging.CRITICAL)
    with connected(address) as client:
        yield client


def same_version_everywhere(client: Any, version: str) -> None:
    """Ask all workers which version of this library they have.

    Raises
    ------
    VersionMismatch
        Another one, or none: the numbers could differ.
    """
    try:
        answers: dict[str, str] = client.run(library_version)
    except ImportError as error:
        raise VersionMismatch(
            f"a worker cannot import this library ({error}): install maturity {version} there"
        ) from error
    for worker, found in answers.items():
        if found != version:
            raise VersionMismatch(
                f"the worker {worker} has maturity {found}, this machine {version}: install the "
                "same version on all machines"
            )


def run_tasks(
    client: Any,
    function: Callable[[_Task], Any],
    tasks: Iterable[_Task],
    *,
    one_by_one: bool = False,
) -> Iterator[tuple[_Task, Any]]:
    """Yield (task, result) as they are done, in any order; a lost one has a `TaskLost`.

    `one_by_one`: one in all of the cluster at a time, so that none is lost with another.

    Raises
    ------
    OSError
        The scheduler is gone, or what the function raised.
    """
    if client is None:
        for task in tasks:
            yield task, function(task)
        return
    distributed = need("distributed")
    waiting = iter(tasks)
    running: dict[Any, _Task] = {}
    finished = distributed.as_completed()

    def hand_out() -> None:
        ahead = 1 if one_by_one else _AHEAD * max(1, sum(client.nthreads().values()))
        while len(running) < ahead:
            try:
                task = next(waiting)
            except StopIteration:
                return
            future = client.submit(function, task, pure=False, retries=_RETRIES)
            running[future] = task
            finished.add(future)

    try:
        hand_out()
        for future in finished:
            task = running.pop(future)
            yield task, _result(distributed, future)
            hand_out()
    finally:
        client.cancel(list(running))


def _result(distributed: Any, future: Any) -> Any:
    try:
        return future.result()
    except distributed.scheduler.KilledWorker:
        return TaskLost("every worker that tried it was lost; too little memory for it?")
    except distributed.CancelledError as error:
        raise _gone(error) from error


def _gone(error: BaseException) -> OSError:
    return OSError(
        f"the cluster no longer answers ({error}): start it and this command again; what the "
        "dataset holds is not measured again"
    )
