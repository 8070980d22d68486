"""The drawings of a reorder record, read back from the PDF in mm: true, at full size, and never the wrong way round.

The shapes are like no mirror of anything: a bulge on one side above and a dent on another below, and right and left
differ from each other, so that a picture that is turned or mirrored cannot pass.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import pytest

from shopledger.ledger.papers.reorder_record import EyeShape, Point, ReorderRecord
from shopledger.paperwork.flow import Page, Placed
from shopledger.paperwork.marks import Circle, Rule, Text
from shopledger.paperwork.page import Document
from shopledger.paperwork.paper import document_of
from shopledger.paperwork.reorder import REORDER
from shopledger.paperwork.reorder_shapes import centre_distance
from tests.paperwork.reading import circles_of, marks_of, paths, read
from tests.paperwork.samples import outline, reorder_record

MM = 72 / 25.4
"""PDF units in a millimetre: the unit is 1/72 inch (ISO 32000-1, 8.3.2.3)."""

CLOSE = 0.02
"""How true the drawing must be, in mm."""

COUNT = 300


class View(NamedTuple):
    """Both lenses of one drawing, in mm on the paper, y up, each told by the letter that stands in it."""

    right: list[Point]
    left: list[Point]


def crooked(bulge: float, dent: float) -> tuple[Point, ...]:
    """Give a shape around its boxed centre whose radius grows toward one direction and shrinks toward another."""
    points = []
    for at in range(COUNT):
        turn = 2 * math.pi * at / COUNT
        radius = 22 + 3 * math.cos(turn - math.radians(bulge)) - 2 * math.cos(2 * (turn - math.radians(dent)))
        points.append((radius * math.cos(turn), radius * math.sin(turn)))
    across, up = zip(*points, strict=True)
    x, y = (min(across) + max(across)) / 2, (min(up) + max(up)) / 2
    return tuple((round(px - x, 3), round(py - y, 3)) for px, py in points)


RIGHT, LEFT = crooked(50, 110), crooked(155, 20)


def crooked_sheet() -> ReorderRecord:
    """Give a record of the crooked shapes, their optical centres inward and up."""
    shapes = EyeShape(RIGHT, (3.0, 2.0), 70.0, 66.0, 24.0), EyeShape(LEFT, (-2.5, 1.0), 70.0, 64.0, 23.0)
    return reorder_record(right_shape=shapes[0], left_shape=shapes[1])


def views(document: Document) -> tuple[View, View]:
    """Give the drawing from the front and the one as worn, as the PDF's paths have them."""
    page, placed = read(document).pages[0], document.pages[0]
    shapes = [[(x / MM, y / MM) for x, y in path] for path in paths(page) if len(path) == COUNT]
    assert len(shapes) == 4
    letters = {letter: [at for at in letters_of(placed, document.height) if at[0] == letter] for letter in ("R", "L")}
    by_letter = {
        letter: sorted((next(shape for shape in shapes if inside(shape, x, y)) for _, x, y in places), key=top)
        for letter, places in letters.items()
    }
    worn, front = (View(right, left) for right, left in zip(by_letter["R"], by_letter["L"], strict=True))
    return front, worn


def letters_of(page: Page, height: float) -> list[tuple[str, float, float]]:
    """Give the large letters with their places in mm, y up."""
    big = [
        mark for mark in marks_of(page) if isinstance(mark, Text) and mark.text in {"R", "L"} and mark.style.size > 12
    ]
    return [
        (mark.text, (mark.extent[0] + mark.extent[2]) / 2 / MM, (height - (mark.extent[1] + mark.extent[3]) / 2) / MM)
        for mark in big
    ]


def inside(shape: list[Point], x: float, y: float) -> bool:
    """Tell whether a place lies in the box of a shape."""
    across, up = zip(*shape, strict=True)
    return bool(min(across) < x < max(across) and min(up) < y < max(up))


def top(shape: list[Point]) -> float:
    """Give how high on the paper a shape reaches."""
    return max(y for _, y in shape)


def centred(points: list[Point]) -> list[Point]:
    """Move drawn points so that their boxed centre is the origin."""
    x, y = middle(points)
    return [(across - x, up - y) for across, up in points]


def middle(points: list[Point]) -> Point:
    """Give the boxed centre of drawn points."""
    across, up = zip(*points, strict=True)
    return (min(across) + max(across)) / 2, (min(up) + max(up)) / 2


def off(drawn: list[Point], wanted: tuple[Point, ...]) -> float:
    """Give the worst distance of drawn points from those that they stand for, in mm."""
    return max(math.dist(one, other) for one, other in zip(centred(drawn), wanted, strict=True))


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_from_the_front_both_shapes_are_drawn_as_traced(paper: str) -> None:
    """Every point of the PDF's paths lies within 0.02 mm of the trace's point; R stands in the right lens's path."""
    front, _ = views(document_of(REORDER, crooked_sheet(), size=paper))
    assert off(front.right, RIGHT) < CLOSE
    assert off(front.left, LEFT) < CLOSE


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_as_worn_both_shapes_are_turned_round(paper: str) -> None:
    """Seen from behind left and right change places and each shape is its own mirror image, within 0.02 mm."""
    _, worn = views(document_of(REORDER, crooked_sheet(), size=paper))
    assert off(worn.right, tuple((-x, y) for x, y in RIGHT)) < CLOSE
    assert off(worn.left, tuple((-x, y) for x, y in LEFT)) < CLOSE


