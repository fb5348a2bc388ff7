"""`maturity board`: markers, number tiles and tree code cards to print."""

from __future__ import annotations

from pathlib import Path

import click

from maturity.marker_cells import TILE_COUNT
from maturity.season import read_season
from maturity.tables import write_json


@click.command(epilog="Example: maturity board --out print --season season-2027 --block River")
@click.option(
    "--out",
    metavar="DIR",
    required=True,
    type=click.Path(file_okay=False, path_type=Path),
    help="Folder for board.pdf and cards.pdf.",
)
@click.option(
    "--tiles", type=click.IntRange(0, TILE_COUNT), default=12, help="Number tiles 1 to N."
)
@click.option(
    "--season",
    type=click.Path(path_type=Path),
    help="Season folder: a code card for each tree of trees.csv.",
)
@click.option("--block", "blocks", multiple=True, help="Trees of this block only, again for more.")
@click.option(
    "--tree", "trees", metavar="BLOCK/TREE", multiple=True, help="A code card for this tree, too."
)
@click.option(
    "--paper",
    type=click.Choice(["a4", "a3"], case_sensitive=False),
    default="a4",
    help="Paper of cards.pdf; board.pdf is A4.",
)
@click.option(
    "--json",
    "json_file",
    type=click.Path(dir_okay=False, path_type=Path),
    help="Write what was made as JSON.",
)
def board(
    out: Path,
    tiles: int,
    season: Path | None,
    blocks: tuple[str, ...],
    trees: tuple[str, ...],
    paper: str,
    json_file: Path | None,
) -> None:
    """Write the marker sheet, number tiles and tree code cards as PDF at true size."""
    # Loaded here only: matplotlib takes long to load, and other commands do without.
    from maturity.cards import write_cards
    from maturity.marker_sheet import write_marker_sheet

    cards = [_named_tree(text) for text in trees]
    if season is not None:
        cards += trees_of_season(season, blocks)
    elif blocks:
        raise click.UsageError("--block goes with --season")
    cards = list(dict.fromkeys(cards))
    if tiles or cards:
        write_cards(out / "cards.pdf", tiles=tiles, trees=cards, paper=paper)
    write_marker_sheet(out / "board.pdf")
    if json_file is not None:
        names = ["board.pdf", "cards.pdf"] if tiles or cards else ["board.pdf"]
        trees_with_card = [f"{block}/{tree}" for block, tree in cards]
        write_json(json_file, {"files": names, "tiles": tiles, "cards": trees_with_card})
    click.echo(f"Made {out / 'board.pdf'}: print at 100 %, check its 100 mm line.")
    if tiles or cards:
        click.echo(f"Made {out / 'cards.pdf'}: {tiles} number tiles, {len(cards)} tree code cards.")
    if not cards:
        click.echo("No tree code card: give --season SEASON or --tree BLOCK/TREE.")


def _named_tree(text: str) -> tuple[str, str]:
    block, slash, tree = text.partition("/")
    if not slash:
        raise click.UsageError(f"--tree {text}: expected BLOCK/TREE")
    return block, tree


def trees_of_season(folder: Path, blocks: tuple[str, ...]) -> list[tuple[str, str]]:
    """Trees of trees.csv that are not excluded, in its order.

    Raises
    ------
    ValueError
        A block that blocks.csv does not know, or no tree at all.
    """
    season = read_season(folder, needs_data=False)
    for name in blocks:
        if name not in season.blocks:
            known = ", ".join(season.blocks)
            raise ValueError(f"block {name!r}: expected a block of blocks.csv ({known})")
    rows = season.tables["trees"].rows
    wanted = [
        row for row in rows if not row["excluded"] and row["block"] in (blocks or season.blocks)
    ]
    if not wanted:
        asked = blocks or tuple(season.blocks)
        what = f"block {', '.join(blocks)}" if blocks else "any block"
        raise ValueError(
            f"trees.csv lists no tree of {what}, so there is no code card to print; write a row "
            f"block,row,tree for each tree, or name single trees: --tree {asked[0]}/12 (`maturity "
            "walk` prints the cards of the trees it draws)"
        )
    return [(row["block"], row["tree"]) for row in wanted]
