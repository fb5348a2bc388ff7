"""Tables and notebook pages of records that have no picture: seasons, clearance, entry, runs."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pandas

from maturity.season.problems import alike_problems
from maturity.views.pages import page, table

if TYPE_CHECKING:
    from maturity.clearance import Clearance
    from maturity.cluster.run import DatasetRun
    from maturity.season.season import Season
    from maturity.walk.entry import Entry

#: Problems shown on the page of a season before they are only counted.
_MOST_SHOWN = 8


def season_frame(self: Season) -> pandas.DataFrame:
    """One row for each file that is there: file, rows, left_out, problems. See also `frame`."""
    rows = []
    for one in self.tables.values():
        if one.present:
            file = one.declaration.file
            problems = sum(problem.file == file for problem in self.problems)
            rows.append({"file": file, "rows": len(one.rows), "left_out": len(one.left_out)})
            rows[-1]["problems"] = problems
    photos = sum(problem.file.startswith("photos/") for problem in self.problems)
    rows.append({"file": "photos/", "rows": len(self.photos), "left_out": 0, "problems": photos})
    return pandas.DataFrame(rows)


def season_html(self: Season) -> str:
    """The files, and what was wrong in them."""
    alike = alike_problems(self.problems)
    said = [str(one) for one in alike[:_MOST_SHOWN]]
    more = sum(len(one.problems) for one in alike[_MOST_SHOWN:])
    said += [f"and {more} more (.problems)"] * (more > 0)
    title = f"Season {self.name}: {', '.join(self.blocks)}"
    return table(title, season_frame(self).to_dict("records"), said)


def clearance_frame(self: Clearance) -> pandas.DataFrame:
    """One row: cleared, as_of, clear_from, reasons, confirmed_by."""
    return _one_row(self)


def clearance_html(self: Clearance) -> str:
    """The state, and on what it rests."""
    rows = {"cleared": self.cleared, "as of": self.as_of, "clear from": self.clear_from}
    rows["confirmed by"] = self.confirmed_by
    said = "Labels, local rules and licensed practice come first."
    return page("Clearance for picking", rows, [self.sentence(), said])


def entry_frame(self: Entry) -> pandas.DataFrame:
    """One row: allowed, moment, reasons, taken_on_by, notes."""
    return _one_row(self)


def entry_html(self: Entry) -> str:
    """May people go in, and why."""
    rows = {"going in": "allowed" if self.allowed else "not allowed", "moment": self.moment}
    rows["taken on by"] = self.taken_on_by or "nobody"
    said = "Labels, local rules and licensed practice come first."
    return page("Going into the block", rows, [*self.reasons, *self.notes, said])


def _one_row(record: Clearance | Entry) -> pandas.DataFrame:
    fields = record.to_dict().items()
    return pandas.DataFrame(
        [{name: "; ".join(one) if isinstance(one, list) else one for name, one in fields}]
    )


def run_frame(self: DatasetRun) -> pandas.DataFrame:
    """One row for each photo: photo, sha256, why_not_measured (None: it is in the dataset)."""
    rows = [
        {"photo": photo, "sha256": sha256, "why_not_measured": self.not_measured.get(photo)}
        for photo, sha256 in self.sha256.items()
    ]
    rows += [
        {"photo": photo, "sha256": None, "why_not_measured": why}
        for photo, why in self.not_measured.items()
        if photo not in self.sha256
    ]
    return pandas.DataFrame(rows, columns=["photo", "sha256", "why_not_measured"])


def run_html(self: DatasetRun) -> str:
    """How many photos, and which were not measured."""
    rows = {"measured now": self.measured, "already there": self.known, "copies": self.copies}
    rows["not measured"] = len(self.not_measured)
    said = [f"{photo}: {why}" for photo, why in list(self.not_measured.items())[:_MOST_SHOWN]]
    more = len(self.not_measured) - len(said)
    said += [f"and {more} more (.not_measured)"] * (more > 0)
    return page("Photos into a dataset", rows, [*said, *self.skipped])


def run_repr(self: DatasetRun) -> str:
    """The run in a line."""
    counts = f"{self.measured} measured, {self.known} known, {self.copies} copies"
    return f"<DatasetRun: {counts}, {len(self.not_measured)} not measured>"
