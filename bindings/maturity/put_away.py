"""Results that wait in a temporary file until they are asked for: memory does not hold them."""

from __future__ import annotations

import array
import collections
import pickle
import tempfile
import threading
import weakref
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Generic, TypeVar, overload

from maturity.kept import StoreReader
from maturity.temporary_folder import temporary_faults

T = TypeVar("T")

#: So much is kept in memory before a file is made: of a small season none is.
_NO_FILE_BYTES = 2_000_000
#: What was read last and is held, as bytes of the file; one result is held whatever its size.
_HELD_BYTES = 300_000


class PutAway:
    """A temporary file that vanishes with the process, in the folder that TMPDIR names."""

    def __init__(self) -> None:
        self._file = tempfile.SpooledTemporaryFile(_NO_FILE_BYTES)  # noqa: SIM115
        weakref.finalize(self, self._file.close)
        self._lock = threading.Lock()
        # All results of a season share a reader of its store, and so its open file.
        self._readers: list[StoreReader] = []
        self._held: collections.OrderedDict[tuple[int, int], Any] = collections.OrderedDict()

    def put(self, value: Any) -> tuple[int, int]:
        """Keep a copy; returns its place: first byte and number of bytes.

        Raises
        ------
        OSError
            The folder for temporary files is full.
        """
        with self._lock, temporary_faults(OSError):
            self._file.seek(0, 2)
            first = self._file.tell()
            _Pickler(self._file, self._readers).dump(value)
            return first, self._file.tell() - first

    def read(self, place: tuple[int, int]) -> Any:
        """A new copy of what was put there."""
        with self._lock, temporary_faults(OSError):
            self._file.seek(place[0])
            return _Unpickler(self._file, self._readers).load()

    def get(self, place: tuple[int, int]) -> Any:
        """What was put there; the same object while it is held."""
        found = self._held.pop(place, None)
        if found is None:
            found = self.read(place)
        self._held[place] = found
        while len(self._held) > 1 and sum(size for _, size in self._held) > _HELD_BYTES:
            self._held.popitem(last=False)
        return found


@dataclass(frozen=True, slots=True)
class Away(Generic[T]):
    """One value that is put away."""

    shelf: PutAway
    place: tuple[int, int]

    def __call__(self) -> T:
        """The value; the same object while it is held."""
        found: T = self.shelf.get(self.place)
        return found


class AwayList(Sequence[T], Generic[T]):
    """A list whose members are put away: each is read, as a copy, when it is asked for."""

    def __init__(self, shelf: PutAway, members: Iterable[T] = ()) -> None:
        self.shelf = shelf
        self._first, self._size = array.array("Q"), array.array("L")
        for one in members:
            self.append(one)

    def append(self, value: T) -> None:
        """Add a member."""
        first, size = self.shelf.put(value)
        self._first.append(first)
        self._size.append(size)

    def __setitem__(self, index: int, value: T) -> None:
        self._first[index], self._size[index] = self.shelf.put(value)

    def __len__(self) -> int:
        return len(self._first)

    @overload
    def __getitem__(self, index: int) -> T:
        ...

    @overload
    def __getitem__(self, index: slice) -> list[T]:
        ...

    def __getitem__(self, index: int | slice) -> T | list[T]:
        if isinstance(index, slice):
            return [self[one] for one in range(len(self))[index]]
        found: T = self.shelf.read((self._first[index], self._size[index]))
        return found

    def __iter__(self) -> Iterator[T]:
        return (self[index] for index in range(len(self)))

    def __reduce__(self) -> tuple[Any, ...]:
        return list, (list(self),)


class _Pickler(pickle.Pickler):
    def __init__(self, file: Any, readers: list[StoreReader]) -> None:
        super().__init__(file, protocol=pickle.HIGHEST_PROTOCOL)
        self._readers = readers

    def persistent_id(self, value: Any) -> int | None:
        """Number of a reader, which is shared; None for anything else, which is copied."""
        if not isinstance(value, StoreReader):
            return None
        if value not in self._readers:
            self._readers.append(value)
        return self._readers.index(value)


class _Unpickler(pickle.Unpickler):
    def __init__(self, file: Any, readers: list[StoreReader]) -> None:
        super().__init__(file)
        self._readers = readers

    def persistent_load(self, number: int) -> StoreReader:
        """The reader of this number."""
        return self._readers[number]
