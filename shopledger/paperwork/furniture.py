"""What stands in the margins of every page: stamps such as COPY above, number of the page and ledger head below."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from shopledger.paperwork.blocks import Block, line
from shopledger.paperwork.flow import Page, Placed, Sheet
from shopledger.paperwork.marks import Box, Mark, Rule
from shopledger.paperwork.typeset import LABEL, SMALL, STAMP, shortened, width_of


@dataclass(frozen=True, slots=True)
class Foot:
    """The words in the margins; `page` holds {page} and {pages}."""

    left: str
    page: str
    small: str
    stamps: tuple[str, ...] = ()


def furniture(foot: Foot, sheet: Sheet) -> Callable[[int, int], Page]:
    """Give what makes the margins of a page from its number and how many there are."""

    def margins(number: int, pages: int) -> Page:
        below = Placed(sheet.side, sheet.frame_bottom + 6, _foot(foot, number, pages, sheet.frame_width))
        above = Placed(sheet.side, 18, _stamps(foot.stamps, sheet.frame_width))
        return (below, above) if foot.stamps else (below,)

    return margins


def _foot(foot: Foot, number: int, pages: int, width: float) -> Block:
    page = foot.page.format(page=number, pages=pages)
    left = shortened(foot.left, width - width_of(page, LABEL) - 20, LABEL)
    marks = (
        Rule(0, 0, width, 0, 0.6),
        line(left, 0, 3, LABEL),
        line(page, 0, 3, LABEL, "right", width),
        line(shortened(foot.small, width, SMALL), 0, 3 + LABEL.leading, SMALL),
    )
    return Block("foot", 3 + LABEL.leading + SMALL.leading, marks)


def _stamps(stamps: tuple[str, ...], width: float) -> Block:
    """Set each stamp in a frame, from the right margin leftward."""
    marks: list[Mark] = []
    right = width
    for stamp in reversed(stamps):
        room = width_of(stamp, STAMP) + 16
        marks += [Box(right - room, 0, room, 18, line=1.2), line(stamp, right - room + 8, 2.6, STAMP)]
        right -= room + 10
    return Block("stamps", 18, tuple(marks))


def continued_block(text: str, width: float) -> Block:
    """Set the line that heads every page after the first, so that loose sheets find together."""
    words = line(shortened(text, width, LABEL), 0, 0, LABEL)
    return Block("continued", LABEL.leading + 10, (words, Rule(0, LABEL.leading + 3, width, LABEL.leading + 3, 0.6)))
