"""A Parquet dataset of measured photos: folders ``block=.../date=...``, a row for each photo."""

from __future__ import annotations

import io
import json
import os
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import quote

from maturity.cluster.listing import Place, is_url
from maturity.cluster.needs import OptionalPackageMissing, need
from maturity.plain_text import plain_text
from maturity.store import Measurement, Store, sha256_of_file

#: An unknown value of a partition. Not Hive's word for null: pandas reads partitions as categories,
#: and pyarrow cannot join categories that hold nulls.
_UNKNOWN = ""
#: Longest name of a folder, with room below the 255 bytes of most file systems.
_LONGEST = 200
#: Version of the columns, in the metadata of each file; files of a later one are refused.
DATASET_FORMAT = 1
_FORMAT = b"maturity.dataset_format"
_PREFIX, _SUFFIX = "part-", ".parquet"


@dataclass(frozen=True)
class Row:
    """One photo, where it belongs, and its measurement: the fields of the JSON results."""

    photo: str
    place: Place
    measurement: Measurement


class Folder:
    """The folder of a dataset, on this machine or behind a URL."""

    def __init__(self, dataset: str) -> None:
        if is_url(dataset):
            try:
                self.system, self.root = need("fsspec").core.url_to_fs(dataset)
            except ImportError as error:
                raise OptionalPackageMissing(f"{plain_text(dataset)}: {error}") from error
        else:
            self.system = need("fsspec").filesystem("file")
            self.root = os.path.abspath(dataset)

    def files(self) -> list[str]:
        """Finished files, sorted; what a killed worker left half written is not among them."""
        self.system.invalidate_cache()
        try:
            # Stores without folders do not say of a prefix that it exists.
            found = self.system.find(self.root)
        except FileNotFoundError:
            return []
        return sorted(one for one in found if _is_part(one.rpartition("/")[2]))

    def write(self, name: str, data: bytes) -> str:
        """Write a file whole or not at all; returns its full name."""
        path = f"{self.root}/{name}"
        if "file" not in self.system.protocol:
            try:
                self.system.pipe_file(path, data)  # object stores show it when it is complete
            except NotImplementedError:
                raise OSError(f"{plain_text(self.root)}: this kind of URL is only read") from None
            return path
        os.makedirs(os.path.dirname(path), exist_ok=True)
        part = f"{os.path.dirname(path)}/.{os.getpid()}-{os.path.basename(path)}"
        try:
            with open(part, "wb") as file:
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
            os.replace(part, path)
        except OSError:
            if os.path.exists(part):
                os.unlink(part)
            raise
        return path

    def clear_unfinished(self) -> None:
        """Remove what killed workers left half written of files that others have finished since."""
        if "file" not in self.system.protocol:
            return
        for left in Path(self.root).rglob(f".*-{_PREFIX}*{_SUFFIX}"):
            if (left.parent / left.name.split("-", 1)[1]).exists():
                left.unlink(missing_ok=True)

    def exists(self, path: str) -> bool:
        """True when this machine sees the file."""
        self.system.invalidate_cache()
        return bool(self.system.exists(path))


def _is_part(name: str) -> bool:
    return name.startswith(_PREFIX) and name.endswith(_SUFFIX)


def write_rows(dataset: str, rows: list[Row], version: str, key: str, name: str) -> list[str]:
    """Write rows, a file for each block and date, named after the batch; returns the files.

    Raises
    ------
    OSError
        The folder cannot be written.
    """
    parquet = need("pyarrow.parquet")
    folder = Folder(dataset)
    parts: dict[str, list[Row]] = {}
    for row in rows:
        partition = f"block={_segment(row.place.block)}/date={_segment(row.place.date)}"
        parts.setdefault(partition, []).append(row)
    written = []
    for partition, inside in sorted(parts.items()):
        table = need("pyarrow").Table.from_pylist(
            [_cells(row, version, key) for row in inside], schema=_schema()
        )
        buffer = io.BytesIO()
        parquet.write_table(table, buffer, compression="zstd")
        file = f"{partition}/{_PREFIX}{name}{_SUFFIX}"
        written.append(folder.write(file, buffer.getvalue()))
    return written


def _segment(value: str | None) -> str:
    if not value:
        return _UNKNOWN
    text = quote(plain_text(value), safe="")
    return text if len(text) <= _LONGEST else _UNKNOWN