def test_a_mirrored_shape_would_be_noticed() -> None:
    """The shapes of these tests are far from their mirror images and from each other."""
    turned = [(-x, y) for x, y in RIGHT]
    assert off(turned, RIGHT) > 2
    assert off(list(RIGHT), LEFT) > 2


def test_the_right_lens_stands_at_the_left_from_the_front_and_at_the_right_as_worn() -> None:
    """Both of each view stand at one height."""
    front, worn = views(document_of(REORDER, crooked_sheet()))
    assert middle(front.right)[0] < middle(front.left)[0]
    assert middle(worn.right)[0] > middle(worn.left)[0]
    for view in (front, worn):
        assert middle(view.right)[1] == pytest.approx(middle(view.left)[1], abs=CLOSE)


def test_the_lenses_stand_apart_by_the_dbl_in_both_views() -> None:
    """The distance between the drawn shapes is the DBL, whichever way one looks."""
    for view in views(document_of(REORDER, crooked_sheet())):
        one, other = sorted((view.right, view.left), key=middle)
        assert min(x for x, _ in other) - max(x for x, _ in one) == pytest.approx(18.0, abs=CLOSE)


def drawing(document: Document, name: str) -> Placed:
    """Give the block with the drawing: the highest of that name."""
    placed = [placed for page in document.pages for placed in page if placed.block.name == name]
    return max(placed, key=lambda each: each.block.height)


def front_circles(document: Document) -> tuple[list[Circle], list[Circle]]:
    """Give the dots and the blanks' circles of the drawing from the front, from left to right."""
    circles = circles_of((drawing(document, "shapes"),))
    dots = [circle for circle in circles if circle.fill == 0]
    return sorted(dots, key=lambda dot: dot.x), sorted(
        (circle for circle in circles if circle.fill is None), key=lambda circle: (circle.x, -circle.radius)
    )


def test_optical_centres_and_blanks_are_drawn_where_they_stand() -> None:
    """Around each optical centre stand the chosen blank and the smallest that would do, with their true diameters."""
    dots, blanks = front_circles(document_of(REORDER, crooked_sheet()))
    assert [2 * circle.radius / MM for circle in blanks] == pytest.approx([70, 66, 70, 64])
    assert [(circle.x, circle.y) for circle in blanks] == [(dot.x, dot.y) for dot in dots for _ in (0, 1)]
    apart = centre_distance(crooked_sheet())
    assert (dots[1].x - dots[0].x) / MM == pytest.approx(apart - 3.0 - 2.5, abs=CLOSE)
    assert (dots[1].y - dots[0].y) / MM == pytest.approx(1.0, abs=CLOSE)


def test_as_worn_the_optical_centres_are_still_toward_the_nose() -> None:
    """The right one stands to the left of its lens's middle, 3 mm; the left one to the right of its own."""
    document = document_of(REORDER, crooked_sheet())
    block = drawing(document, "worn")
    dots = sorted((circle.x, circle.y) for circle in circles_of((block,)))
    _, worn = views(document)
    for (x, y), shape, (inward, up) in zip(dots, (worn.left, worn.right), ((2.5, 1.0), (-3.0, 2.0)), strict=True):
        centre = middle(shape)
        assert x / MM - centre[0] == pytest.approx(inward, abs=CLOSE)
        assert (document.height - y) / MM - centre[1] == pytest.approx(up, abs=CLOSE)


def test_the_pd_is_drawn_and_written_true() -> None:
    """The line from the middle of the bridge to each optical centre is as long as the PD that stands at it."""
    sheet = crooked_sheet()
    nose = max(x for x, _ in RIGHT) + 9 - 3.0, 9 - min(x for x, _ in LEFT) - 2.5
    words = [mark.text for mark in marks_of(document_of(REORDER, sheet).pages[0]) if isinstance(mark, Text)]
    assert f"PD {nose[0]:.2f}".removesuffix("0") in words
    assert f"PD {nose[1]:.2f}".removesuffix("0") in words
    dots, _ = front_circles(document_of(REORDER, sheet))
    level = [
        abs(mark.x1 - mark.x0) / MM
        for mark in marks_of(document_of(REORDER, sheet).pages[0])
        if isinstance(mark, Rule) and mark.y0 == mark.y1 and any(mark.x0 == dot.x and mark.y0 == dot.y for dot in dots)
    ]
    assert level == pytest.approx(nose, abs=CLOSE)


def test_a_lens_without_a_height_has_no_line_for_it() -> None:
    """Single vision may be centred without one."""
    bare = EyeShape(outline(), (3.5, 0.0), 65.0)
    words = [
        mark.text
        for mark in marks_of(document_of(REORDER, reorder_record(right_shape=bare, left_shape=bare)).pages[0])
        if isinstance(mark, Text)
    ]
    assert not [text for text in words if "lowest point" in text and text != "Height from lowest point"]


def test_a_shape_without_a_blank_has_no_circle() -> None:
    """Where no blank covers the shape none is drawn."""
    bare = EyeShape(outline(), (3.5, 2.0), None)
    _, blanks = front_circles(document_of(REORDER, reorder_record(right_shape=bare, left_shape=bare)))
    assert blanks == []


def test_the_boxed_centre_has_a_cross() -> None:
    """Two short lines cross at each boxed centre."""
    sheet = crooked_sheet()
    document = document_of(REORDER, sheet)
    block = drawing(document, "shapes")
    short = [
        mark
        for mark in marks_of((block,))
        if isinstance(mark, Rule) and mark.y0 == mark.y1 and mark.x1 - mark.x0 == pytest.approx(12)
    ]
    assert (short[1].x0 - short[0].x0) / MM == pytest.approx(centre_distance(sheet), abs=CLOSE)
