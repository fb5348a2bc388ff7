"""Printed pages as another program renders them: true size, and read back by the library."""

from __future__ import annotations

import shutil
import subprocess

import cv2
import numpy
import pytest
from PIL import Image
from season_folders import BLOCKS, write_files
from test_commands import run

from maturity import _core
from maturity.cards import CARD_MM, TILE_CODE_MM, TILE_MM, card_pages, card_text, write_cards
from maturity.marker_cells import CELLS_ACROSS, MARKER_COUNT, TILE_COUNT, marker_cells
from maturity.marker_sheet import MARKER_MM, MARKER_PLACES, write_marker_sheet
from maturity.paper import PAPERS

DPI, PX = 254, 10  # ten dots for each millimetre

needs_renderer = pytest.mark.skipif(
    shutil.which("pdftoppm") is None, reason="no pdftoppm (poppler-utils) to render pages with"
)


def rendered(pdf, page=1):
    """A page as grey numbers, ten for each millimetre."""
    out = pdf.with_suffix("")
    subprocess.run(
        ["pdftoppm", "-png", "-gray", "-r", str(DPI), "-f", str(page), "-singlefile", pdf, out],
        check=True,
    )
    return numpy.array(Image.open(out.with_suffix(".png")).convert("L"))


def dictionary():
    return cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)


def markers_on(page):
    if hasattr(cv2.aruco, "ArucoDetector"):
        found = cv2.aruco.ArucoDetector(dictionary()).detectMarkers(page)
    else:
        found = cv2.aruco.detectMarkers(page, dictionary())
    return {int(one): corners[0] for one, corners in zip(found[1].ravel(), found[0])}


def test_cells_are_those_of_the_dictionary():
    draw = getattr(cv2.aruco, "generateImageMarker", None) or cv2.aruco.drawMarker
    for marker in range(MARKER_COUNT):
        image = draw(dictionary(), marker, CELLS_ACROSS)
        inner = ["".join("1" if cell else "0" for cell in row[1:5]) for row in image[1:5]]
        assert marker_cells(marker) == tuple(inner), marker
    with pytest.raises(ValueError, match="marker 50"):
        marker_cells(50)


@needs_renderer
def test_markers_of_the_sheet_are_found_in_their_place_and_size(tmp_path):
    write_marker_sheet(tmp_path / "board.pdf")
    page = rendered(tmp_path / "board.pdf")
    found = markers_on(page)
    assert set(found) == {0, 1, 2, 3}
    for marker, corners in found.items():
        left, bottom = MARKER_PLACES[marker]
        # Corners go clockwise from the marker's own top left, which is up on the page.
        expected = numpy.array([(0, 0), (1, 0), (1, 1), (0, 1)]) * MARKER_MM * PX
        expected += (left * PX, page.shape[0] - (bottom + MARKER_MM) * PX)
        assert numpy.abs(corners - expected).max() < 0.3 * PX


@needs_renderer
@pytest.mark.parametrize("paper", ["a4", "a3"])
def test_check_line_of_each_page_is_100_mm(tmp_path, paper):
    write_cards(tmp_path / "c.pdf", tiles=2, trees=[("River", "1")], paper=paper)
    for number in (1, 2):
        page = rendered(tmp_path / "c.pdf", number)
        size = numpy.array(page.shape[::-1]) / PX
        assert size == pytest.approx(PAPERS[paper], abs=0.2)
        # The line lies 18 mm above the lower edge.
        dark = numpy.flatnonzero((page[-182:-178] < 100).any(axis=0))
        assert (dark[-1] - dark[0]) / PX == pytest.approx(100, abs=0.5)


@needs_renderer
def test_tiles_carry_the_marker_of_their_number_in_true_size(tmp_path):
    """The library takes marker 10 for fruit 1, 11 for fruit 2, and so on."""
    write_cards(tmp_path / "c.pdf", tiles=TILE_COUNT, trees=[], paper="a3")
    found = markers_on(rendered(tmp_path / "c.pdf"))
    assert set(found) == set(range(10, 10 + TILE_COUNT))
    for corners in found.values():
        sides = numpy.linalg.norm(corners - numpy.roll(corners, 1, axis=0), axis=1) / PX
        assert sides == pytest.approx(numpy.full(4, TILE_CODE_MM), abs=0.3)


