"""Every paper that is drawn at true size: shapes and bar exact, each lens with its letter, the nose between them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

import pytest

from shopledger.ledger.papers.job_sheet import JobSheet, Point, job_sheet
from shopledger.ledger.papers.lens_order import LensOrderContent, lens_order_shape
from shopledger.ledger.papers.reorder_record import EyeShape
from shopledger.ledger.papers.true_size import letter_place, nose
from shopledger.optics.sides import Side
from shopledger.optics.trace import FrameTrace
from shopledger.paperwork.job_sheet import JOB_SHEET
from shopledger.paperwork.lens_order import LENS_ORDER
from shopledger.paperwork.page import Document
from shopledger.paperwork.paper import Paper, document_of
from shopledger.paperwork.reorder import REORDER
from tests.ledger.papers.bench import elliptic, job
from tests.ledger.papers.lab import sent
from tests.optics.strategies import rounded_shape
from tests.paperwork.reading import read, text_of, texts_of
from tests.paperwork.samples import reorder_record
from tests.paperwork.true_size import CLOSE, bars_of, lenses_of, middles_of, worst

CROOKED = FrameTrace(
    rounded_shape(a=52, b=37, lift=0.05, skew=0.04),
    rounded_shape(side=Side.LEFT, a=50, b=36, lift=-0.05, skew=0.06),
    18,
)
"""Shapes that are no mirror images of themselves or of each other."""
SHEET: JobSheet = job_sheet(job(shape=CROOKED))
ORDER: LensOrderContent = sent(job(shape=CROOKED))
COUNT = CROOKED.right.count


def turned(outline: tuple[Point, ...]) -> tuple[Point, ...]:
    """Give an outline as it is seen from behind."""
    return tuple((-x, y) for x, y in outline)


def drawn_from(shape: Any) -> tuple[tuple[Point, ...], tuple[Point, ...]]:  # noqa: ANN401 - a job's shape or none
    """Give both outlines as the content has them."""
    assert shape is not None
    return shape.right, shape.left


RIGHT, LEFT = drawn_from(SHEET.shape)
RECORD = reorder_record(
    right_shape=EyeShape(RIGHT, (3.0, 2.0), 70.0, 66.0, 24.0), left_shape=EyeShape(LEFT, (-2.5, 1.0), 70.0, 64.0, 23.0)
)
DRAWN: Mapping[str, tuple[Callable[[str], Document], list[tuple[Point, ...]]]] = {
    "job sheet": (lambda size: document_of(JOB_SHEET, SHEET, size=size), [RIGHT, LEFT]),
    "lens order": (
        lambda size: document_of(LENS_ORDER, ORDER, size=size),
        list(drawn_from(lens_order_shape(ORDER))),
    ),
    "reorder record": (
        lambda size: document_of(REORDER, RECORD, size=size),
        [RIGHT, LEFT, turned(LEFT), turned(RIGHT)],
    ),
}
"""Each paper, and the outlines of its drawings from left to right, the one from the front first."""
each_paper = pytest.mark.parametrize("name", DRAWN)
each_size = pytest.mark.parametrize("size", ["letter", "a4"])


def drawings(document: Document, wanted: int) -> list[list[Point]]:
    """Give the outlines of the first page: the higher drawing first, each from left to right."""
    found = lenses_of(read(document).pages[0], COUNT)
    assert len(found) == wanted
    return sorted(found, key=lambda path: (-round(max(y for _, y in path) / 40), min(x for x, _ in path)))


@each_paper
@each_size
def test_shapes_are_drawn_at_full_size_and_the_right_way_round(name: str, size: str) -> None:
    """Each point of the PDF's paths lies within 0.02 mm of the trace's, and far from that of the other lens."""
    make, outlines = DRAWN[name]
    for path, outline in zip(drawings(make(size), len(outlines)), outlines, strict=True):
        assert worst(path, outline) < CLOSE
    assert worst(RIGHT, LEFT) > 1
    assert worst(RIGHT, turned(RIGHT)) > 1


@each_paper
@each_size
def test_each_drawing_has_a_bar_of_100_mm_that_says_to_be_measured(name: str, size: str) -> None:
    """One bar to a pair of shapes, with a tick each 10 mm; its words say how long it is, and what else is wrong."""
    make, outlines = DRAWN[name]
    document = make(size)
    bars = bars_of(read(document).pages[0])
    assert len(bars) == len(outlines) // 2
    for length, ticks in bars:
        assert length == pytest.approx(100, abs=CLOSE)
        assert ticks == pytest.approx([10 * tick for tick in range(11)], abs=CLOSE)
    said = [mark.text for mark in texts_of(document.pages[0])]
    assert said.count("MEASURE ME: 100 mm") == len(bars)


def test_cuts_at_full_size_have_a_bar_on_their_own_page() -> None:
    """Whoever lays a lens on its cut measures there."""
    document = document_of(REORDER, RECORD)
    (at,) = [
        nth for nth, page in enumerate(document.pages) if any(placed.block.name == "level cuts" for placed in page)
    ]
    assert at > 0
    ((length, _),) = bars_of(read(document).pages[at])
    assert length == pytest.approx(100, abs=CLOSE)
    assert "not at actual size" in text_of(document)


@each_paper
def test_each_lens_has_its_letter_and_the_nose_stands_between(name: str) -> None:
    """R and L stand in the outer halves of their own lenses, also from behind; the nose in the gap."""
    make, outlines = DRAWN[name]
    document = make("letter")
    found = drawings(document, len(outlines))
    letters = middles_of(document.pages[0], document.height, "R", "L")
    noses = middles_of(document.pages[0], document.height, "NOSE")
    assert len(noses) == len(outlines) // 2
    for at in range(0, len(found), 2):
        first, second = found[at], found[at + 1]
        for lens, letter, outward in ((first, "RL"[at // 2], -1), (second, "LR"[at // 2], 1)):
            across, up = zip(*lens, strict=True)
            (mine,) = [each for each in letters if min(across) < each[1] < max(across) and min(up) < each[2] < max(up)]
            assert mine[0] == letter
            assert (mine[1] - (min(across) + max(across)) / 2) * outward > 5
        gap, level = (max(x for x, _ in first), min(x for x, _ in second)), [y for _, y in first]
        between = [each for each in noses if min(level) < each[2] < max(level)]
        assert [gap[0] < each[1] < gap[1] for each in between] == [True]


@pytest.mark.parametrize(("paper", "content"), [(JOB_SHEET, SHEET), (LENS_ORDER, ORDER)])
def test_what_is_not_drawn_needs_no_bar(paper: Paper[Any], content: JobSheet | LensOrderContent) -> None:
    """A paper that had no room for the shapes says so, and claims no size."""
    crowded = replace(content, note="Please look at this once more before you go on. " * 52)
    document = document_of(paper, crowded)
    assert "found no room" in text_of(document)
    assert bars_of(read(document).pages[0]) == []
    assert "MEASURE ME" not in text_of(document)


def test_a_narrow_bridge_keeps_its_nose_between_the_lenses() -> None:
    """Also where the lenses stand 8 mm apart, the nose leaves room on either side."""
    narrow = nose(8.0)
    assert max(x for x, _ in narrow) - min(x for x, _ in narrow) < 4
    document = document_of(JOB_SHEET, job_sheet(job(shape=elliptic(50, 36, 8))))
    found = sorted(lenses_of(read(document).pages[0], 400), key=lambda path: min(x for x, _ in path))
    ((_, x, _),) = middles_of(document.pages[0], document.height, "NOSE")
    assert max(across for across, _ in found[0]) < x < min(across for across, _ in found[1])


@pytest.mark.parametrize("temple", [1, -1])
def test_a_letter_stands_above_the_centre_and_outward(temple: int) -> None:
    """Within the middle half of the lens, so that every usual shape holds it."""
    x, y = letter_place(50.0, 40.0, temple)
    assert 0 < temple * x < 25 * 0.6
    assert 0 < y < 20 * 0.5
