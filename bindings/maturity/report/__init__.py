"""One self-contained HTML file about a season: works offline, prints, reads on a phone."""

from __future__ import annotations

import datetime
from os import PathLike
from pathlib import Path

import jinja2
import markupsafe

from maturity.about import about
from maturity.block_visit import in_100
from maturity.report.calibrations import calibration_texts
from maturity.report.charts import Chart, visits_chart
from maturity.report.evidence_charts import readiness_chart, shape_chart
from maturity.report.maps import block_map, site_map
from maturity.photos import flag_sentences
from maturity.report.pages import BlockPage, block_pages, summary
from maturity.report.picked import picked_section
from maturity.report.plates import photo_plates
from maturity.report.ranking import ranking
from maturity.report.silhouettes import silhouette_sheet
from maturity.scoring import SeasonScore
from maturity.season.problems import alike_problems
from maturity.tables import write_text
from maturity.views.drawing import FAINT, INK, STRONG

_HERE = Path(__file__).parent


def write_report(score: SeasonScore, path: str | PathLike[str]) -> None:
    """Write the report.

    Parameters
    ----------
    score : SeasonScore
    path : path
        Written whole or not at all.

    Raises
    ------
    OSError
        The file cannot be written.

    Examples
    --------
    >>> import pathlib, tempfile
    >>> from maturity import score_season
    >>> folder = pathlib.Path(tempfile.mkdtemp())
    >>> _ = (folder / "blocks.csv").write_text("block,cultivar\\nRiver,Amberlee\\n")
    >>> _ = (folder / "oven.csv").write_text(
    ...     "block,tree,date,fruit,dm_pct\\nRiver,1,2026-11-03,1,15.1\\n"
    ... )
    >>> write_report(score_season(folder), folder / "report.html")
    >>> "River: <span class=\\"verdict\\">no estimate" in (folder / "report.html").read_text()
    True
    """
    write_text(path, render_report(score))


def render_report(score: SeasonScore) -> str:
    """The report as text; every text from files is escaped."""
    environment = jinja2.Environment(
        loader=jinja2.FileSystemLoader(_HERE),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["capitalize_first"] = lambda text: text[:1].upper() + text[1:]
    environment.globals["in_100"] = in_100
    plates, omitted = photo_plates(score)
    pages: list[BlockPage] = block_pages(score)
    return environment.get_template("report.html.j2").render(
        title=score.season.name,
        style=markupsafe.Markup(_inks() + (_HERE / "report.css").read_text("utf-8")),
        pages=pages,
        summary=summary(pages),
        flags=_flags(score),
        charts={page.block: _charts(page) for page in pages},
        site=site_map(score),
        block_maps={
            page.block: block_map(score, page.latest[0].visit) if page.latest else None
            for page in pages
        },
        calibrations=calibration_texts(score),
        ranking=ranking(score),
        plates=plates,
        sheets={
            page.block: silhouette_sheet(score, page.latest[0].visit) if page.latest else None
            for page in pages
        },
        omitted=omitted,
        picked=picked_section(score.season),
        score=score,
        problems=alike_problems(score.season.problems),
        about=about(),
        today=datetime.date.today().isoformat(),
    )


def _inks() -> str:
    return f":root {{ --ink: {INK}; --strong: {STRONG}; --faint: {FAINT}; }}\n"


def _flags(score: SeasonScore) -> dict[str, str]:
    """Flags that occur on photos or their fruit, with their sentences."""
    seen: set[str] = set()
    for photo in score.photos:
        seen.update(photo.measurement["flags"])
        seen.update(flag for fruit in photo.measurement["fruits"] for flag in fruit["flags"])
    return {name: text for name, text in flag_sentences().items() if name in seen}


def _charts(page: BlockPage) -> list[Chart]:
    """The charts of a block that its data allow."""
    charts = [visits_chart(page), readiness_chart(page)]
    if page.latest:
        charts.append(shape_chart(page.latest[0].visit))
    return [chart for chart in charts if chart is not None]
