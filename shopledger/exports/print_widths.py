"""How wide columns may be, so that a sheet fitted to the width of Letter paper prints no type too small to read.

Columns of numbers and days keep their width. Where a sheet is wider than its page bears, columns of text give way, the
widest first and none below what a word of its heading needs: their text goes on over more lines.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from shopledger.exports.refusals import SheetError

LETTER: Final = (8.5, 11.0)
"""Width and length of Letter paper. [in]"""
SIDE: Final = 0.3
"""The margin on the left and on the right. [in]"""
SMALLEST: Final = 8
"""The smallest type that is printed; a sheet that would need smaller goes over more pages. [pt]"""
SIZE: Final = 10
"""The size of the type on the screen. [pt]"""
UNIT: Final = 7.5 / 96
"""The most that a program takes for one of width: a digit of the typeface, which some round down. [in]"""
_NARROWEST: Final = 12.0
"""What a column of text keeps at least, if it was that wide."""
_AROUND_A_WORD: Final = 2
"""Bold letters of a heading, and the space beside them, want that of two figures more."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """A column as it is declared: its heading, its width, and whether its text may go on over more lines."""

    heading: str
    width: float
    gives_way: bool

    @property
    def least(self) -> float:
        """What it needs."""
        word = max(map(len, self.heading.split()), default=0) + _AROUND_A_WORD
        return min(self.width, max(_NARROWEST, float(word))) if self.gives_way else self.width


def widest(*, landscape: bool) -> float:
    """Give how wide all columns of a sheet together may be."""
    return (LETTER[1 if landscape else 0] - 2 * SIDE) * SIZE / SMALLEST / UNIT


def printed_widths(title: str, wanted: Sequence[Wanted], *, landscape: bool) -> list[float]:
    """Give each column its width on the page, or refuse a sheet whose numbers alone are too wide for it."""
    over = sum(each.width for each in wanted) - widest(landscape=landscape)
    if over <= 0:
        return [each.width for each in wanted]
    spare = [each.width - each.least for each in wanted]
    if sum(spare) < over:
        raise SheetError(f"the sheet {title} is too wide for a page of Letter paper; split its columns over two sheets")
    share = over / sum(spare)
    return [each.width - some * share for each, some in zip(wanted, spare, strict=True)]
