"""Measure photos into a Parquet dataset, here or on a cluster, and go on where a run stopped."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from os import PathLike, fspath
from typing import Any

from maturity.about import library_version
from maturity.cluster.dataset import Folder, known_photos
from maturity.cluster.dask_cluster import TaskLost, run_tasks, same_version_everywhere
from maturity.cluster.listing import list_photos
from maturity.cluster.needs import need
from maturity.cluster.work import Batch, BatchDone, measure_batch, sha256_of_photos
from maturity.measuring import Progress
from maturity.photo_limits import PhotoLimits
from maturity.views.states import run_frame, run_html, run_repr

#: Photos of one piece of work: what a lost worker costs, and rows of a file of the dataset.
BATCH_PHOTOS = 64
#: Photos of one piece of work where they are only read.
_HASHED_AT_ONCE = 256


@dataclass
class DatasetRun:
    """What a run did.

    Attributes
    ----------
    measured, known : int
        Photos measured now; photos that the dataset held.
    copies : int
        Photos that are the same file as another one of the run: a photo is kept once.
    not_measured : dict
        Why, by photo: it cannot be read, or took too long. Another run tries them again.
    skipped : list of str
        Folders not looked into.
    sha256 : dict
        Of each photo that could be read, in the order of their names.
    version, settings : str
        What the rows of this run have in these columns.
    """

    version: str
    settings: str
    measured: int = 0
    known: int = 0
    copies: int = 0
    not_measured: dict[str, str] = field(default_factory=dict)
    skipped: list[str] = field(default_factory=list)
    sha256: dict[str, str] = field(default_factory=dict)

    to_frame = run_frame
    _repr_html_ = run_html
    __repr__ = run_repr


def measure_into_dataset(
    paths: Iterable[str | PathLike[str]],
    dataset: str | PathLike[str],
    *,
    client: Any = None,
    limits: PhotoLimits | None = None,
    threads: int = 0,
    batch_photos: int = BATCH_PHOTOS,
    progress: Progress | None = None,
) -> DatasetRun:
    """Measure photos that a Parquet dataset does not hold yet, and add them to it.

    Parameters
    ----------
    paths : iterable of str or path
        Photos, folders, and URLs of photos or of their prefix as fsspec understands them.
    dataset : str or path
        Folder or URL that all machines see under this name. Made where it is missing; files
        ``block=.../date=.../part-*.parquet``, a row for each photo.
    client : dask.distributed.Client, optional
        None: on this machine. The rows do not depend on it.
    limits : PhotoLimits, optional
    threads : int
        On this machine; 0: one for each core. A cluster uses the threads of its workers.
    batch_photos : int
        Photos measured and written as one piece of work.
    progress : callable, optional
        Called with photos done and photos in all.

    Returns
    -------
    DatasetRun

    Raises
    ------
    OSError
        A package is missing, no photo was found, the dataset cannot be written or is not seen by
        this machine, or the cluster does not answer.
    RuntimeError
        Workers have another version of this library.

    Examples
    --------
    A photo that cannot be read has a row too, and is not tried again:

    >>> import pathlib, tempfile
    >>> folder = pathlib.Path(tempfile.mkdtemp())
    >>> (folder / "Weir").mkdir()
    >>> _ = (folder / "Weir" / "a.jpg").write_bytes(b"no photo")
    >>> run = measure_into_dataset([folder], folder / "measured")
    >>> run.measured, run.known
    (1, 0)
    >>> run = measure_into_dataset([folder], folder / "measured")
    >>> run.measured, run.known
    (0, 1)
    """
    for package in ("fsspec", "pyarrow") + (() if client is None else ("distributed",)):
        need(package)
    if batch_photos < 1:
        raise ValueError(f"batch_photos: {batch_photos} is not 1 or more")
    version, limits = library_version(), limits or PhotoLimits()
    if client is not None:
        same_version_everywhere(client, version)
    listed = list_photos(fspath(path) for path in paths)
    run = DatasetRun(version, limits.settings(0).key(), skipped=listed.skipped)
    _find_sha256(run, listed.photos, client)
    known = known_photos(fspath(dataset), version, run.settings)
    run.known = sum(one in known for one in run.sha256.values())
    todo: dict[str, str] = {}
    for path, sha256 in run.sha256.items():
        if sha256 not in known:
            todo.setdefault(sha256, path)
    run.copies = len(run.sha256) - run.known - len(todo)
    asked = [(path, sha256) for sha256, path in todo.items()]
    whole = Batch((), fspath(dataset), version, limits, threads if client is None else 1)
    batches = (
        replace(whole, photos=tuple(asked[i : i + batch_photos]))
        for i in range(0, len(asked), batch_photos)
    )
    done = len(listed.photos) - len(asked)
    for count in _measure(run, batches, client):
        done += count
        if progress is not None:
            progress(done, len(listed.photos))
    Folder(fspath(dataset)).clear_unfinished()
    return run


def _find_sha256(run: DatasetRun, photos: list[str], client: Any) -> None:
    found: dict[str, str] = {}
    pieces = (
        tuple(photos[i : i + _HASHED_AT_ONCE]) for i in range(0, len(photos), _HASHED_AT_ONCE)
    )
    for paths, answer in run_tasks(client, sha256_of_photos, pieces):
        if isinstance(answer, TaskLost):
            answer = [(None, str(answer))] * len(paths)
        for path, (sha256, why) in zip(paths, answer):
            if sha256 is None:
                run.not_measured[path] = why
            else:
                found[path] = sha256
    run.sha256 = {path: found[path] for path in photos if path in found}


def _measure(run: DatasetRun, batches: Iterable[Batch], client: Any) -> Iterator[int]:
    """Run the batches; yields how many photos each settled."""
    again: list[Batch] = []
    seen = False
    for batch, answer in run_tasks(client, measure_batch, batches):
        if isinstance(answer, TaskLost):
            again.append(batch)
            continue
        if not seen:
            seen = _seen_here(batch, answer)
        yield _settle(run, batch, answer)
    if not again:
        return
    # One photo may be what costs every worker its life; the others of its batch must not suffer.
    known = known_photos(again[0].dataset, run.version, run.settings)
    singles = []
    for batch in again:
        for photo in batch.photos:
            if photo[1] in known:
                yield _settle(run, replace(batch, photos=(photo,)), BatchDone([], 1))
            else:
                singles.append(replace(batch, photos=(photo,)))
    for batch, answer in run_tasks(client, measure_batch, singles, one_by_one=True):
        if isinstance(answer, TaskLost):
            answer = BatchDone([], 0, {batch.photos[0][0]: str(answer)})
        yield _settle(run, batch, answer)


def _settle(run: DatasetRun, batch: Batch, answer: BatchDone) -> int:
    run.measured += answer.kept
    run.not_measured.update(answer.not_kept)
    return len(batch.photos)


def _seen_here(batch: Batch, answer: BatchDone) -> bool:
    folder = Folder(batch.dataset)
    for file in answer.files[:1]:
        if not folder.exists(file):
            raise OSError(
                f"a worker wrote {file}, and this machine does not see it: give a folder that all "
                "machines share under one name, or the URL of an object store"
            )
    return bool(answer.files)
