"""A plan as it lies in its folder, with the looks made so far."""

from __future__ import annotations

import datetime
import json
from dataclasses import dataclass, field
from os import PathLike
from pathlib import Path
from typing import Any

from maturity.tables import write_json
from maturity.walk.plan import WalkPlan

PLAN_FILE = "walk.json"


@dataclass
class StoredPlan:
    """A plan read back.

    Attributes
    ----------
    rounds : list of list of str
        Trees of each round in walking order.
    looks : list of float
        Share of the planned trees at each look made, rising.
    skipped : list of str
        Trees that had no fruit or could not be reached.
    skipped_late : list of str
        Those of them that were skipped once results could be seen.
    """

    block: str
    moment: datetime.datetime
    rounds: list[list[str]]
    looks: list[float]
    skipped: list[str]
    content: dict[str, Any]
    skipped_late: list[str] = field(default_factory=list)

    @property
    def trees(self) -> list[str]:
        """All trees in walking order."""
        return [tree for one in self.rounds for tree in one]

    def save(self, folder: str | PathLike[str]) -> None:
        """Write looks and skipped trees back beside the plan."""
        self.content["looks"] = self.looks
        self.content["skipped"] = self.skipped
        self.content["skipped_late"] = self.skipped_late
        write_json(Path(folder) / PLAN_FILE, self.content)


def write_plan(folder: str | PathLike[str], plan: WalkPlan) -> None:
    """Write a new plan, without looks."""
    write_json(Path(folder) / PLAN_FILE, {**plan.to_dict(), "looks": [], "skipped": []})


def read_plan(folder: str | PathLike[str], block: str) -> StoredPlan | None:
    """The plan in a folder; None where there is none.

    Raises
    ------
    ValueError
        It is a plan of another block, or not a plan.
    """
    path = Path(folder) / PLAN_FILE
    if not path.is_file():
        return None
    try:
        content = json.loads(path.read_text(encoding="utf-8"))
        plan = StoredPlan(
            block=content["block"],
            moment=datetime.datetime.fromisoformat(content["moment"]),
            rounds=[[stop["tree"] for stop in one["stops"]] for one in content["rounds"]],
            looks=[float(one) for one in content["looks"]],
            skipped=[str(one) for one in content["skipped"]],
            content=content,
            skipped_late=[str(one) for one in content.get("skipped_late", [])],
        )
    except (ValueError, KeyError, TypeError) as error:
        raise ValueError(
            f"{path}: not a plan of a walk ({type(error).__name__}: {error}); give another folder"
        ) from None
    if plan.block != block:
        raise ValueError(f"{path}: a walk of block {plan.block}; expected one of block {block}")
    return plan
