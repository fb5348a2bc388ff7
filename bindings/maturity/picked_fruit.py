"""Picked fruit: the share of immature and of damaged fruit by crew, block, method and day."""

from __future__ import annotations

from dataclasses import dataclass
from os import PathLike
from typing import Any

from maturity import _core
from maturity.about import library_version
from maturity.picked_looks import BEFORE_HARVEST, HANDLING, Look, picked_looks
from maturity.season.problems import Problem
from maturity.season.season import Season, read_season
from maturity.season.table import Row

SEEN_AT = ("arrival", "held")


@dataclass
class PickedChecks:
    """What the checks of picked fruit say.

    Attributes
    ----------
    looks : list of Look
    looked : list of Look
        Those that count for immature fruit.
    immature : CrewComparison or None
        Crews compared within block and method; None: immature fruit were never looked for.
    by_place : dict
        The same for each block and method alone.
    damaged : dict of str to CrewComparison
        Fruit with any handling damage, at arrival and after holding.
    days : list of dict
        Share of each day of a block and method against its limits.
    """

    season: Season
    looks: list[Look]
    looked: list[Look]
    immature: _core.CrewComparison | None
    by_place: dict[tuple[str, str], _core.CrewComparison]
    damaged: dict[str, _core.CrewComparison]
    days: list[dict[str, Any]]
    costs: dict[str, _core.ShareCost]
    problems: list[Problem]
    notes: list[str]

    @property
    def complete(self) -> bool:
        """True when nothing had to be left out and nothing is in doubt."""
        return not (self.problems or self.similar_names or self.immature is None)

    @property
    def crews(self) -> list[str]:
        """All crews, in the order of their names."""
        return sorted({look.crew for look in self.looks})

    @property
    def similar_names(self) -> list[tuple[str, str]]:
        """Names of crews that differ by case or spaces only: one crew, or two?"""
        return [] if self.immature is None else self.immature.similar_names

    def findings(self, crew: str, seen_at: str) -> dict[str, dict[str, int]]:
        """Fruit with each finding, and those looked at for it."""
        found: dict[str, dict[str, int]] = {}
        for name in HANDLING + BEFORE_HARVEST:
            counted = [
                (count, look.checked)
                for look in self.looks
                if look.crew == crew and look.seen_at == seen_at
                for count in [look.count(name)]
                if count is not None
            ]
            if any(count for count, _ in counted):
                found[name] = {
                    "count": sum(count for count, _ in counted),
                    "checked": sum(checked for _, checked in counted),
                }
        return found

    def to_dict(self) -> dict[str, Any]:
        """Everything as JSON holds it: unknown is None."""
        places = [
            {"block": block, "method": method or None, "crews": _by_name(compared)}
            for (block, method), compared in self.by_place.items()
        ]
        return {
            "version": library_version(),
            "season": self.season.folder.name,
            "crews": {crew: self._crew_dict(crew) for crew in self.crews},
            "blocks_and_methods": places,
            "days": self.days,
            "design_effect": None if self.immature is None else self.immature.design_effect,
            "similar_names": [list(pair) for pair in self.similar_names],
            "notes": self.notes,
            "problems": [problem.to_dict() for problem in self.problems],
        }

    def _crew_dict(self, crew: str) -> dict[str, Any]:
        unknown: dict[str, Any] = dict.fromkeys(("immature", "share", "interval", "differs"))
        unknown.update(checked=0, reason="not_looked_for")
        immature = {} if self.immature is None else _by_name(self.immature)
        damage: dict[str, Any] = {}
        for seen_at, compared in self.damaged.items():
            shown = _by_name(compared).get(crew)
            if shown is not None:
                shown["damaged_fruit"] = shown.pop("immature")
            damage[seen_at] = {"any": shown, "findings": self.findings(crew, seen_at)}
        cost = self.costs.get(crew)
        looked = [look for look in self.looked if look.crew == crew]
        return {
            **immature.get(crew, unknown),
            "judged_by": sorted({look.judged_by for look in looked if look.judged_by}),
            "by_eye_or_not_said": any(look.by_eye for look in looked),
            "damage": damage,
            "cost_per_bin": None if cost is None else cost.to_dict(),
        }


