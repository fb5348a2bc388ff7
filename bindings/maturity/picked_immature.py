"""Which looks count for immature fruit, and as what they are compared."""

from __future__ import annotations

import datetime

from maturity import _core
from maturity.picked_looks import Look

#: Said of immature fruit where nobody cut or measured.
BY_EYE = "by eye or not said"
#: Bins named in a note before it only counts them.
_MOST_NAMED = 3


def looks_for_immature(looks: list[Look]) -> tuple[list[Look], list[str]]:
    """Looks that count for immature fruit, and what was left out.

    A bin seen at arrival and again after holding would count twice: held looks count only for a
    crew that has none at arrival.
    """
    counted = [look for look in looks if look.count("immature") is not None]
    if not counted:
        return [], []
    unsure, notes = _written_only_where_found(looks)
    counted = [look for look in counted if (look.crew, look.date, look.seen_at) not in unsure]
    at_arrival = {look.crew for look in counted if look.seen_at == "arrival"}
    kept = [look for look in counted if look.seen_at == "arrival" or look.crew not in at_arrival]
    return kept, notes


_CrewDay = tuple[str, datetime.date, str]


def _written_only_where_found(looks: list[Look]) -> tuple[set[_CrewDay], list[str]]:
    """Days of a crew on which a missing row may be a zero, and notes on all missing rows.

    Where some looks have no row for immature fruit and none of the crew's day says 0, rows may have
    been written only where some were found: what is left would make too large a share.
    """
    days: dict[_CrewDay, list[Look]] = {}
    for look in looks:
        if look.seen_at == "arrival":
            days.setdefault((look.crew, look.date, look.seen_at), []).append(look)
    unsure = set()
    missing_of: dict[str, list[Look]] = {}
    notes = []
    for key, group in days.items():
        missing = [look for look in group if look.count("immature") is None]
        stated = [look.count("immature") for look in group if look not in missing]
        if missing and stated and all(stated):
            unsure.add(key)
            notes.append(
                f"crew {key[0]}, {key[1]}: immature fruit not counted, since {len(missing)} of "
                f"{len(group)} looks have no row for immature and none says 0: rows may have been "
                "written only where some were found (write a row with count 0)"
            )
        elif missing:
            missing_of.setdefault(key[0], []).extend(missing)
    return unsure, notes + [_not_looked_for(crew, some) for crew, some in missing_of.items()]


def _not_looked_for(crew: str, looks: list[Look]) -> str:
    if len(looks) > _MOST_NAMED:
        days = len({look.date for look in looks})
        which = f"{len(looks)} bins of crew {crew} on {days} day{'s' * (days > 1)}"
    else:
        names = ", ".join(f"{look.bin or 'without name'} ({look.date})" for look in looks)
        which = f"bin {names} of crew {crew}"
    return f"{which}: no row for immature, so taken as not looked for (write a row with count 0)"


def bin_checks(looks: list[Look], finding: str) -> list[_core.BinCheck]:
    """Looks where a finding was looked for, as the library takes them.

    Immature fruit that were cut are not compared with those judged by eye, nor those on arrival
    with held ones, which ripen: a difference may be that of the judging.
    """
    kinds = {(look.by_eye, look.seen_at) for look in looks} if finding == "immature" else set()
    by_eye, seen_at = (len({kind[n] for kind in kinds}) > 1 for n in (0, 1))
    return [
        _core.BinCheck(
            block=look.block,
            method=_judged(look, by_eye=by_eye, seen_at=seen_at),
            date=look.date.isoformat(),
            crew=look.crew,
            bin=look.bin,
            checked=look.checked,
            found=count,
        )
        for look in looks
        for count in [look.count(finding)]
        if count is not None
    ]


def _judged(look: Look, *, by_eye: bool, seen_at: bool) -> str:
    """The method with what must not be compared, where a season has both."""
    apart = [BY_EYE] if by_eye and look.by_eye else []
    if seen_at and look.seen_at == "held":
        apart.append("after holding")
    return f"{look.method} ({', '.join(apart)})".strip() if apart else look.method
