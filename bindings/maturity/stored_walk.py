"""A walk's plan as it lies in its folder, with the looks made so far.

A copy lies in the folder of results, so that scores and forecasts know which readings are of one
walk, and what its looks have used up.
"""

from __future__ import annotations

import datetime
import json
from dataclasses import dataclass, field
from os import PathLike
from pathlib import Path
from typing import Any

from maturity.tables import write_json

PLAN_FILE = "walk.json"
#: Folder of the copies inside the folder of results.
RECORD_FOLDER = "walks"


@dataclass
class StoredPlan:
    """A plan read back.

    Attributes
    ----------
    rounds : list of list of str
        Trees of each round in walking order.
    looks : list of float
        Share of the planned oven readings at each look made, rising.
    skipped : list of str
        Trees that had no fruit or could not be reached.
    skipped_late : list of str
        Those of them that were skipped once results could be seen.
    looked_fruit : dict of str to list of int
        By tree, the fruit that looks have counted.
    """

    block: str
    moment: datetime.datetime
    rounds: list[list[str]]
    looks: list[float]
    skipped: list[str]
    content: dict[str, Any]
    skipped_late: list[str] = field(default_factory=list)
    looked_fruit: dict[str, list[int]] = field(default_factory=dict)

    @property
    def trees(self) -> list[str]:
        """All trees in walking order."""
        return [tree for one in self.rounds for tree in one]

    @property
    def oven_per_tree(self) -> int:
        """Oven readings planned for each tree."""
        return int(self.content.get("oven_per_tree", 1))

    def save(self, folder: str | PathLike[str]) -> None:
        """Write looks and skipped trees back beside the plan."""
        self._take_up()
        write_json(Path(folder) / PLAN_FILE, self.content)

    def record(self, results: str | PathLike[str]) -> None:
        """Leave a copy in the folder of results."""
        self._take_up()
        seed = self.content.get("seed", 0)
        name = f"{safe_name(self.block)}-{self.moment:%Y-%m-%d}-{seed}.json"
        write_json(Path(results) / RECORD_FOLDER / name, self.content)

    def _take_up(self) -> None:
        self.content["looks"] = self.looks
        self.content["skipped"] = self.skipped
        self.content["skipped_late"] = self.skipped_late
        self.content["looked_fruit"] = self.looked_fruit


def safe_name(block: str) -> str:
    """A block's name as part of a file's name."""
    return "".join(sign if sign.isalnum() or sign in "-_" else "_" for sign in block)


def new_plan(content: dict[str, Any]) -> StoredPlan:
    """A plan that nobody looked at yet; `content` as `WalkPlan.to_dict` gives it."""
    return _plan_of({**content, "looks": [], "skipped": []})


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
    plan = _read(path)
    if plan.block != block:
        raise ValueError(f"{path}: a walk of block {plan.block}; expected one of block {block}")
    return plan


def recorded_plans(results: str | PathLike[str]) -> tuple[list[StoredPlan], list[str]]:
    """All plans in a folder of results by date, and a sentence for each file that is none."""
    plans, broken = [], []
    for path in sorted((Path(results) / RECORD_FOLDER).glob("*.json")):
        try:
            plans.append(_read(path))
        except ValueError as error:
            broken.append(str(error))
    return sorted(plans, key=lambda plan: plan.moment), broken


def _read(path: Path) -> StoredPlan:
    try:
        return _plan_of(json.loads(path.read_text(encoding="utf-8")))
    except (ValueError, KeyError, TypeError, AttributeError) as error:
        raise ValueError(
            f"{path}: not a plan of a walk ({type(error).__name__}: {error}); give another folder"
        ) from None


def _plan_of(content: dict[str, Any]) -> StoredPlan:
    return StoredPlan(
        block=content["block"],
        moment=datetime.datetime.fromisoformat(content["moment"]),
        rounds=[[stop["tree"] for stop in one["stops"]] for one in content["rounds"]],
        looks=[float(one) for one in content["looks"]],
        skipped=[str(one) for one in content["skipped"]],
        content=content,
        skipped_late=[str(one) for one in content.get("skipped_late", [])],
        looked_fruit={
            str(tree): [int(one) for one in numbers]
            for tree, numbers in content.get("looked_fruit", {}).items()
        },
    )
