"""Results as HTML for notebooks: a title, a small table, sentences. Every text is escaped.

Nothing depends on styles, which many viewers strip: headings are headings of the table, sides are
plain attributes, and all that is meant stands in words.
"""

from __future__ import annotations

import datetime
import html
import math
from collections.abc import Iterable, Mapping
from typing import Any

#: Longest table of a page; the rest is counted.
_ROWS = 24


def shown(value: Any) -> str:
    """A value as people read it: unknown is said, numbers have as many digits as mean something."""
    if value is None or (isinstance(value, float) and math.isnan(value)):
        return "not known"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        # What arithmetic leaves of nothing is nothing.
        small = 0 < abs(value) < 5e-5
        return "about 0" if small else f"{value:.4g}" if abs(value) < 1e4 else f"{value:.0f}"
    if isinstance(value, datetime.datetime):
        return value.isoformat(" ", "minutes")
    if isinstance(value, (list, tuple)) and all(isinstance(one, (int, float)) for one in value):
        ends = [shown(one) for one in value]
        return f"{ends[0]} to {ends[1]}" if len(ends) == 2 else ", ".join(ends) or "none"
    if isinstance(value, (list, tuple)):
        return ", ".join(str(one) for one in value) or "none"
    return str(value)


#: Ends of names that are units, the longest first.
_UNITS = {
    "_pct_per_unit": ", % for each unit",
    "_pct_per_sd": ", % for each SD",
    "_pct2": ", % squared",
    "_pct": ", %",
    "_mm": ", mm",
    "_g": ", g",
    "_days": ", days",
    "_in_100": ", in 100",
}


def label(name: str) -> str:
    """The name of a column as people read it: words, then the unit."""
    for end, unit in _UNITS.items():
        if name.endswith(end):
            name = name.removesuffix(end) + unit
            break
    words = [("dry matter" if word == "dm" else word) for word in name.split("_")]
    return " ".join(words)


def page(title: str, rows: Mapping[str, Any], sentences: Iterable[str] = ()) -> str:
    """A title, names with values, and sentences below."""
    lines = [_table(title)]
    for name, value in list(rows.items())[:_ROWS]:
        lines.append(
            f'<tr><th scope="row" align="left">{html.escape(label(name))}</th>'
            f'<td align="left">{html.escape(shown(value))}</td></tr>'
        )
    lines.append("</table>")
    if len(rows) > _ROWS:
        lines.append(f"<p>and {len(rows) - _ROWS} more</p>")
    return "".join(lines + _said(sentences))


def table(title: str, rows: Iterable[Mapping[str, Any]], sentences: Iterable[str] = ()) -> str:
    """A title, a table with a head, and sentences below."""
    listed = list(rows)
    lines = [_table(title)]
    if listed:
        heads = "".join(
            f'<th scope="col" align="left">{html.escape(label(name))}</th>' for name in listed[0]
        )
        lines.append(f"<thead><tr>{heads}</tr></thead>")
    for row in listed[:_ROWS]:
        cells = "".join(
            f'<td align="left">{html.escape(shown(value))}</td>' for value in row.values()
        )
        lines.append(f"<tr>{cells}</tr>")
    lines.append("</table>")
    if len(listed) > _ROWS:
        lines.append(f"<p>and {len(listed) - _ROWS} more rows</p>")
    return "".join(lines + _said(sentences))


def _table(title: str) -> str:
    lines = 'border="1" cellpadding="4" cellspacing="0"'
    return f"<p><strong>{html.escape(title)}</strong></p><table {lines}>"


def _said(sentences: Iterable[str]) -> list[str]:
    return [f"<p>{html.escape(text)}</p>" for text in sentences]
