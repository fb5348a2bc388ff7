"""What `maturity measure` found: the table of fruit, and what goes to the screen."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from rich.console import Console
from rich.table import Table
from rich.text import Text

from maturity import _core
from maturity.commands.screen import show_flags, show_list
from maturity.plain_text import plain_text
from maturity.spool import Spool

#: Characters of the published list, in the order of their columns.
_CHARACTERS = (
    "fruit shape",
    "apex shape",
    "depth of stalk cavity",
    "slope of ventral shoulder",
    "beak type",
    "sinus type",
)
_FIELDS = ("fruit", "usable", "length_mm", "width_mm", "mass_g_estimate", "ventral_side")
#: Most photos listed one by one; of more, only doubtful ones are, and not all of them.
MOST_LISTED = 200


def fruit_columns(descriptors: Iterable[str], state_names: bool = False) -> list[str]:
    """Columns of the table of fruit, with those of the descriptors that were found."""
    columns = ["photo", "error", "photo_flags", "mm_per_px", "tilt_deg", *_FIELDS, "fruit_flags"]
    for name in sorted(descriptors):
        columns += [name, f"{name}_se"]
    if state_names:
        columns += [_state_column(one) for one in _CHARACTERS]
        columns += ["state_scheme", "state_edition", "state_note"]
    return columns


def photo_rows(
    path: str, photo: dict[str, Any], state_names: bool = False
) -> Iterator[dict[str, Any]]:
    """A row for each fruit of a photo; one without fruit has a row of its own."""
    shared = {
        "photo": plain_text(path),
        "error": photo["error"],
        "photo_flags": " ".join(photo["flags"]),
        "mm_per_px": photo["mm_per_px"],
        "tilt_deg": photo["tilt_deg"],
    }
    for fruit in photo["fruits"] or [None]:
        row = dict(shared)
        if fruit is not None:
            row.update({field: fruit[field] for field in _FIELDS})
            row["fruit_flags"] = " ".join(fruit["flags"])
            row.update(fruit["descriptors"])
            row.update({f"{n}_se": v for n, v in fruit["descriptor_se"].items()})
            if state_names and fruit["usable"]:
                row.update(_named_states(fruit["descriptors"]))
        yield row


def _state_column(character: str) -> str:
    return "state_" + character.replace(" ", "_")


def _named_states(descriptors: dict[str, float | None]) -> dict[str, str]:
    """Cells of one fruit; the note travels with them, as tables leave their documentation."""
    cells = {}
    for one in _core.state_names(descriptors):
        cells[_state_column(one["character"])] = one["state"]
        cells["state_scheme"], cells["state_edition"] = one["scheme"], one["edition"]
        cells["state_note"] = "boundaries are this project's own"
    return cells


def show_measured(console: Console, files: Sequence[str], spool: Spool) -> bool:
    """A line for each photo, or of very many the sums and the first doubtful ones.

    Returns
    -------
    bool
        Whether anything is doubtful or may not be scored.
    """
    listed = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0))
    for heading in ("Photo", "Fruit", "Usable", "Length, mm", "What is doubtful"):
        listed.add_column(Text(heading), overflow="fold")
    folder = os.path.commonpath([os.path.dirname(file) for file in files])
    few = len(files) <= MOST_LISTED
    flags: set[str] = set()
    found = usable = 0
    doubtful: list[str] = []
    for place, photo in spool.results():
        name = plain_text(os.path.relpath(files[place], folder) if folder else files[place])
        found += len(photo["fruits"])
        usable += sum(fruit["usable"] for fruit in photo["fruits"])
        flags.update(photo["flags"], *(fruit["flags"] for fruit in photo["fruits"]))
        doubts = "; ".join(_doubts(photo))
        if photo["error"] or photo["flags"] or not all(one["usable"] for one in photo["fruits"]):
            doubtful.append(f"{name}: {doubts}" if len(doubtful) < MOST_LISTED else "")
        if few:
            counts = (len(photo["fruits"]), sum(fruit["usable"] for fruit in photo["fruits"]))
            cells = (name, *map(str, counts), _lengths(photo["fruits"]), doubts)
            listed.add_row(*map(Text, cells))
    if few:
        console.print(listed)
    else:
        console.print(Text(f"{len(files)} photos: {found} fruit, {usable} of them usable."))
        show_list(console, "Doubtful photos", doubtful, "see the table (--csv FILE)")
    show_flags(console, flags)
    return bool(doubtful)


def _doubts(photo: dict[str, Any]) -> Iterator[str]:
    yield from [photo["error"]] if photo["error"] else photo["flags"]
    for fruit in photo["fruits"]:
        if fruit["flags"]:
            yield f"fruit {fruit['fruit']}: {', '.join(fruit['flags'])}"


def _lengths(fruits: list[dict[str, Any]]) -> str:
    """Shortest and longest usable fruit; blank where the board gives no scale."""
    known = [one["length_mm"] for one in fruits if one["usable"] and one["length_mm"] is not None]
    if not known:
        return ""
    low, high = f"{min(known):.0f}", f"{max(known):.0f}"
    return low if low == high else f"{low} to {high}"
