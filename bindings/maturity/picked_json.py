"""Checks of picked fruit as JSON holds them: unknown is None."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from maturity import _core
from maturity.about import library_version
from maturity.people_note import CAUTIONS, DEFER
from maturity.picked_bins import BinRow
from maturity.picked_costs import cost_dict

if TYPE_CHECKING:
    from maturity.picked_fruit import PickedChecks


def checks_dict(made: PickedChecks) -> dict[str, Any]:
    """All of the checks, by crew, block, method, bin, day and load."""
    compared = made.immature
    return {
        "version": library_version(),
        "season": made.season.folder.name,
        "crews": {crew: _crew_dict(made, crew) for crew in made.crews},
        "blocks_and_methods": [
            {"block": block, "method": method or None, "crews": _by_name(one)}
            for (block, method), one in made.by_place.items()
        ],
        "bins": [_bin_dict(row) for row in made.bins if row.immature is not None],
        "days": [{**row, "cost": cost_dict(row["cost"])} for row in made.days],
        "loads": [load.to_dict() for load in made.loads],
        "contact": [one.to_dict() for one in made.contact],
        "limits": {what: vars(limit) for what, limit in made.limits.items()},
        "design_effect": None if compared is None else compared.design_effect,
        "compared_by": None if compared is None else compared.compared_by,
        "what_to_change": made.change,
        "people": {
            "heat": [note.to_dict() for note in made.heat],
            "cautions": [*CAUTIONS, DEFER],
        },
        "similar_names": [list(pair) for pair in made.similar_names],
        "notes": made.notes,
        "problems": [problem.to_dict() for problem in made.problems],
    }


def _by_name(compared: _core.CrewComparison) -> dict[str, dict[str, Any]]:
    crews = {}
    for one in compared.crews:
        shown = one.to_dict()
        shown["immature"] = shown.pop("found")
        crews[shown.pop("crew")] = shown
    return crews


def _crew_dict(made: PickedChecks, crew: str) -> dict[str, Any]:
    unknown: dict[str, Any] = dict.fromkeys(("immature", "share", "interval", "differs"))
    unknown.update(checked=0, reason="not_looked_for")
    immature = {} if made.immature is None else _by_name(made.immature)
    damage: dict[str, Any] = {}
    for seen_at, compared in made.damaged.items():
        shown = _by_name(compared).get(crew)
        if shown is not None:
            shown["damaged_fruit"] = shown.pop("immature")
        damage[seen_at] = {"any": shown, "findings": made.findings(crew, seen_at)}
    looked = [look for look in made.looked if look.crew == crew]
    return {
        **immature.get(crew, unknown),
        "judged_by": sorted({look.judged_by for look in looked if look.judged_by}),
        "by_eye_or_not_said": any(look.by_eye for look in looked),
        "damage": damage,
        "two_looks": {row.finding: row.to_dict() for row in made.two_looks if row.crew == crew},
        "cost_per_bin": cost_dict(made.costs.get(crew)),
    }


def _bin_dict(row: BinRow) -> dict[str, Any]:
    assert row.immature is not None
    return {
        "date": row.look.date.isoformat(),
        "block": row.look.block,
        "method": row.look.method or None,
        "crew": row.look.crew,
        "bin": row.look.bin or None,
        "checked": row.look.checked,
        "immature": row.look.count("immature"),
        **row.immature.to_dict(),
        "by_eye_or_not_said": row.look.by_eye,
    }
