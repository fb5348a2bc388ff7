"""What each file of a season folder holds: its columns, and what makes two rows the same.

One declaration after the other and nothing else, hence its length.
"""

from __future__ import annotations

from maturity.season.columns import Column
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
    return Column(name, "number", low=0, high=100000, example=example, meaning=meaning)


BLOCKS = TableDeclaration(
    "blocks",
    (
        _BLOCK,
        Column("cultivar", required=True, example="Amberlee", meaning="name of the cultivar"),
        Column("rows", "integer", low=1, high=2000, example="12"),
        Column("trees_per_row", "integer", low=1, high=2000, example="20"),
        Column("row_spacing_m", "number", low=0.1, high=100, example="8"),
        Column("tree_spacing_m", "number", low=0.1, high=100, example="5"),
        Column("lat", "number", low=-90, high=90),
        Column("lon", "number", low=-180, high=180),
        Column("trees_bearing", "integer", low=0, high=10000000, example="230"),
        Column("heat_start", "date", meaning="day from which heat units count"),
        Column("heat_start_stage", meaning="what was seen on that day"),
        Column("heat_target", "number", low=0, high=100000),
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
        ),
        Column("heat_lower_c", "number", low=-50, high=60),
        Column("heat_upper_c", "number", low=-50, high=60),
        Column("heat_cutoff", "choice", choices=("horizontal", "intermediate", "vertical")),
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
        Column(
            "required_share",
            "number",
            low=0.5,
            high=0.999,
            example="0.9",
            meaning="share of fruit that must reach it, 0.9: 90 in 100; for the rule share",
        ),
        Column(
            "confidence",
            "number",
            low=0.5,
            high=0.999,
            example="0.9",
            meaning="how sure before it is called ready, 0.9: 90 in 100",
        ),
        Column(
            "pass",
            "choice",
            choices=("strip", "selective"),
            example="strip",
            meaning="strip: all fruit in one pass",
        ),
        Column("source", example="orchard meeting", meaning="who set this rule"),
        Column("source_date", "date", example="2026-09-01"),
    ),
    ("block", "market", "rule", "minimum_dm_pct", "required_share", "confidence", "pass"),
    purpose="your own rule for each block and market; several rows are allowed",
)

TREES = TableDeclaration(
    "trees",
    (
        _BLOCK,
        Column("row", required=True, example="3"),
        _TREE,
        Column("lat", "number", low=-90, high=90),
        Column("lon", "number", low=-180, high=180),
        Column("excluded", "yes_no", example="no"),
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
        Column("block", example="River"),
        Column("tree", example="12"),
        Column("date", "date", example="2026-11-03"),
        Column(
            "first_fruit",
            "integer",
            low=1,
            high=100000,
            example="1",
            meaning="number of its first fruit",
        ),
        Column(
            "fruit_count",
            "integer",
            low=0,
            high=1000,
            example="6",
            meaning="fruit laid on the board",
        ),
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
        Column("thickness_mm", "number", low=10, high=250, example="68"),
        Column("mass_g", "number", low=5, high=5000, example="410"),
        Column("flesh_colour"),
        Column("colour_card"),
        Column("flowering", meaning="where it is not that of its tree"),
        Column("days_to_ripe", "number", low=0, high=60),
        Column("ripe_brix_pct", "number", low=0, high=40),
        Column("eating_score", "number"),
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
        Column("replicate", "integer", low=1, high=1000, example="1"),
        _CHEEK,
        Column("skin_on", "yes_no"),
        Column("dryer", example="oven", meaning="oven, microwave, dehydrator"),
        Column("dryer_c", "number", low=20, high=200, example="65", meaning="its temperature"),
        Column(
            "hours",
            "number",
            low=0,
            high=500,
            example="48",
            meaning="time in it; of a sample weighed again, a row for each weighing",
        ),
        Column(
            "balance_g", "number", low=0.0001, high=10, example="0.01", meaning="step of the scale"
        ),
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
        Column("replicate", "integer", low=1, high=1000, example="1"),
        _CHEEK,
        Column("fruit_c", "number", low=-5, high=60),
        Column("setting"),
    ),
    ("block", "tree", "date", "fruit", "meter", "replicate", "cheek"),
    repeat_hint="a second reading needs replicate, the other cheek cheek",
    purpose="readings of a hand-held dry-matter meter",
)

SPRAYS = TableDeclaration(
    "sprays",
    (
        _BLOCK,
        Column("finished_at", "moment", required=True, example="2026-10-20 07:30"),
        Column("product", required=True, example="none", meaning="`none`: nothing until then"),
        Column("withholding_days", "number", low=0, high=1000, meaning="from the label"),
        Column("reentry_hours", "number", low=0, high=10000, meaning="from the label"),
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
        Column("date", "date", required=True, example="2026-11-03"),
        Column("tmin_c", "number", required=True, low=-60, high=60, example="18.4"),
        Column("tmax_c", "number", required=True, low=-60, high=60, example="31.0"),
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
