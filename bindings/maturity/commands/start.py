"""`maturity start`: an empty season folder to fill in."""

from __future__ import annotations

from pathlib import Path

import click

from maturity.season.declarations import TABLES
from maturity.season.table_declaration import TableDeclaration
from maturity.tables import write_json, write_text

_PHOTOS_NOTE = """Put the photos here, for instance as photos/<block>/<tree>/<photo>.jpg.
Where the folder does not say block, tree or date, photos.csv can, or a code on the board.
"""


@click.command(epilog="Example: maturity start season-2027")
@click.argument("folder", metavar="DIR", type=click.Path(file_okay=False, path_type=Path))
@click.option(
    "--json",
    "json_file",
    type=click.Path(dir_okay=False, path_type=Path),
    help="Write the names of the files made as JSON.",
)
def start(folder: Path, json_file: Path | None) -> None:
    """Make an empty season folder DIR: CSV files with headers, and the markers to print."""
    # Loaded here only: matplotlib takes long to load, and other commands do without.
    from maturity.marker_sheet import write_marker_sheet

    files = {table.file: ",".join(column.name for column in table.columns) for table in TABLES}
    taken = [name for name in (*files, "board.pdf") if (folder / name).exists()]
    if taken:
        raise FileExistsError(
            f"{folder} already holds {', '.join(taken)}; nothing was changed. Give a new folder"
        )
    for name, header in files.items():
        write_text(folder / name, header + "\r\n")
    write_text(folder / "EXAMPLES.txt", "\n".join(_example(table) for table in TABLES))
    write_text(folder / "photos" / "README.txt", _PHOTOS_NOTE)
    write_marker_sheet(folder / "board.pdf")
    if json_file is not None:
        made = [*files, "EXAMPLES.txt", "photos/README.txt", "board.pdf"]
        write_json(json_file, {"folder": str(folder), "files": made})
    click.echo(f"Made {folder}. Next:")
    click.echo("  1. Print board.pdf at 100 %, check its 100 mm line, cut the markers out.")
    click.echo("  2. Fill in blocks.csv and policy.csv; EXAMPLES.txt shows a row of each file.")
    click.echo(f"  3. Put photos into photos/, readings into oven.csv; maturity score {folder}")


def _example(table: TableDeclaration) -> str:
    """What a file is for, an example row, and each column."""
    lines = [f"{table.file}: {table.purpose}"]
    lines.append("  " + ",".join(column.name for column in table.columns))
    lines.append("  " + ",".join(column.example for column in table.columns))
    for column in table.columns:
        needed = "needed" if column.required else "may be blank"
        meaning = f"{column.meaning}; " if column.meaning else ""
        lines.append(f"    {column.name}: {meaning}{column.kind_words}; {needed}")
    return "\n".join(lines) + "\n"
