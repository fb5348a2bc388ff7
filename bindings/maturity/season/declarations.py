"""What each file of a season folder holds: its columns, and what makes two rows the same.

One declaration after the other and nothing else, hence its length.
"""

from __future__ import annotations

from maturity.season.columns import Column, air_temperature
from maturity.season.picked_declarations import PICKED_TABLES
from maturity.season.table_declaration import TableDeclaration

#: Dry matter outside this range is a slip of the pen, not a fruit (per cent of fresh weight).
LOWEST_DM_PCT, HIGHEST_DM_PCT = 3.0, 40.0


_BLOCK = Column("block", required=True, example="River", meaning="name of the block")
_TREE = Column("tree", required=True, example="12", meaning="number or name of the tree")
_DATE = Column("date", "date", required=True, example="2026-11-03", meaning="day of the visit")
_FRUIT = Column(
    "fruit",
    "integer",
    required=True,
    low=1,
    high=100000,
    example="4",
    meaning="number on the tile, bag or tag",
)
_PHOTO = Column("photo", example="River/IMG_0412.jpg", meaning="photo that shows the fruit")
_CHEEK = Column("cheek", example="a", meaning="which cheek was read")
_MARKET = Column("market", example="", meaning="blank: every market")


def _dm(example: str) -> Column:
    return Column(
        "dm_pct",
        "number",
        low=LOWEST_DM_PCT,
        high=HIGHEST_DM_PCT,
        example=example,
        meaning="dry matter, %",
    )


def _grams(name: str, example: str, meaning: str) -> Column:
    return _number(name, 0, 100000, example, meaning)


def _whole(name: str, low: float, high: float, example: str, meaning: str) -> Column:
    return Column(name, "integer", low=low, high=high, example=example, meaning=meaning)


def _number(name: str, low: float, high: float, example: str, meaning: str) -> Column:
    return Column(name, "number", low=low, high=high, example=example, meaning=meaning)


def _place(of: str) -> tuple[Column, Column]:
    return (
        _number("lat", -90, 90, "", f"where the {of} is, degrees"),
        _number("lon", -180, 180, "", "east of Greenwich, degrees"),
    )


BLOCKS = TableDeclaration(
    "blocks",
    (
        _BLOCK,
        Column("cultivar", required=True, example="Amberlee", meaning="name of the cultivar"),
        _whole("rows", 1, 2000, "12", "rows of trees"),
        _whole("trees_per_row", 1, 2000, "20", "places for trees in a row"),
        _number("row_spacing_m", 0.1, 100, "8", "from row to row, m"),
        _number("tree_spacing_m", 0.1, 100, "5", "from tree to tree in a row, m"),
        *_place("block"),
        _whole("trees_bearing", 0, 10000000, "230", "trees that bear, in all of the block"),
        Column("heat_start", "date", meaning="day from which heat units count"),
        Column("heat_start_stage", meaning="what was seen on that day"),
        _number("heat_target", 0, 100000, "", "degree days from then to maturity, by your source"),
        Column(
            "heat_method",
            "choice",
            choices=(
                "simple_average",
                "clamped",
                "reflected",
                "four_case",
                "single_triangle",
                "single_sine",
            ),
            meaning="how degree days are reckoned from daily temperatures",
        ),
        _number("heat_lower_c", -50, 60, "", "lower threshold, degrees C"),
        _number("heat_upper_c", -50, 60, "", "upper threshold, degrees C"),
        Column(
            "heat_cutoff",
            "choice",
            choices=("horizontal", "intermediate", "vertical"),
            meaning="what counts above the upper threshold",
        ),
    ),
    ("block",),
    purpose="the blocks of the orchard (required)",
    blanks_bad_cells=True,
)

POLICY = TableDeclaration(
    "policy",
    (
        _BLOCK,
        _MARKET,
        Column(
            "rule",
            "choice",
            required=True,
            choices=("share", "mean"),
            example="share",
            meaning="on the share of fruit that reach the minimum, or on their mean",
        ),
        Column(
            "minimum_dm_pct",
            "number",
            required=True,
            low=LOWEST_DM_PCT,
            high=HIGHEST_DM_PCT,
            example="15",
            meaning="your own minimum, %",
        ),
        _number(
            "required_share",
            0.5,
            0.999,
            "0.9",
            "share of fruit that must reach it, 0.9: 90 in 100; for the rule share",
        ),
        _number(
            "confidence", 0.5, 0.999, "0.9", "how sure before it is called ready, 0.9: 90 in 100"
        ),
        Column(
            "pass",
            "choice",
            choices=("strip", "selective"),
            example="strip",
            meaning="strip: all fruit in one pass",
        ),
        Column("source", example="orchard meeting", meaning="who set this rule"),
        Column("source_date", "date", example="2026-09-01", meaning="when it was set"),
    ),
    ("block", "market", "rule", "minimum_dm_pct", "required_share", "confidence", "pass"),
    purpose="your own rule for each block and market; several rows are allowed",
)

TREES = TableDeclaration(
    "trees",
    (
        _BLOCK,
        Column("row", required=True, example="3", meaning="number or name of the row"),
        _TREE,
        *_place("tree"),
        Column(
            "excluded",
            "yes_no",
            example="no",
            meaning="yes: gone, bare or out of reach; never drawn",
        ),
        Column("crop", example="medium", meaning="fruit count, or light, medium, heavy"),
        Column(
            "flowering",
            example="1",
            meaning="where a block has several: which; each is then estimated apart",
        ),
    ),
    ("block", "tree"),
    purpose="the trees of each block",
)

