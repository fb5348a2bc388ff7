"""How heat units of a block are counted, in words, and whether that is in degrees C."""

from __future__ import annotations

import statistics

from maturity.season.season import Season
from maturity.season.table import Row

#: Above this, degrees C are hotter than any place on earth.
_HOTTEST_C = 60.0
#: Highest temperatures whose middle lies above this are no season in degrees C (the hottest towns
#: average about 41 in their hottest month; from memory).
_HOTTEST_MIDDLE_C = 45.0
#: Methods in which an upper threshold has no effect (heat_units.h).
_WITHOUT_UPPER = ("simple_average", "four_case")
#: Methods whose cut-off may be chosen.
_WITH_CUTOFFS = ("single_triangle", "single_sine")
#: A lower threshold above this is none in degrees C: crops grow from 0 to about 15 (common
#: practice, no source).
_HIGHEST_LOWER_C = 30.0


def recipe_words(block: Row, cutoff: str) -> str:
    """Method, thresholds and, where it has effect, the cut-off."""
    method, lower, upper = (block[one] for one in ("heat_method", "heat_lower_c", "heat_upper_c"))
    name = method.replace("_", " ")
    if upper is None or method in _WITHOUT_UPPER:
        return f"{name}, above {lower:g} C"
    words = f"{name}, {lower:g} to {upper:g} C"
    if method not in _WITH_CUTOFFS:
        return words
    return f"{words}, {cutoff} cut-off" + (" as none is stated" if not block["heat_cutoff"] else "")


def looks_fahrenheit(season: Season, lower_c: float) -> str | None:
    """A sentence where weather.csv or the lower threshold does not look like degrees C."""
    if lower_c > _HIGHEST_LOWER_C:
        return (
            f"heat_lower_c is {lower_c:g}: this looks like Fahrenheit, and degrees C are expected"
        )
    hot = 0
    for problem in season.problems:
        if problem.file == "weather.csv" and problem.column in ("tmin_c", "tmax_c"):
            try:
                hot += float(str(problem.value).replace(",", ".")) > _HOTTEST_C
            except ValueError:
                continue
    if hot:
        return (
            f"weather.csv holds {hot} temperatures above {_HOTTEST_C:g}: this looks like "
            "Fahrenheit, and degrees C are expected"
        )
    highest = [row["tmax_c"] for row in season.tables["weather"].rows]
    if highest and statistics.median(highest) > _HOTTEST_MIDDLE_C:
        return (
            f"half of the highest temperatures in weather.csv lie above {_HOTTEST_MIDDLE_C:g}: "
            "this looks like Fahrenheit, and degrees C are expected"
        )
    return None
