"""The fruit of one or several seasons, each with the groups that calibrations look at."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from maturity.joining import SampledFruit
from maturity.season.season import Season
from maturity.season_fruit import SeasonFruit


@dataclass(frozen=True)
class LabelledFruit:
    """A fruit with what it is grouped by."""

    season: str
    cultivar: str
    fruit: SampledFruit

    @property
    def block(self) -> str:
        return self.fruit.key[0]

    @property
    def day(self) -> date:
        return self.fruit.key[2]

    @property
    def visit(self) -> str:
        return f"{self.block} {self.day.isoformat()}"

    @property
    def oven_dm(self) -> float | None:
        return None if self.fruit.oven is None else self.fruit.oven.dm_pct


def seasons_by_name(seasons: Sequence[Season]) -> dict[str, Season]:
    """Each under the name of its folder; where that is not its own, with the folder above."""
    folders = [one.folder.resolve() for one in seasons]
    for folder in folders:
        if folders.count(folder) > 1:
            raise ValueError(f"season {folder.name}: given twice")
    names = [folder.name for folder in folders]
    for depth in (2, len(max(folders, key=lambda one: len(one.parts)).parts)):
        names = [
            "/".join(folder.parts[-depth:]) if names.count(name) > 1 else name
            for folder, name in zip(folders, names)
        ]
    return dict(zip(names, seasons))


def labelled_fruit(
    seasons: dict[str, Season], found: dict[str, SeasonFruit]
) -> list[LabelledFruit]:
    labelled: list[LabelledFruit] = []
    season_of: dict[str, str] = {}
    for name, season in seasons.items():
        cultivar_of = {row["block"]: row["cultivar"] for row in season.tables["blocks"].rows}
        for fruit in found[name].fruit:
            one = LabelledFruit(name, cultivar_of[fruit.key[0]], fruit)
            other = season_of.setdefault(one.visit, name)
            if other != name:
                raise ValueError(
                    f"{one.visit}: in season {other} and in {name}; expected each visit in one "
                    "(were files copied? blocks of two orchards need names of their own)"
                )
            labelled.append(one)
    return labelled


def season_labels(fruit: Sequence[LabelledFruit]) -> list[str]:
    """Of each fruit; none for a single season."""
    labels = [one.season for one in fruit]
    return labels if len(set(labels)) > 1 else []
