"""The fruit of a visit as rows of a table, made when they are asked for."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, overload

from maturity import _core

_NAMES = (
    "tree",
    "fruit",
    "photo",
    "has_shape",
    "length_mm",
    "oven_dm_pct",
    "meter",
    "meter_dm_pct",
)


class FruitRows(Sequence[dict[str, Any]]):
    """Rows of a visit's fruit: a season of many photos holds the cells, a third of their size.

    Parameters
    ----------
    cells : list of tuple
        tree, fruit, photo, has_shape, length_mm, oven_dm_pct, meter, meter_dm_pct; None: not known.
    estimate : BlockEstimate or None
        What it says of each fruit is added: mean_dm_pct, sd_pct, interval, about_block_average.
    """

    __slots__ = ("_cells", "_estimate")

    def __init__(self, cells: list[tuple[Any, ...]], estimate: _core.BlockEstimate | None) -> None:
        self._cells, self._estimate = cells, estimate

    def __len__(self) -> int:
        return len(self._cells)

    @overload
    def __getitem__(self, index: int) -> dict[str, Any]:
        ...

    @overload
    def __getitem__(self, index: slice) -> list[dict[str, Any]]:
        ...

    def __getitem__(self, index: int | slice) -> dict[str, Any] | list[dict[str, Any]]:
        if isinstance(index, slice):
            return [self[one] for one in range(len(self))[index]]
        place = range(len(self))[index]
        row = dict(zip(_NAMES, self._cells[place]))
        if self._estimate is not None:
            row.update(self._estimate.fruit_estimate(place).to_dict())
        return row

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Sequence) and list(self) == list(other)
