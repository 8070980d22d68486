"""Reading drawings at true size back from a PDF's own operators, in millimetres, y up."""

from __future__ import annotations

from collections.abc import Sequence

from pypdf import PageObject

from shopledger.ledger.papers.job_sheet import Point
from shopledger.paperwork.flow import Page
from shopledger.paperwork.marks import Text
from tests.paperwork.reading import paths, texts_of

MM = 72 / 25.4
"""PDF units in a millimetre: the unit is 1/72 inch (ISO 32000-1, 8.3.2.3)."""
CLOSE = 0.02
"""How true a drawing must be, in mm."""


def paths_in_mm(page: PageObject) -> list[list[Point]]:
    """Give each straight-lined path of a page."""
    return [[(x / MM, y / MM) for x, y in path] for path in paths(page)]


def lenses_of(page: PageObject, count: int) -> list[list[Point]]:
    """Give the outlines of a page, each told by how many points it has, as they are drawn."""
    return [path for path in paths_in_mm(page) if len(path) == count]


def bars_of(page: PageObject) -> list[tuple[float, list[float]]]:
    """Give the length of each bar to measure and its ticks from its left end: level lines with 11 ticks."""
    lines = [(path[0], path[1]) for path in paths_in_mm(page) if len(path) == 2]
    found = []
    for (x0, y0), (x1, y1) in lines:
        if y0 != y1:
            continue
        ticks = sorted(
            a[0] - x0 for a, b in lines if a[0] == b[0] and a[1] != b[1] and abs((a[1] + b[1]) / 2 - y0) < CLOSE
        )
        if len(ticks) == 11:
            found.append((x1 - x0, ticks))
    return found


def worst(drawn: Sequence[Point], wanted: Sequence[Point]) -> float:
    """Give how far drawn points lie from those they stand for, both from their boxed centres, in mm."""
    pairs = zip(_centred(drawn), _centred(wanted), strict=True)
    return max(abs(one - other) for mine, yours in pairs for one, other in zip(mine, yours, strict=True))


def _centred(points: Sequence[Point]) -> list[Point]:
    across, up = zip(*points, strict=True)
    x, y = (min(across) + max(across)) / 2, (min(up) + max(up)) / 2
    return [(one - x, other - y) for one, other in points]


def middles_of(page: Page, height: float, *words: str) -> list[tuple[str, float, float]]:
    """Give the middle of each text that is one of these words, from left to right, in mm, y up."""
    return sorted(
        ((mark.text, *_middle(mark, height)) for mark in texts_of(page) if mark.text in words),
        key=lambda found: found[1],
    )


def _middle(mark: Text, height: float) -> Point:
    left, top, right, bottom = mark.extent
    return (left + right) / 2 / MM, (height - (top + bottom) / 2) / MM
