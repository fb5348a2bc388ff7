"""Cells of the markers: OpenCV's predefined ArUco dictionary DICT_4X4_50."""

from __future__ import annotations

#: Inner 4 x 4 cells of markers 0..49, row by row from the top, highest bit first, 1 is white.
#: Printed from OpenCV 4.6; a test holds them against the dictionary itself.
_WORDS = bytes.fromhex(
    "B532 0F9A 332D 9946 549E 79CD 9E2E C4F2 FEDA CF56 "
    "F991 11A7 0EB7 2A0F 24B1 263E 4665 6600 6C5E 76AF "
    "868B B02B CCD5 DD82 FE47 9471 ACE4 A554 2123 346F "
    "4415 57B2 9ECF F0CB 08AE 0929 1875 04FF 0DF6 1C5A "
    "1718 2A28 328C 38B2 24E8 2EEB 2D3F 4B64 502E 5013 "
)
MARKER_COUNT = len(_WORDS) // 2
#: A marker is 4 cells and a black border of one cell.
CELLS_ACROSS = 6
#: The tile of fruit n carries marker FIRST_TILE_ID + n - 1.
FIRST_TILE_ID = 10
TILE_COUNT = MARKER_COUNT - FIRST_TILE_ID


def marker_cells(marker: int) -> tuple[str, ...]:
    """Inner cells of a marker, four rows of four, 1 is white."""
    if not 0 <= marker < MARKER_COUNT:
        raise ValueError(f"marker {marker}: expected 0 to {MARKER_COUNT - 1}")
    bits = f"{int.from_bytes(_WORDS[2 * marker : 2 * marker + 2], 'big'):016b}"
    return tuple(bits[row : row + 4] for row in range(0, 16, 4))
