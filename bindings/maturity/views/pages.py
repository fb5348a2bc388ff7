"""Results as HTML for notebooks: a title, a small table, sentences. Every text is escaped."""

from __future__ import annotations

import html
from collections.abc import Iterable, Mapping
from typing import Any

#: Longest table of a page; the rest is counted.
_ROWS = 24


def shown(value: Any) -> str:
    """A value as people read it: unknown is said, numbers have as many digits as mean something."""
    if value is None:
        return "not known"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.4g}"
    if isinstance(value, (list, tuple)) and all(isinstance(one, (int, float)) for one in value):
        ends = [shown(one) for one in value]
        return f"{ends[0]} to {ends[1]}" if len(ends) == 2 else ", ".join(ends)
    if isinstance(value, (list, tuple)):
        return ", ".join(str(one) for one in value) or "none"
    return str(value)


def page(title: str, rows: Mapping[str, Any], sentences: Iterable[str] = ()) -> str:
    """A title, names with values, and sentences below."""
    lines = [f"<p><strong>{html.escape(title)}</strong></p><table>"]
    for name, value in list(rows.items())[:_ROWS]:
        lines.append(
            f'<tr><th scope="row" style="text-align:left">{html.escape(name)}</th>'
            f'<td style="text-align:left">{html.escape(shown(value))}</td></tr>'
        )
    lines.append("</table>")
    if len(rows) > _ROWS:
        lines.append(f"<p>and {len(rows) - _ROWS} more</p>")
    lines += [f"<p>{html.escape(text)}</p>" for text in sentences]
    return "".join(lines)


def table(title: str, rows: Iterable[Mapping[str, Any]], sentences: Iterable[str] = ()) -> str:
    """A title, a table with a head, and sentences below."""
    listed = list(rows)
    lines = [f"<p><strong>{html.escape(title)}</strong></p><table>"]
    if listed:
        heads = "".join(f'<th scope="col">{html.escape(name)}</th>' for name in listed[0])
        lines.append(f"<thead><tr>{heads}</tr></thead>")
    for row in listed[:_ROWS]:
        cells = "".join(f"<td>{html.escape(shown(value))}</td>" for value in row.values())
        lines.append(f"<tr>{cells}</tr>")
    lines.append("</table>")
    if len(listed) > _ROWS:
        lines.append(f"<p>and {len(listed) - _ROWS} more rows</p>")
    lines += [f"<p>{html.escape(text)}</p>" for text in sentences]
    return "".join(lines)