PHOTOS = TableDeclaration(
    "photos",
    (
        Column("photo", required=True, example="River/IMG_0412.jpg", meaning="under photos/"),
        Column("block", example="River", meaning="of blocks.csv"),
        Column("tree", example="12", meaning="number or name of the tree"),
        Column("date", "date", example="2026-11-03", meaning="day of the visit"),
        _whole("first_fruit", 1, 100000, "1", "number of its first fruit"),
        _whole("fruit_count", 0, 1000, "6", "fruit laid on the board"),
    ),
    ("photo",),
    purpose="where each photo belongs; what is missing comes from the code on the board, the "
    "folder name or the photo's own date",
)

FRUIT = TableDeclaration(
    "fruit",
    (
        _BLOCK,
        _TREE,
        _DATE,
        _FRUIT,
        _PHOTO,
        _number("thickness_mm", 10, 250, "68", "from cheek to cheek"),
        _number("mass_g", 5, 5000, "410", "the whole fruit"),
        Column("flesh_colour", meaning="in your own words or on a card"),
        Column("colour_card", meaning="which card"),
        Column("flowering", meaning="where it is not that of its tree"),
        _number("days_to_ripe", 0, 60, "", "after holding"),
        _number("ripe_brix_pct", 0, 40, "", "after holding"),
        Column("eating_score", "number", meaning="after holding, on a scale of your own"),
    ),
    ("block", "tree", "date", "fruit"),
    purpose="what else was measured on single fruit",
)

OVEN = TableDeclaration(
    "oven",
    (
        _BLOCK,
        _TREE,
        _DATE,
        _FRUIT,
        _PHOTO,
        _grams("dish_g", "45.12", "empty dish"),
        _grams("dish_fresh_g", "65.47", "dish with the fresh sample"),
        _grams("dish_dried_g", "48.23", "dish with the dried sample; blank: still drying"),
        _dm(""),
        _whole("replicate", 1, 1000, "1", "which sample of the same fruit"),
        _CHEEK,
        Column("skin_on", "yes_no", meaning="dried with its skin"),
        Column("dryer", example="oven", meaning="oven, microwave, dehydrator"),
        _number("dryer_c", 20, 200, "65", "its temperature"),
        _number(
            "hours", 0, 500, "48", "time in it; of a sample weighed again, a row for each weighing"
        ),
        _number("balance_g", 0.0001, 10, "0.01", "step of the scale"),
        Column("picked_on_purpose", "yes_no", example="no", meaning="not drawn at random"),
    ),
    ("block", "tree", "date", "fruit", "replicate", "cheek", "hours"),
    one_of=(("dish_g", "dish_fresh_g"), ("dm_pct",), ("dish_dried_g", "hours")),
    repeat_hint="a second sample needs replicate, the other cheek cheek, a later weighing hours",
    purpose="oven weighings (with the dish), or dry matter where only that is known",
)

METER = TableDeclaration(
    "meter",
    (
        _BLOCK,
        _TREE,
        _DATE,
        _FRUIT,
        _PHOTO,
        Column("meter", required=True, example="A", meaning="which instrument"),
        Column(
            "dm_pct",
            "number",
            required=True,
            low=LOWEST_DM_PCT,
            high=HIGHEST_DM_PCT,
            example="15.8",
            meaning="dry matter as read, %",
        ),
        _whole("replicate", 1, 1000, "1", "which reading of the same fruit"),
        _CHEEK,
        _number("fruit_c", -5, 60, "", "temperature of the fruit"),
        Column("setting", meaning="of the instrument, where it has several"),
    ),
    ("block", "tree", "date", "fruit", "meter", "replicate", "cheek"),
    repeat_hint="a second reading needs replicate, the other cheek cheek",
    purpose="readings of a hand-held dry-matter meter",
)

SPRAYS = TableDeclaration(
    "sprays",
    (
        _BLOCK,
        Column(
            "finished_at",
            "moment",
            required=True,
            example="2026-10-20 07:30",
            meaning="end of spraying; a day alone counts to its end",
        ),
        Column("product", required=True, example="none", meaning="`none`: nothing until then"),
        _number("withholding_days", 0, 1000, "", "from the label"),
        _number("reentry_hours", 0, 10000, "", "from the label"),
        _MARKET,
        Column(
            "confirmed_by", example="", meaning="person who stands for this row; blank: never ready"
        ),
        Column("confirmed_on", "date", example="", meaning="it holds for 14 days"),
    ),
    ("block", "finished_at", "product", "market"),
    purpose="every application, or `none`; without a confirmed record a block is never ready",
)

WEATHER = TableDeclaration(
    "weather",
    (
        Column("date", "date", required=True, example="2026-11-03", meaning="day"),
        air_temperature("tmin_c", "lowest", "18.4"),
        air_temperature("tmax_c", "highest", "31.0"),
    ),
    ("date",),
    purpose="daily temperatures, degrees C",
)

TABLES: tuple[TableDeclaration, ...] = (
    BLOCKS,
    POLICY,
    TREES,
    PHOTOS,
    FRUIT,
    OVEN,
    METER,
    SPRAYS,
    WEATHER,
    *PICKED_TABLES,
)
