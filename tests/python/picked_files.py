"""Hand-made tables of picked fruit for the tests."""

from __future__ import annotations

from pathlib import Path

from season_folders import BLOCKS, write_files

from maturity.picked_fruit import PickedChecks, check_season

HEADER = (
    "date,block,crew,bin,load,load_bins,method,time,seen_at,fruit_checked,finding,count,judged_by\n"
)
DAYS = ("2026-11-24", "2026-11-25", "2026-11-26")
PRICES = "what,value,unit\nprice,3,money/kg\nfruit mass,0.4,kg\nbin mass,400,kg\n"


def line(crew, bin_name, count, *, finding="immature", seen_at="arrival", **changes):
    """A row of picked.csv."""
    given = dict(
        date=DAYS[0], block="River", load="", load_bins="", method="pole", time="", checked=50
    )
    one = {"by": "cut", **given, **changes}
    return (
        f"{one['date']},{one['block']},{crew},{bin_name},{one['load']},{one['load_bins']},"
        f"{one['method']},{one['time']},{seen_at},{one['checked']},{finding},{count},{one['by']}\n"
    )


def limits(**values):
    """limits.csv from name=value, with the unit the name asks for."""
    from maturity.picked_limits import UNITS

    rows = [
        f"{what},{value},{UNITS[what]},me,2026-09-01"
        for name, value in values.items()
        for what in [name.replace("_", " ")]
    ]
    return "what,value,unit,source,source_date\n" + "\n".join(rows) + "\n"


def checks(folder: Path, *lines: str, **files: str) -> PickedChecks:
    """The checks of a season of these rows."""
    return check_season(write_files(folder, blocks=BLOCKS, picked=HEADER + "".join(lines), **files))


def three_crews(**changes):
    """Rows of a crew with many immature fruit and of two with few, the same three days."""
    found = {"East": (12, 14, 13, 11), "North": (1, 3, 2, 2), "South": (2, 2, 1, 3)}
    return [
        line(crew, f"{crew[0]}{number}", count, date=DAYS[number % 3], **changes)
        for crew, counts in found.items()
        for number, count in enumerate(counts)
    ]