def _schema() -> Any:
    """Columns beside block and date, which are in the names of the folders."""
    pa = need("pyarrow")
    texts, numbers = pa.list_(pa.string()), pa.map_(pa.string(), pa.float64())
    sizes = ("length_mm", "length_se_mm", "width_mm", "width_se_mm", "mass_g_estimate", "mass_se_g")
    fruit = pa.struct(
        [("fruit", pa.int32()), ("usable", pa.bool_()), ("flags", texts)]
        + [(size, pa.float64()) for size in sizes]
        + [("descriptors", numbers), ("descriptor_se", numbers)]
    )
    strings = ("photo", "sha256", "version", "settings", "tree", "taken_at", "error")
    return pa.schema(
        [(name, pa.string()) for name in strings]
        + [("flags", texts)]
        + [(name, pa.float64()) for name in ("mm_per_px", "mm_per_px_se", "tilt_deg")]
        + [("fruits", pa.list_(fruit)), ("result", pa.string())],
        metadata={_FORMAT: str(DATASET_FORMAT)},
    )


def _cells(row: Row, version: str, key: str) -> dict[str, Any]:
    one = row.measurement
    shared = {
        name: one.get(name)
        for name in (
            "sha256",
            "taken_at",
            "error",
            "flags",
            "mm_per_px",
            "mm_per_px_se",
            "tilt_deg",
        )
    }
    fruits = [
        {
            **{name: value for name, value in fruit.items() if not name.startswith("descriptor")},
            "descriptors": list(fruit["descriptors"].items()),
            "descriptor_se": list(fruit["descriptor_se"].items()),
        }
        for fruit in one["fruits"]
    ]
    return {
        **shared,
        "photo": plain_text(row.photo),
        "version": version,
        "settings": key,
        "tree": None if row.place.tree is None else plain_text(row.place.tree),
        "fruits": fruits,
        "result": json.dumps(one, allow_nan=False),
    }


def _tables(dataset: str, columns: list[str], version: str, key: str) -> Iterator[Any]:
    parquet, pc = need("pyarrow.parquet"), need("pyarrow.compute")
    folder = Folder(dataset)
    for file in folder.files():
        with folder.system.open(file, "rb") as source:
            try:
                opened = parquet.ParquetFile(source)
            except need("pyarrow").ArrowInvalid as error:
                raise OSError(
                    f"{file} is no whole Parquet file ({error}): move it away; its photos are "
                    "measured again"
                ) from error
            _check_format(file, opened.schema_arrow.metadata or {})
            table = opened.read(columns=[*columns, "version", "settings"])
        same = pc.and_(pc.equal(table["version"], version), pc.equal(table["settings"], key))
        yield table.filter(same)


def _check_format(file: str, metadata: Mapping[bytes, bytes]) -> None:
    found = metadata.get(_FORMAT, b"")
    if not found.isdigit() or int(found) > DATASET_FORMAT:
        raise OSError(
            f"{file} is not of this dataset's format {DATASET_FORMAT} (found {found.decode()!r}): "
            "update maturity, or give another dataset"
        )


def known_photos(dataset: str, version: str, key: str) -> set[str]:
    """SHA-256 of the photos that the dataset holds, measured by this version and settings."""
    found: set[str] = set()
    for table in _tables(dataset, ["sha256"], version, key):
        found.update(table["sha256"].to_pylist())
    return found


def dataset_results(
    dataset: str, sha256: Iterable[str], version: str, key: str
) -> Iterator[tuple[str, Measurement]]:
    """Yield (SHA-256, measurement) of photos of the dataset, each once.

    Parameters
    ----------
    dataset : str
        Folder or URL.
    sha256 : iterable of str
        Which photos; others of the dataset are passed over.
    version, key : str
        Version of library and method, and settings: `maturity.about.library_version` and
        ``MeasureSettings.key``.

    Returns
    -------
    iterator of (str, dict)
        In the order of the dataset's files.

    Raises
    ------
    OSError
        A file cannot be read, or is of a later format.
    """
    wanted = set(sha256)
    for table in _tables(dataset, ["sha256", "result"], version, key):
        for digest, text in zip(table["sha256"].to_pylist(), table["result"].to_pylist()):
            if digest in wanted:
                wanted.discard(digest)
                yield digest, json.loads(text)


def keep_in_store(dataset: str, store: Store, photos: Mapping[str, Path], key: str) -> int:
    """Put what a dataset holds of a season's photos into its store; returns how many.

    Parameters
    ----------
    photos : mapping of name to file
    key : str
        Settings: photos measured with others are passed over, and so are other versions.
    """
    names: dict[str, str] = {}
    for name, path in photos.items():
        try:
            sha256 = sha256_of_file(path)
        except OSError:
            continue  # measuring says why
        if not store.has(sha256, key):
            names.setdefault(sha256, name)
    kept = 0
    for sha256, measurement in dataset_results(dataset, names, store.version, key):
        store.put(names[sha256], key, measurement)
        kept += 1
    return kept
