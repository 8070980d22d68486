"""The chosen lens's cuts and its edge all round, as the reorder record draws them, read back in mm."""

from __future__ import annotations

import pytest

from shopledger.ledger.papers.reorder_record import CutShape, LensProfile
from shopledger.paperwork.flow import Placed
from shopledger.paperwork.marks import Mark, Outline, Text, Trail
from shopledger.paperwork.page import Document
from shopledger.paperwork.paper import document_of
from shopledger.paperwork.reorder import REORDER
from tests.paperwork.reading import crossing_texts, marks_of, paths, read, text_of
from tests.paperwork.samples import profile, reorder_record

MM = 72 / 25.4
CLOSE = 0.02

ALONG = (-24.0, -10.0, 0.0, 12.0, 20.0)
FRONT = (3.0, 0.5, 0.0, 0.8, 2.0)
BACK = (9.0, 3.0, 2.0, 3.5, 6.2)
"""A cut that is thicker at its left end, 6.0 mm, than at its right one, 4.2 mm, and 2.0 mm at the centre."""

CUT = CutShape(ALONG, FRONT, BACK)
UNEVEN = LensProfile(CUT, CUT, tuple(1 + at / 12 for at in range(72)), 2)
PLAIN = profile()


def blocks(document: Document, name: str) -> list[Placed]:
    """Give the placed blocks of a name."""
    return [placed for page in document.pages for placed in page if placed.block.name == name]


def drawn(document: Document, name: str) -> list[Mark]:
    """Give the marks of all blocks of a name, where they stand."""
    return list(marks_of(tuple(blocks(document, name))))


def test_level_cuts_are_drawn_at_full_size_with_the_front_below() -> None:
    """Along, depth and thickness are true in mm; what lies nearer to the eye stands higher on the paper."""
    document = document_of(REORDER, reorder_record(right_profile=UNEVEN, left_profile=UNEVEN))
    right, left = (mark for mark in drawn(document, "level cuts") if isinstance(mark, Outline))
    for cut in (right, left):
        front, back = cut.points[:5], cut.points[9:4:-1]
        x, y = front[2]
        for (px, py), along, depth in zip((*front, *back), ALONG * 2, FRONT + BACK, strict=True):
            assert (px - x) / MM == pytest.approx(along, abs=CLOSE)
            assert (y - py) / MM == pytest.approx(depth, abs=CLOSE)
    assert max(x for x, _ in right.points) < min(x for x, _ in left.points)


def test_the_pdf_holds_the_cut_as_it_is() -> None:
    """The path of the file itself is the cut, closed, in mm."""
    pages = read(document_of(REORDER, reorder_record(right_profile=UNEVEN, left_profile=PLAIN))).pages
    (level, _) = [path for page in pages for path in paths(page) if len(path) == 10]
    assert (level[4][0] - level[0][0]) / MM == pytest.approx(44.0, abs=CLOSE)
    assert (level[9][1] - level[0][1]) / MM == pytest.approx(6.0, abs=CLOSE)


def test_an_upright_cut_lies_with_its_top_at_the_left() -> None:
    """What is upward in the lens, 20 mm, is at the left of the paper."""
    document = document_of(REORDER, reorder_record(right_profile=UNEVEN, left_profile=UNEVEN))
    right, _ = (mark for mark in drawn(document, "upright cuts") if isinstance(mark, Outline))
    x = right.points[2][0]
    assert (right.points[0][0] - x) / MM == pytest.approx(-20, abs=CLOSE)
    assert (right.points[4][0] - x) / MM == pytest.approx(24, abs=CLOSE)


def words_of(document: Document, name: str) -> list[str]:
    """Give the words of a block from left to right."""
    texts = [mark for mark in drawn(document, name) if isinstance(mark, Text)]
    return [mark.text for mark in sorted(texts, key=lambda mark: mark.x)]


def test_each_end_says_where_it_is_and_how_thick() -> None:
    """From the front the right lens has its temple at the left, the left lens its nose."""
    document = document_of(REORDER, reorder_record(right_profile=UNEVEN, left_profile=UNEVEN))
    level = words_of(document, "level cuts")
    assert level.index("temple 6.0") < level.index("nose 4.2") < level.index("nose 6.0") < level.index("temple 4.2")
    assert level.index("R") < level.index("L")
    assert level.count("2.0") == 2
    upright = words_of(document, "upright cuts")
    assert upright.index("top 4.2") < upright.index("bottom 6.0")


def test_both_edges_are_drawn_over_the_same_way_round() -> None:
    """From nose to nose, on one scale from zero; the right lens's line is full, the left lens's broken."""
    sheet = reorder_record(right_profile=UNEVEN, left_profile=PLAIN)
    full, broken = (mark for mark in drawn(document_of(REORDER, sheet), "edge chart") if isinstance(mark, Trail))
    assert (full.dashes == (), broken.dashes != ()) == (True, True)
    assert len(full.points) == len(broken.points) == 73
    for line, edge in ((full, UNEVEN.edge), (broken, PLAIN.edge)):
        assert line.points[0][1] == line.points[-1][1]
        # 6.92 mm at most: the scale ends at 7 mm, the chart is 84 points high.
        assert [line.points[0][1] - y for _, y in line.points[:72]] == pytest.approx(
            [(thick - edge[0]) * 84 / 7 for thick in edge], abs=0.01
        )


def test_a_pair_that_cannot_be_made_has_no_profile() -> None:
    """No heading stands over nothing."""
    document = document_of(REORDER, reorder_record(right_profile=None))
    assert blocks(document, "edge chart") == []
    assert "How thick" not in text_of(document)


@pytest.mark.parametrize("length", [28.0, 52.0, 75.0])
def test_no_words_meet_in_narrow_or_wide_lenses(length: float) -> None:
    """Neither in a child's lens nor in a mask's."""
    made = profile(length, length * 0.7, 12.3)
    for page in document_of(REORDER, reorder_record(right_profile=made, left_profile=made)).pages:
        assert crossing_texts(page) == []
