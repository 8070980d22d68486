"""A frame's shape drawn with characters: both lenses as seen from the front, true in proportion."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import Final

Point = tuple[float, float]

WIDTH: Final = 76
"""Columns to fill, so that it fits a terminal of eighty."""

WHICH_IS_WHICH: Final = "As one faces the wearer: R is the wearer's right lens, L the left one."
"""Said under every drawn pair."""

_DOTS_ACROSS: Final = 2
_DOTS_DOWN: Final = 4
_FIRST_PATTERN: Final = 0x2800
_DOT_BITS: Final = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))
"""The bit of each dot of a braille character (Unicode, block 2800), by row and column."""


def draw_pair(right: Sequence[Point], left: Sequence[Point], dbl: float, columns: int = WIDTH) -> list[str]:
    """Draw both lenses with the bridge between them; points are in mm, x to the right of who faces the wearer, y up.

    The wearer's right lens stands at the left, as the frame lies before one; each has its letter in it, and the last
    line says which is which. A character is twice as high as wide.
    """
    moved_right = _shifted(right, -max(x for x, _ in right) - dbl / 2)
    moved_left = _shifted(left, -min(x for x, _ in left) + dbl / 2)
    low, high = min(x for x, _ in moved_right), max(x for x, _ in moved_left)
    lines = draw((moved_right, moved_left), columns)
    for letter, outline in (("R", moved_right), ("L", moved_left)):
        middle = (min(x for x, _ in outline) + max(x for x, _ in outline)) / 2
        _put(lines, letter, round((middle - low) / (high - low) * (columns - 1)))
    return [*lines, WHICH_IS_WHICH]


def draw(outlines: Iterable[Sequence[Point]], columns: int = WIDTH) -> list[str]:
    """Draw closed outlines at one scale, as lines of text without blanks at their ends."""
    closed = [_densely(outline) for outline in outlines]
    every = [point for outline in closed for point in outline]
    low_x, high_x = min(x for x, _ in every), max(x for x, _ in every)
    low_y, high_y = min(y for _, y in every), max(y for _, y in every)
    scale = (columns * _DOTS_ACROSS - 1) / (high_x - low_x)
    rows = math.ceil((round((high_y - low_y) * scale) + 1) / _DOTS_DOWN)
    cells = [[0] * columns for _ in range(rows)]
    for x, y in every:
        across, down = round((x - low_x) * scale), round((high_y - y) * scale)
        cells[down // _DOTS_DOWN][across // _DOTS_ACROSS] |= _DOT_BITS[down % _DOTS_DOWN][across % _DOTS_ACROSS]
    return ["".join(chr(_FIRST_PATTERN + cell) if cell else " " for cell in row).rstrip() for row in cells]


def _put(lines: list[str], letter: str, column: int) -> None:
    """Put a letter into the drawing, half way down."""
    middle = len(lines) // 2
    line = lines[middle].ljust(column + 1)
    lines[middle] = f"{line[:column]}{letter}{line[column + 1 :]}"


def _shifted(outline: Sequence[Point], by: float) -> list[Point]:
    return [(x + by, y) for x, y in outline]


def _densely(outline: Sequence[Point], step: float = 0.2) -> list[Point]:
    """Fill the gaps between the corners, so that a line has no holes; `step` is in mm."""
    points: list[Point] = []
    for (x, y), (next_x, next_y) in zip(outline, (*outline[1:], outline[0]), strict=True):
        count = max(1, math.ceil(math.hypot(next_x - x, next_y - y) / step))
        points.extend((x + (next_x - x) * part / count, y + (next_y - y) * part / count) for part in range(count))
    return points
