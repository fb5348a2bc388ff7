"""Tidy rows and notebook pages of any result that is a set of named fields."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any

import pandas

from maturity.views.pages import page, table

#: Table, plot and page of a type; None: the plain one, or none.
Views = tuple[Callable[..., Any] | None, Callable[..., Any] | None, Callable[..., Any] | None]

#: Columns that say the unit of a field whose own name does not, by type; {} is where "low" and
#: "high" of an interval go. Shares and chances are 0 to 1.
COLUMNS: dict[str, dict[str, str]] = {
    "BinOutcome": {"interval": "share_{}"},
    "BlockBias": {"bias": "bias_pct", "standard_error": "bias_se_pct"},
    "ChartPoint": {"limits": "limit_{}"},
    "CrewShare": {"interval": "share_{}"},
    "HeatSum": {
        "degree_days": "degree_days_c",
        "of_known_days": "degree_days_c_of_known_days",
        "first_missing": "first_missing_day",
    },
    "LateDamage": {"difference": "share_difference", "interval": "share_difference_{}"},
    "LoadDecision": {"interval": "share_{}", "more": "more_fruit"},
    "Look": {"fraction": "share_of_plan", "needed": "needed_chance", "spent": "spent_chance"},
    "PickingBlock": {},
    "PickingTurn": {
        "free_from": "free_from_day",
        "start": "start_day",
        "finish": "finish_day",
        "waits": "waits_days",
        "slack": "slack_days",
    },
    "PlainMean": {"mean": "mean_dm_pct", "se": "mean_dm_se_pct", "interval": "mean_dm_{}_pct"},
    "SamplePlan": {
        "trees": "more_trees",
        "photos": "more_photos",
        "oven": "more_oven_readings",
        "cost": "cost_own_units",
        "p_settle": "chance_settled",
        "sd_after": "sd_after_pct",
    },
    "ShapeCut": {
        "taken": "taken_share",
        "taken_interval": "taken_share_{}",
        "immature_taken_median": "immature_taken_share",
        "immature_taken_interval": "immature_taken_{}",
        "immature_blind_median": "immature_blind_share",
        "immature_blind_interval": "immature_blind_{}",
    },
    "ShareRange": {"median": "share", "interval": "share_{}"},
    "SlopeEstimate": {"per_sd": "slope_pct_per_sd", "per_unit": "slope_pct_per_unit"},
    "TargetDay": {"so_far": "so_far_degree_days_c", "target": "target_degree_days_c"},
    "ToleranceCheck": {"interval": "share_{}", "limit": "limit_share"},
    "WalkDesign": {
        "cost": "cost_own_units",
        "standard_error": "standard_error_pct",
        "p_clear": "chance_clear_decision",
    },
    "WalkResult": {
        "mean": "mean_dm_pct",
        "between_variance": "between_trees_variance_pct2",
        "within_variance": "within_trees_variance_pct2",
        "random_error": "random_error_pct",
        "balanced_error": "balanced_error_pct",
        "balance": "balance_ratio",
    },
    "WalkVariances": {
        "tree_variance": "tree_variance_pct2",
        "fruit_variance": "fruit_variance_pct2",
        "shape_tree_variance": "shape_tree_variance_pct2",
        "shape_fruit_variance": "shape_fruit_variance_pct2",
        "balance": "balance_ratio",
    },
    "WholeShare": {"interval": "share_{}"},
}

#: Tuples whose parts are no lower and upper end.
_PARTS = {
    "per_sd": ("mean", "sd"),
    "per_unit": ("mean", "sd"),
    "meter_bias": ("mean", "sd"),
    "meter_slope": ("mean", "sd"),
    "pace": ("recent_c_per_day", "fastest_c_per_day", "slowest_c_per_day"),
    "range_80": ("level", "first_day", "last_day"),
    "range_95": ("level", "first_day", "last_day"),
    "stem": ("x", "y"),
    "nose": ("x", "y"),
    "axis": ("x", "y"),
}
_ENDS = re.compile(r"(^|_)(interval(_\d+)?|wilson|clopper_pearson)$|^limits$")


def flat_fields(fields: Mapping[str, Any], before: str = "") -> dict[str, Any]:
    """Fields with those of records inside them, these under both names."""
    flat: dict[str, Any] = {}
    for name, value in fields.items():
        if isinstance(value, Mapping):
            flat.update(flat_fields(value, f"{before}{name}_"))
        elif not _is_rows(value):
            flat[f"{before}{name}"] = value
    return flat


def _is_rows(value: Any) -> bool:
    """True for lists of records, of lists, and long lists of numbers: tables of their own."""
    if not isinstance(value, (list, tuple)):
        return hasattr(value, "shape") and value.shape not in ((), (2,))
    return any(isinstance(one, (Mapping, list, tuple)) for one in value) or (
        len(value) > 3 and not any(isinstance(one, str) for one in value)
    )


def row_of(result: Any) -> dict[str, Any]:
    """One row of a tidy table: a cell for each field, intervals as two, lists of names joined."""
    return tidy_row(result.to_dict(), COLUMNS.get(type(result).__name__, {}))


def tidy_row(fields: Mapping[str, Any], columns: Mapping[str, str]) -> dict[str, Any]:
    """The same of any fields, under the names of `columns`."""
    row: dict[str, Any] = {}
    for name, value in flat_fields(fields).items():
        column = columns.get(name, name)
        last = name.rpartition("_")[2] if name not in _PARTS else name
        parts = _PARTS.get(name, _PARTS.get(last))
        if parts is not None or _ENDS.search(name):
            row.update(_cells(column, value, parts))
        elif isinstance(value, (list, tuple)):
            row[column] = ", ".join(str(one) for one in value)
        else:
            row[column] = value
    return row


def _cells(column: str, value: Any, parts: tuple[str, ...] | None) -> dict[str, Any]:
    names = ("low", "high") if parts is None else parts
    values = [None] * len(names) if value is None else list(value)
    pattern = column if "{}" in column else f"{column}_{{}}"
    return {pattern.format(name): one for name, one in zip(names, values)}


def record_frame(self: Any) -> pandas.DataFrame:
    """One row: every figure under its name and unit, ends of intervals as _low and _high."""
    return pandas.DataFrame([row_of(self)])


def rows_frame(rows: list[Any]) -> pandas.DataFrame:
    """A row for each record of a list."""
    return pandas.DataFrame([row_of(one) for one in rows])


def record_html(self: Any) -> str:
    """Every figure with its name and unit, and what it means in words."""
    return page(title_of(self), row_of(self), sentences_of(self))


def rows_html(title: str, rows: list[Any], sentences: list[str]) -> str:
    """A table with a row for each record of a list."""
    return table(title, [row_of(one) for one in rows], sentences)


def title_of(result: Any) -> str:
    """The type in words."""
    words = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", type(result).__name__).lower()
    return words[:1].upper() + words[1:]


def sentences_of(result: Any) -> list[str]:
    """What a result says of itself in words."""
    said: list[str] = []
    for name in dir(type(result)):
        if name.endswith(("sentence", "sentences")):
            value = getattr(result, name)
            value = value() if callable(value) else value
            said += [value] if isinstance(value, str) else list(value or [])
    return said
