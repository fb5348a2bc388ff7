"""Gives the types of the C++ library their tables, plots and notebook pages."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from maturity import _core
from maturity.views.flowerings import FLOWERING_VIEWS
from maturity.views.native import NATIVE_VIEWS
from maturity.views.others import OTHER_VIEWS
from maturity.views.records import record_frame, record_html, rows_frame, rows_html, sentences_of
from maturity.views.records import title_of
from maturity.views.shares import SHARE_PLOTS
from maturity.views.walks import WALK_PLOTS, sample_plan_html

#: Types whose table has a row for each record of a field.
_ROWS = {
    _core.CrewComparison: "crews",
    _core.PChart: "points",
    _core.NestedTolerances: "checks",
}

_VIEWS = {**NATIVE_VIEWS, **OTHER_VIEWS, **FLOWERING_VIEWS}


def add_views() -> None:
    """Give every type with fields `to_frame` and a notebook page, and `plot` where there is one."""
    for kind in vars(_core).values():
        if isinstance(kind, type) and hasattr(kind, "to_dict"):
            _add(kind, "to_frame", record_frame)
            _add(kind, "_repr_html_", record_html)
    for kind, field in _ROWS.items():
        _add(kind, "to_frame", _frame_of(field))
        _add(kind, "_repr_html_", _html_of(field))
    for kind, draw in {**SHARE_PLOTS, **WALK_PLOTS}.items():
        _add(kind, "plot", draw)
    _add(_core.SamplePlan, "_repr_html_", sample_plan_html)
    for kind, (to_frame, plot, as_html) in _VIEWS.items():
        for name, function in (("to_frame", to_frame), ("plot", plot), ("_repr_html_", as_html)):
            if function is not None:
                _add(kind, name, function)


def _add(kind: type, name: str, function: Callable[..., Any]) -> None:
    setattr(kind, name, function)


def _frame_of(field: str) -> Callable[..., Any]:
    def to_frame(self: Any) -> Any:
        return rows_frame(getattr(self, field))

    to_frame.__doc__ = f"One row for each of `{field}`; shares are 0 to 1."
    return to_frame


def _html_of(field: str) -> Callable[..., str]:
    def as_html(self: Any) -> str:
        return rows_html(title_of(self), getattr(self, field), sentences_of(self))

    as_html.__doc__ = f"The same as a table, a row for each of `{field}`."
    return as_html
