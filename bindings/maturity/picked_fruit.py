"""Picked fruit by crew, block, method, day and load: immature, damaged, costs, timings."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from os import PathLike
from typing import Any

from maturity import _core
from maturity.people_note import HeatNote, heat_notes
from maturity.picked_bins import BinRow, bin_rows
from maturity.picked_costs import Prices, read_prices
from maturity.picked_damage import SEEN_AT, TwoLooks, two_looks, unmatched_looks, what_to_change
from maturity.picked_days import day_rows
from maturity.picked_immature import bin_checks, looks_for_immature
from maturity.picked_json import checks_dict
from maturity.picked_limits import Limits, read_limits
from maturity.picked_loads import Load, judge_loads
from maturity.picked_looks import Look, drop_unknown_damage, picked_looks, similar_names
from maturity.sap_log import ContactSummary, contact_summaries
from maturity.season.problems import Problem
from maturity.season.season import Season, read_season
from maturity.views.picked import checks_frame, checks_html, checks_plot, checks_repr

#: Files that a check of picked fruit reads.
_FILES = ("picked.csv", "prices.csv", "contact.csv", "limits.csv", "weather_ahead.csv")
#: Chance of calling any crew different in immature fruit when none is, and the same for damage.
#: All tables of one question share it: the whole and its blocks and methods half and half, the two
#: looks at damage half and half.
FALSE_ALARM = 0.05


@dataclass
class PickedChecks:
    """What the checks of picked fruit say.

    Attributes
    ----------
    looks : list of Look
    looked : list of Look
        Those that count for immature fruit.
    immature : CrewComparison or None
        Crews compared within block, method and day; None: immature fruit were never looked for.
    by_place : dict
        The same for each block and method alone.
    damaged : dict of str to CrewComparison
        Fruit with any handling damage, at arrival and after holding.
    two_looks : list of TwoLooks
        Each finding of each crew, and what shows late.
    bins : list of BinRow
        Every look into a bin, and whether that bin stands out.
    days : list of dict
        Share of each day of a block and method against its limits, with its cost.
    loads : list of Load
        Next step for each load.
    contact : list of ContactSummary
        Timings against the user's limits.
    costs : dict of str to ShareCost
        By crew, for one bin.
    heat : list of HeatNote
    """

    season: Season
    looks: list[Look]
    looked: list[Look]
    immature: _core.CrewComparison | None
    by_place: dict[tuple[str, str], _core.CrewComparison]
    damaged: dict[str, _core.CrewComparison]
    two_looks: list[TwoLooks]
    bins: list[BinRow]
    days: list[dict[str, Any]]
    loads: list[Load]
    contact: list[ContactSummary]
    limits: Limits
    costs: dict[str, _core.ShareCost]
    heat: list[HeatNote]
    problems: list[Problem]
    notes: list[str]

    to_frame = checks_frame
    plot = checks_plot
    _repr_html_ = checks_html
    __repr__ = checks_repr

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
        names = sorted({*self.crews, *(one.crew for one in self.contact)})
        plain = {name: "".join(name.casefold().split()) for name in names}
        return [pair for pair in itertools.combinations(names, 2) if _alike(plain, pair)]

    @property
    def change(self) -> list[dict[str, Any]]:
        """For each finding that was seen: usual cause, and what to change where."""
        return what_to_change(self.two_looks)

    def findings(self, crew: str, seen_at: str) -> dict[str, dict[str, int]]:
        """Fruit with each finding, and those looked at for it."""
        found = {}
        for row in self.two_looks:
            look = row.arrival if seen_at == "arrival" else row.held
            if row.crew == crew and row.finding != "damaged_fruit" and look is not None and look[0]:
                found[row.finding] = {"count": look[0], "checked": look[1]}
        return found

    def to_dict(self) -> dict[str, Any]:
        """Everything as JSON holds it: unknown is None."""
        return checks_dict(self)


def _alike(plain: dict[str, str], pair: tuple[str, str]) -> bool:
    return plain[pair[0]] == plain[pair[1]]


def check_season(season: Season | str | PathLike[str]) -> PickedChecks:
    """Judge picked.csv of a season.

    Parameters
    ----------
    season : Season or path

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

    Examples
    --------
    >>> import pathlib, tempfile
    >>> folder = pathlib.Path(tempfile.mkdtemp())
    >>> _ = (folder / "blocks.csv").write_text("block,cultivar\\nRiver,Amberlee\\n")
    >>> _ = (folder / "picked.csv").write_text(
    ...     "date,block,crew,bin,seen_at,fruit_checked,finding,count,judged_by\\n"
    ...     "2026-11-24,River,East,1,arrival,50,immature,2,cut\\n"
    ...     "2026-11-24,River,East,2,arrival,50,immature,4,cut\\n"
    ... )
    >>> made = check_season(folder)
    >>> made
    <PickedChecks of East: looks 2, loads 1>
    >>> made.to_frame("crews")[["crew", "checked", "found", "share"]].values.tolist()
    [['East', 100, 6, 0.06]]
    """
    if not isinstance(season, Season):
        season = read_season(season)
    tables = season.tables
    looks, contradictions = picked_looks(tables["picked"].rows, tables["picked"].left_out)
    problems = [one for one in season.problems if one.file in _FILES]
    problems += contradictions
    if not looks:
        reasons = "".join(f"\n{problem}" for problem in problems)
        if not (reasons or tables["picked"].left_out):
            raise ValueError(
                "picked.csv has no row: write one for each bin and finding when picked fruit were "
                "looked at (EXAMPLES.txt of `maturity start` shows one)"
            )
        raise ValueError(f"picked.csv: no row that can be used{reasons}")
    limits, unusable = read_limits(tables["limits"].rows)
    problems += unusable
    prices, price_notes = read_prices(tables["prices"].rows)
    looked, notes = looks_for_immature(looks)
    notes += drop_unknown_damage(looks) + similar_names(looks) + unmatched_looks(looks)
    immature = bin_checks(looked, "immature")
    by_place = _by_place(immature)
    compared = _compare(immature, FALSE_ALARM / min(2, max(1, len(by_place))))
    damaged = _damaged(looks)
    effects = {
        "immature": None if compared is None else compared.design_effect,
        "damaged_fruit": damaged["arrival"].design_effect if "arrival" in damaged else None,
    }
    loads, load_notes = judge_loads(
        looks,
        limits,
        fruit_in_bin=None if prices is None else prices.fruit_in_bin,
        design_effects=effects,
        mixed_effects={
            name: _mixed_effect(bin_checks(some, name), effects[name])
            for name, some in (("immature", looked), ("damaged_fruit", _on_arrival(looks)))
        },
    )
    return PickedChecks(
        season=season,
        looks=looks,
        looked=looked,
        immature=compared,
        by_place=by_place,
        damaged=damaged,
        two_looks=two_looks(looks, effects["damaged_fruit"]),
        bins=bin_rows(looks, looked, FALSE_ALARM),
        days=day_rows(
            immature,
            loads,
            prices,
            judged_apart={one.method for one in immature} != {look.method for look in looked},
        ),
        loads=loads,
        contact=contact_summaries(tables["contact"].rows, limits),
        limits=limits,
        costs=_costs(compared, prices),
        heat=heat_notes(tables["weather_ahead"].rows, limits.value("hot day from")),
        problems=problems,
        notes=notes + price_notes + load_notes,
    )


def _compare(checks: list[_core.BinCheck], false_alarm: float) -> _core.CrewComparison | None:
    return _core.compare_crews(checks, false_alarm=false_alarm) if checks else None


def _on_arrival(looks: list[Look]) -> list[Look]:
    return [look for look in looks if look.seen_at == "arrival"]


def _mixed_effect(checks: list[_core.BinCheck], known: float | None) -> float | None:
    """How much bins of a load of several crews vary: crews that differ make them vary more."""
    if known is None:
        return None
    together = []
    for number, one in enumerate(checks):
        given: dict[str, Any] = {**one.to_dict(), "crew": "all", "bin": str(number)}
        together.append(_core.BinCheck(**given))
    return max(known, _core.compare_crews(together, shuffles=1).design_effect or 1.0)


def _by_place(checks: list[_core.BinCheck]) -> dict[tuple[str, str], _core.CrewComparison]:
    places = sorted({(one.block, one.method) for one in checks})
    tables = 1 if len(places) == 1 else 2 * len(places)
    return {
        place: _core.compare_crews(
            [one for one in checks if (one.block, one.method) == place],
            false_alarm=FALSE_ALARM / tables,
        )
        for place in places
    }


def _damaged(looks: list[Look]) -> dict[str, _core.CrewComparison]:
    made = {}
    for seen_at in SEEN_AT:
        here = [look for look in looks if look.seen_at == seen_at]
        outcome = _compare(bin_checks(here, "damaged_fruit"), FALSE_ALARM / len(SEEN_AT))
        if outcome is not None:
            made[seen_at] = outcome
    return made


def _costs(
    compared: _core.CrewComparison | None, prices: Prices | None
) -> dict[str, _core.ShareCost]:
    """What the share of each crew costs in a bin, from the user's own figures."""
    if compared is None or prices is None:
        return {}
    return {one.crew: prices.cost(one.share, one.interval) for one in compared.crews}