def test_pages_are_filled_and_nothing_is_dropped():
    assert sum(1 for _ in card_pages(tiles=0, trees=[("River", str(n)) for n in range(10)])) == 2
    assert sum(1 for _ in card_pages(tiles=40, trees=[], paper="a3")) == 1


@needs_renderer
def test_library_reads_a_photo_of_the_printed_pages(tmp_path):
    """Cut out, laid on a grey board 400 x 300 mm apart, seen from above at 0.25 mm a pixel."""
    write_marker_sheet(tmp_path / "board.pdf")
    write_cards(tmp_path / "c.pdf", tiles=0, trees=[("Lower River", "12b")])
    sheet, cards = rendered(tmp_path / "board.pdf"), rendered(tmp_path / "c.pdf")
    board = numpy.full((4400, 5600), 150, numpy.uint8)
    centres = {0: (800, 700), 1: (4800, 700), 2: (4800, 3700), 3: (800, 3700)}
    half = int(PX * (MARKER_MM / 2 + 8))
    for marker, (x, y) in centres.items():
        left, bottom = MARKER_PLACES[marker]
        u = round((left + MARKER_MM / 2) * PX)
        v = sheet.shape[0] - round((bottom + MARKER_MM / 2) * PX)
        board[y - half : y + half, x - half : x + half] = sheet[
            v - half : v + half, u - half : u + half
        ]
    width, height = (round(side * PX) for side in CARD_MM)
    board[1500 : 1500 + height, 2500 : 2500 + width] = cards[120 : 120 + height, 100 : 100 + width]
    small = Image.fromarray(board).resize((2240, 1760), Image.Resampling.BOX).convert("RGB")
    small.save(tmp_path / "photo.jpg", quality=90)
    photo = _core.measure_photo(str(tmp_path / "photo.jpg"))
    assert photo.error is None and photo.code_text == card_text("Lower River", "12b")
    assert photo.mm_per_px == pytest.approx(0.25, rel=0.002)
    assert not {"no_markers", "few_markers"} & set(photo.flags)


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        (dict(tiles=TILE_COUNT + 1, trees=[]), "tiles: 41"),
        (dict(tiles=0, trees=[]), "nothing to print"),
        (dict(tiles=0, trees=[("Up/Down", "1")]), "block 'Up/Down'"),
        (dict(tiles=0, trees=[("River", " ")]), "tree ' '"),
        (dict(tiles=0, trees=[("River", "1" * 300)]), "bytes"),
    ],
)
def test_what_cannot_be_printed_is_named_and_nothing_is_written(tmp_path, given, sentence):
    with pytest.raises(ValueError, match=sentence):
        write_cards(tmp_path / "c.pdf", **given)
    assert list(tmp_path.iterdir()) == []


def test_command_writes_both_files_and_leaves_out_excluded_trees(tmp_path):
    trees = "block,row,tree,excluded\nRiver,1,1,no\nRiver,1,2,yes\nHill,1,1,no\n"
    folder = write_files(tmp_path / "s", blocks=BLOCKS, trees=trees, oven="block\n")
    (folder / "photos" / "River" / "1").mkdir(parents=True)
    (folder / "photos" / "River" / "1" / "a.jpg").write_bytes(b"x")
    done = run(
        "board", "--out", "p", "--season", folder, "--block", "River", "--tree", "$x$/1",
        cwd=tmp_path,
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")
    assert "12 number tiles, 2 tree code cards" in done.stdout
    for name in ("board.pdf", "cards.pdf"):
        assert (tmp_path / "p" / name).read_bytes().startswith(b"%PDF")
    again = run("board", "--out", "q", "--season", folder, "--block", "Lake", cwd=tmp_path)
    assert again.returncode == 2 and "block 'Lake'" in again.stderr
    assert not (tmp_path / "q").exists()
    assert run("board", "--out", "q", "--tree", "River", cwd=tmp_path).returncode == 2


def test_tile_leaves_room_for_its_number():
    assert TILE_MM[0] - TILE_CODE_MM - (TILE_MM[1] - TILE_CODE_MM) / 2 >= 15
