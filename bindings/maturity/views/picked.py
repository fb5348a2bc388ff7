"""Tables, plots and notebook pages of the checks of picked fruit, of a load and of timings."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pandas

from maturity.views.drawing import INK, draw_intervals
from maturity.views.pages import table
from maturity.views.records import row_of, tidy_row
from maturity.views.shares import comparison_plot, in_100

if TYPE_CHECKING:
    from maturity.picked_fruit import PickedChecks
    from maturity.picked_loads import Load
    from maturity.sap_log import ContactSummary

#: Tables of the checks, by the name that `to_frame` takes.
TABLES = ("crews", "bins", "days", "loads", "damage", "contact")


def checks_frame(self: PickedChecks, of: str = "crews") -> pandas.DataFrame:
    """A tidy table of the checks; shares are 0 to 1.

    Parameters
    ----------
    of : {"crews", "bins", "days", "loads", "damage", "contact"}
        One row for each crew (immature fruit), look into a bin, day of a block and method, load,
        finding of a crew at a moment, or measure of a crew.

    Returns
    -------
    pandas.DataFrame

    Raises
    ------
    ValueError
        No such table.
    """
    if of not in TABLES:
        raise ValueError(f"of: {of!r}; expected one of {', '.join(TABLES)}")
    if of == "crews":
        rows = [] if self.immature is None else [row_of(one) for one in self.immature.crews]
    elif of == "bins":
        rows = [one.cells() for one in self.bins]
    elif of == "days":
        rows = [tidy_row(_plain_costs(row), {"interval": "share_{}"}) for row in self.days]
    elif of == "loads":
        return load_frame(*self.loads)
    elif of == "damage":
        rows = [
            {"crew": row.crew, "finding": row.finding, "seen_at": seen_at}
            | {"count": look[0], "checked": look[1], "share": look[0] / look[1]}
            for row in self.two_looks
            for seen_at, look in (("arrival", row.arrival), ("held", row.held))
            if look is not None
        ]
    else:
        return contact_frame(*self.contact)
    return pandas.DataFrame(rows)


def _plain_costs(row: dict[str, Any]) -> dict[str, Any]:
    cost = row["cost"]
    return {**row, "cost": None if cost is None or cost.money is None else cost.money.value}


def checks_plot(self: PickedChecks, ax: Any = None) -> Any:
    """Share of immature fruit of each crew with its 95 % interval, and that of the others.

    Parameters
    ----------
    ax : matplotlib.axes.Axes, optional
        Default: those of a new figure.

    Returns
    -------
    matplotlib.axes.Axes

    Raises
    ------
    ValueError
        Immature fruit were never looked for.
    """
    if self.immature is None:
        raise ValueError("picked.csv: immature fruit were never looked for; there is no share")
    ax = comparison_plot(self.immature, ax)
    ax.set_title("Immature fruit by crew", fontsize=10, loc="left")
    return ax


def checks_html(self: PickedChecks) -> str:
    """Crews, then the next step of each load."""
    columns = ["crew", "bins", "checked", "found", "share", "share_low", "share_high", "differs"]
    frame = checks_frame(self)
    rows = [] if frame.empty else frame[columns].to_dict("records")
    said = [f"{one.name}, {one.date}: {text}." for one in self.loads for text in one.sentences()]
    said += [f"{len(self.problems)} problems (.problems)."] * bool(self.problems)
    return table("Picked fruit: immature by crew", rows, [*said, *self.notes])


def checks_repr(self: PickedChecks) -> str:
    """The checks in a line."""
    crews = ", ".join(self.crews)
    return f"<PickedChecks of {crews}: looks {len(self.looks)}, loads {len(self.loads)}>"


def load_frame(*loads: Load) -> pandas.DataFrame:
    """One row for each load and rule: what was found, against what, and the next step."""
    rows = []
    for one in loads:
        row: dict[str, Any] = {"load": one.name, "date": one.date.isoformat(), "block": one.block}
        row |= {"method": one.method or None, "crews": ", ".join(one.crews)}
        row |= {"bins_looked": one.bins_looked, "bins": one.bins, "checked": one.checked}
        row["step"] = one.step
        for rule, decision in one.decisions.items():
            given = one.rules[rule]
            limits: dict[str, Any] = {
                "acceptable_share": given.acceptable,
                "refused_share": given.refused,
            }
            fields = {
                f"rule_{name}" if name == "step" else name: value
                for name, value in row_of(decision).items()
            }
            rows.append({**row, "rule": rule, **limits, **fields})
        if not one.decisions:
            row["rule"] = None
            rows.append(row)
    return pandas.DataFrame(rows)


def load_plot(self: Load, ax: Any = None) -> Any:
    """Share found under each rule with its 95 % interval, and what is acceptable and refused.

    Parameters
    ----------
    ax : matplotlib.axes.Axes, optional
        Default: those of a new figure.

    Returns
    -------
    matplotlib.axes.Axes

    Raises
    ------
    ValueError
        No rule of limits.csv could be asked.
    """
    if not self.decisions:
        raise ValueError(f"load {self.name}, {self.date}: no rule of limits.csv bears on it")
    shown = list(self.decisions.items())
    ax = draw_intervals(ax, [(name, *in_100(one.share, one.interval)) for name, one in shown])
    for place, (name, _) in zip(range(len(shown) - 1, -1, -1), shown):
        rule = self.rules[name]
        for share, word in ((rule.acceptable, "acceptable"), (rule.refused, "refused")):
            ax.plot(100 * share, place, "|", color=INK, ms=18, mew=2)
            ax.annotate(
                word,
                (100 * share, place),
                (0, 12),
                textcoords="offset points",
                ha="center",
                fontsize=8,
            )
    ax.set_xlim(left=0)
    ax.set_xlabel("share in 100, with 95 % interval")
    step = (self.step or "no decision").replace("_", " ")
    ax.set_title(
        f"Load {self.name}, {self.date}: {step}", fontsize=10, loc="left", parse_math=False
    )
    return ax


def load_html(self: Load) -> str:
    """What was found under each rule, and the next step in words."""
    columns = ["rule", "checked", "share", "share_low", "share_high", "acceptable_share"]
    frame = load_frame(self)
    shown = [name for name in [*columns, "refused_share", "step"] if name in frame]
    title = f"Load {self.name}, {self.date}, block {self.block}"
    return table(title, frame[shown].to_dict("records"), self.sentences())


def load_repr(self: Load) -> str:
    """The load in a line."""
    return f"<Load {self.name!r}, {self.date}: {self.checked} fruit checked, {self.step}>"


def contact_frame(*summaries: ContactSummary) -> pandas.DataFrame:
    """One row for each measure of a crew: count, median, longest, shortest and trend, in `unit`."""
    rows = [
        {
            "crew": one.crew,
            "method": one.method or None,
            "measure": one.measure,
            "unit": one.unit,
            "at_least": one.limits[0],
            "at_most": one.limits[1],
            **row_of(one.summary),
        }
        for one in summaries
    ]
    return pandas.DataFrame(rows)


def contact_plot(self: ContactSummary, ax: Any = None) -> Any:
    """From the shortest to the longest with the median, and your limits as upright strokes."""
    label = " ".join(part for part in (self.crew, self.method) if part)
    summary = self.summary
    ax = draw_intervals(ax, [(label, summary.median, summary.shortest, summary.longest)])
    for limit in self.limits:
        if limit is not None:
            ax.axvline(limit, color=INK, lw=1, ls="--")
    ax.set_xlim(left=0)
    ax.set_xlabel(f"{self.words}, {self.unit} (broken line: your limit)")
    return ax


def contact_html(self: ContactSummary) -> str:
    """The row of `to_frame`, the limit, and the trend in words."""
    rows = contact_frame(self).to_dict("records")
    limit, trend = self.limit_text, self.trend_text
    return table(f"{self.crew}: {self.words}", rows, [f"Limit: {limit}.", f"By day: {trend}."])
