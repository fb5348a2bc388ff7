"""The picking guide: what mature fruit of a block looks like, where that can be seen."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from os import PathLike
from pathlib import Path

from maturity.guide.basis import guide_basis
from maturity.guide.content import GuideContent, guide_content
from maturity.guide.phone import write_phone_picture
from maturity.guide.practice import practice_pages
from maturity.guide.sheets import guide_pages
from maturity.guide.words import languages, read_words
from maturity.paper import write_pages
from maturity.scoring import SeasonScore
from maturity.views.guides import written_frame, written_html, written_plot

__all__ = ["GuideContent", "WrittenGuide", "languages", "write_guide"]


@dataclass(frozen=True)
class WrittenGuide:
    """What was written, and what it says. `no_practice` says why there is no practice sheet."""

    content: GuideContent
    files: list[Path]
    no_practice: str | None = None

    to_frame = written_frame
    plot = written_plot
    _repr_html_ = written_html


def write_guide(
    score: SeasonScore,
    block: str,
    folder: str | PathLike[str],
    *,
    date: datetime.date | None = None,
    market: str | None = None,
    paper: str = "a4",
    language: str = "en",
    practice: bool = False,
) -> WrittenGuide:
    """Write guide.pdf (true size) and guide.png (for phones), and practice.pdf where asked.

    Parameters
    ----------
    score : SeasonScore
    block : str
    folder : path
    date : date, optional
        Visit; default: the latest.
    market : str, optional
        Where policy.csv has several rows for the block.
    paper : {"a4", "a3"}
    language : str
        One of `languages()`. Languages whose cautions nobody has checked say so.
    practice : bool

    Returns
    -------
    WrittenGuide
        `content.teaches` is False where shape cannot separate fruit here: the guide is then one
        page that says so, with the reason and the next step.

    Raises
    ------
    ValueError
        Unknown block, visit, market or language; a fruit too large for the paper.
    OSError
        A photo or the folder cannot be used.

    Examples
    --------
    Oven fruit alone cannot show which shape to take:

    >>> import pathlib, tempfile
    >>> from maturity import score_season
    >>> folder = pathlib.Path(tempfile.mkdtemp())
    >>> _ = (folder / "blocks.csv").write_text("block,cultivar\\nRiver,Amberlee\\n")
    >>> _ = (folder / "oven.csv").write_text(
    ...     "block,tree,date,fruit,dm_pct\\n"
    ...     + "".join(f"River,{tree},2026-11-03,1,{14 + tree / 4}\\n" for tree in range(1, 9))
    ... )
    >>> _ = (folder / "policy.csv").write_text(
    ...     "block,rule,minimum_dm_pct,required_share,confidence\\nRiver,share,15,0.9,0.9\\n"
    ... )
    >>> written = write_guide(score_season(folder), "River", folder / "guide")
    >>> written.content.teaches, [file.name for file in written.files]
    (False, ['guide.pdf', 'guide.png'])
    """
    words = read_words(language)
    content = guide_content(guide_basis(score, block, date=date, market=market), words)
    target = Path(folder)
    files = [target / "guide.pdf", target / "guide.png"]
    write_pages(files[0], guide_pages(content, paper), content.title())
    write_phone_picture(files[1], content)
    no_practice = None
    if practice:
        sheet = target / "practice.pdf"
        try:
            pages = list(practice_pages(content, paper))
        except ValueError as error:
            no_practice = str(error)
        else:
            title = words("practice_title", block=content.basis.visit.block)
            write_pages(sheet, pages, title)
            files.append(sheet)
    return WrittenGuide(content, files, no_practice)