def check_season(season: Season | str | PathLike[str]) -> PickedChecks:
    """Judge picked.csv of a season.

    Returns
    -------
    PickedChecks
        `differs` of a crew is True, False (no more than chance), or None with the reason.

    Raises
    ------
    SeasonError, OSError
        The season folder cannot be used.
    ValueError
        No usable row in picked.csv.
    """
    if not isinstance(season, Season):
        season = read_season(season)
    looks, contradictions = picked_looks(season.tables["picked"].rows)
    problems = [one for one in season.problems if one.file in ("picked.csv", "prices.csv")]
    problems += contradictions
    if not looks:
        reasons = "".join(f"\n{problem}" for problem in problems)
        raise ValueError(f"picked.csv: no row that can be used{reasons}")
    looked, notes = _looks_for_immature(looks)
    immature = _bins(looked, "immature")
    compared = _compare(immature)
    by_place = {
        place: _core.compare_crews([one for one in immature if (one.block, one.method) == place])
        for place in sorted({(one.block, one.method) for one in immature})
    }
    damaged = {
        seen_at: outcome
        for seen_at in SEEN_AT
        for here in [[look for look in looks if look.seen_at == seen_at]]
        for outcome in [_compare(_bins(here, "damaged_fruit"))]
        if outcome is not None
    }
    return PickedChecks(
        season,
        looks,
        looked,
        compared,
        by_place,
        damaged,
        _days(immature),
        _costs(season.tables["prices"].rows, compared, notes),
        problems,
        notes,
    )


def _by_name(compared: _core.CrewComparison) -> dict[str, dict[str, Any]]:
    crews = {}
    for one in compared.crews:
        shown = one.to_dict()
        shown["immature"] = shown.pop("found")
        crews[shown.pop("crew")] = shown
    return crews


def _compare(checks: list[_core.BinCheck]) -> _core.CrewComparison | None:
    return _core.compare_crews(checks) if checks else None


def _bins(looks: list[Look], finding: str) -> list[_core.BinCheck]:
    """Looks where a finding was looked for, as the library takes them."""
    return [
        _core.BinCheck(
            block=look.block,
            method=look.method,
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


def _looks_for_immature(looks: list[Look]) -> tuple[list[Look], list[str]]:
    """Looks that count for immature fruit, and those at arrival that do not, by name.

    A bin seen at arrival and again after holding would count twice: held looks count only for a
    crew that has none at arrival.
    """
    counted = [look for look in looks if look.count("immature") is not None]
    at_arrival = {look.crew for look in counted if look.seen_at == "arrival"}
    notes = [
        f"bin {look.bin or 'without name'} of crew {look.crew}, {look.date}: no row for immature, "
        "so taken as not looked for (write a row with count 0)"
        for look in looks
        if look.seen_at == "arrival" and look.count("immature") is None
    ]
    return [
        look for look in counted if look.seen_at == "arrival" or look.crew not in at_arrival
    ], notes


def _days(checks: list[_core.BinCheck]) -> list[dict[str, Any]]:
    """Each day of a block and method on a p-chart, all crews together."""
    rows = []
    for place in sorted({(one.block, one.method) for one in checks}):
        here = [one for one in checks if (one.block, one.method) == place]
        days = sorted({one.date for one in here})
        found = [sum(one.found for one in here if one.date == day) for day in days]
        checked = [sum(one.checked for one in here if one.date == day) for day in days]
        # How much bins vary is taken within each day: between days is what the chart asks about.
        effect = _core.compare_crews([_with_day_as_method(one) for one in here]).design_effect
        chart = _core.p_chart(found, checked, centre=None, design_effect=effect or 1.0)
        for day, count, looked_at, point in zip(days, found, checked, chart.points):
            rows.append(
                {
                    "block": place[0],
                    "method": place[1] or None,
                    "date": day,
                    "checked": looked_at,
                    "immature": count,
                    **point.to_dict(),
                    # A single day is its own centre line and tells nothing.
                    "beyond_limits": (point.above or point.below) if len(days) > 1 else None,
                }
            )
    return rows


def _with_day_as_method(one: _core.BinCheck) -> _core.BinCheck:
    given: dict[str, Any] = {**one.to_dict(), "method": one.date}
    return _core.BinCheck(**given)


#: what in prices.csv, and the unit it must have (money/kg: any currency).
_PRICES = {"price": "/kg", "fruit mass": "kg", "bin mass": "kg"}


def _costs(
    rows: list[Row], compared: _core.CrewComparison | None, notes: list[str]
) -> dict[str, _core.ShareCost]:
    """What the share of each crew costs in a bin, from the user's own figures."""
    figures = {row["what"].lower(): row for row in rows}
    if compared is None or not rows:
        return {}
    for what, unit in _PRICES.items():
        row = figures.get(what)
        if row is None or not row["unit"].lower().endswith(unit) or row["value"] <= 0:
            notes.append(f"no cost: prices.csv needs {what!r} above 0 in a unit of {unit}")
            return {}
    price, fruit, load = (float(figures[what]["value"]) for what in _PRICES)
    return {
        one.crew: _core.cost_of_share(
            one.share,
            one.interval,
            fruit=load / fruit,
            fruit_mass_g=1000 * fruit,
            price_per_kg=price,
            fruit_per_tray=None,
        )
        for one in compared.crews
    }
