"""Files about picked fruit: what was found, timed and asked for."""

from __future__ import annotations

from maturity.season.columns import Column, air_temperature
from maturity.season.table_declaration import TableDeclaration

_BLOCK = Column("block", required=True, example="River", meaning="name of the block")
_DATE = Column("date", "date", required=True, example="2026-11-24", meaning="day of picking")

#: More than anybody looks at in one bin, or brings at once: a slip of the keyboard.
MOST_CHECKED = 100000
MOST_BINS = 10000

PICKED = TableDeclaration(
    "picked",
    (
        _DATE,
        _BLOCK,
        Column("crew", required=True, example="North", meaning="who picked"),
        Column("bin", example="17", meaning="number of the bin"),
        Column("load", meaning="what arrived together; blank: the crew's bins of the day"),
        Column("load_bins", "integer", low=1, high=MOST_BINS, meaning="bins in that load"),
        Column("method", meaning="how it was picked, in your own words"),
        Column("time", meaning="of picking"),
        Column(
            "seen_at",
            "choice",
            required=True,
            choices=("arrival", "held"),
            example="arrival",
            meaning="on arrival, or after holding",
        ),
        Column(
            "fruit_checked",
            "integer",
            required=True,
            low=1,
            high=MOST_CHECKED,
            example="50",
            meaning="looked at in this bin",
        ),
        Column(
            "finding",
            "choice",
            required=True,
            choices=(
                "none",
                "immature",
                "sap_burn",
                "browning",
                "rub",
                "cut",
                "puncture",
                "impact_mark",
                "skin_break",
                "bruise",
                "blemish",
                "lenticel",
                "decay",
                "damaged_fruit",
            ),
            example="immature",
            meaning="`none`: fruit on which nothing was found",
        ),
        Column(
            "count",
            "integer",
            required=True,
            low=0,
            high=MOST_CHECKED,
            example="2",
            meaning="fruit with this finding",
        ),
        Column("judged_by", meaning="cut, oven or meter; anything else counts as by eye"),
    ),
    ("date", "block", "crew", "bin", "method", "time", "seen_at", "finding", "judged_by"),
    purpose="checks of picked fruit; one row per finding",
)

PRICES = TableDeclaration(
    "prices",
    (
        Column(
            "what",
            required=True,
            example="price",
            meaning="price, fruit mass, bin mass, fruit in a tray, crews, or crew days and a block",
        ),
        Column("value", "number", required=True, example="1.80", meaning="how much"),
        Column("unit", required=True, example="money/kg", meaning="money/kg, kg or fruit"),
    ),
    ("what",),
    purpose="your own prices and costs",
)

CONTACT = TableDeclaration(
    "contact",
    (
        _DATE,
        _BLOCK,
        Column("crew", required=True, example="North", meaning="who picked"),
        Column("method", meaning="as in picked.csv"),
        Column("bin", meaning="as in picked.csv"),
        Column("time", meaning="of picking"),
        Column("to_wash_s", "number", low=0, high=1000000, example="4", meaning="picked to wash"),
        Column(
            "in_wash_s", "number", low=0, high=1000000, example="60", meaning="time in the wash"
        ),
        Column("stem_mm", "number", low=0, high=2000, meaning="where stems stay on"),
    ),
    (),
    one_of=(("to_wash_s",), ("in_wash_s",), ("stem_mm",)),
    purpose="timings between tree and wash, and stem lengths; one row per fruit or tray timed",
)

LIMITS = TableDeclaration(
    "limits",
    (
        Column("what", required=True, example="time to the wash at most", meaning="which limit"),
        Column(
            "value", "number", required=True, low=0, high=1000000, example="5", meaning="how much"
        ),
        Column("unit", required=True, example="s", meaning="as in the example of that limit"),
        Column("source", example="shed meeting", meaning="who set it"),
        Column("source_date", "date", example="2026-09-01", meaning="when it was set"),
    ),
    ("what",),
    purpose="your own limits for picked fruit; none is built in",
)

WEATHER_AHEAD = TableDeclaration(
    "weather_ahead",
    (
        _DATE,
        air_temperature("tmin_c", "lowest", "24", required=False),
        air_temperature("tmax_c", "highest", "37"),
        Column("source", meaning="whose forecast"),
    ),
    ("date",),
    purpose="forecast temperatures of picking days, degrees C, for the heat note",
)

PICKED_TABLES: tuple[TableDeclaration, ...] = (PICKED, PRICES, CONTACT, LIMITS, WEATHER_AHEAD)
