"""Strips as they are placed: white on black across the page under the head, their words in the wording."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import pytest

from shopledger.ledger.papers.strips import (
    ON_JOB_SHEET,
    ON_LENS_ORDER,
    ON_REORDER,
    LensSaid,
    Remade,
    Strip,
    StripFacts,
    StripKind,
    strips_of,
)
from shopledger.optics.sides import Side
from shopledger.paperwork.job_sheet import JOB_SHEET
from shopledger.paperwork.lens_order import LENS_ORDER
from shopledger.paperwork.marks import Box, Rule
from shopledger.paperwork.paper import Paper, document_of
from shopledger.paperwork.reorder import REORDER
from shopledger.paperwork.wording import read_wording
from tests.paperwork.reading import crossing_blocks, crossing_texts, marks_of, outside, text_of, texts_of

FACTS = StripFacts(
    made=(Side.RIGHT,),
    remade=Remade((Side.RIGHT,), ("the left one is done", "coating came off at the edger")),
    own_frame=True,
    prism={Side.RIGHT: "2.00 BI, 1.00 BU"},
    thickest={Side.RIGHT: 8.25},
)
SAID = {
    StripKind.REMAKE: "REMAKE RIGHT LENS · the left one is done · coating came off at the edger",
    StripKind.OWN_FRAME: "OWN FRAME",
    StripKind.ONE_LENS: "ONE LENS ONLY RIGHT LENS",
    StripKind.PRISM: "PRISM RIGHT LENS 2.00 BI, 1.00 BU",
    StripKind.THICK_EDGE: "THICK EDGE RIGHT LENS 8.3 mm",
}
SHEET = replace(JOB_SHEET.sample(), strips=strips_of(FACTS, ON_JOB_SHEET))
RECORD = replace(REORDER.sample(), strips=strips_of(FACTS, ON_REORDER))
ORDER = replace(LENS_ORDER.sample(), left=replace(LENS_ORDER.sample().left, asked=False))
SHOWN: Mapping[str, tuple[StripKind, ...]] = {"job": ON_JOB_SHEET, "lens_order": ON_LENS_ORDER, "reorder": ON_REORDER}
PAPERS: Mapping[str, tuple[Paper[Any], Any]] = {
    "job": (JOB_SHEET, SHEET),
    "lens_order": (LENS_ORDER, ORDER),
    "reorder": (REORDER, RECORD),
}
each_paper = pytest.mark.parametrize("key", PAPERS)


@each_paper
def test_strips_are_white_on_black_across_the_page_and_cross_nothing(key: str) -> None:
    """Each as wide as what stands between the margins; the first of them right under the head."""
    paper, content = PAPERS[key]
    document = document_of(paper, content)
    page = document.pages[0]
    found = [placed for placed in page if placed.block.name == "strip"]
    assert len(found) == len(SHOWN[key])
    for placed in found:
        (ground,) = [mark for mark in marks_of((placed,)) if isinstance(mark, Box)]
        assert (ground.x, ground.width, ground.fill) == (43.0, document.width - 86, 0.0)
        assert all(text.style.ink == 1.0 and text.style.bold for text in texts_of((placed,)))
        assert all(
            ground.y < text.extent[1] and text.extent[3] < ground.y + ground.height for text in texts_of((placed,))
        )
    above = [placed.block.name for placed in page if placed.y < found[0].y and placed.block.marks]
    assert above == ["head"]
    assert outside(document, 43) == []
    assert crossing_texts(page) == []
    assert crossing_blocks(page) == []


def test_a_job_sheet_says_each_fact() -> None:
    """The kind in capitals, which lens, and what else is known."""
    text = text_of(document_of(JOB_SHEET, SHEET))
    assert all(said in text for said in SAID.values())


def test_a_record_says_what_concerns_new_lenses() -> None:
    """Everything but a remake."""
    text = text_of(document_of(REORDER, RECORD))
    assert {kind for kind, said in SAID.items() if said in text} == set(ON_REORDER)


def test_a_lens_order_says_why_in_no_strip() -> None:
    """The sample is a remake of a scratched lens; that it is one is said, and the scratch is not."""
    text = text_of(document_of(LENS_ORDER, ORDER))
    assert "REMAKE RIGHT LENS" in text
    assert "ONE LENS ONLY RIGHT LENS" in text
    assert "PRISM RIGHT LENS 1.00 BU" in text
    assert ORDER.reason not in text


def test_both_lenses_are_said_as_both_and_each_amount_by_its_eye() -> None:
    """A lens without an amount of its own is not named by itself."""
    both = (
        Strip(StripKind.REMAKE, (LensSaid(Side.RIGHT), LensSaid(Side.LEFT)), ("scratched",)),
        Strip(StripKind.PRISM, (LensSaid(Side.RIGHT, "1.00 BU"), LensSaid(Side.LEFT, "1.00 BD"))),
    )
    text = text_of(document_of(JOB_SHEET, replace(SHEET, strips=both)))
    assert "REMAKE BOTH LENSES · scratched" in text
    assert "PRISM RIGHT LENS 1.00 BU · LEFT LENS 1.00 BD" in text


def test_a_long_reason_is_never_cut() -> None:
    """It goes on in a second line of the same strip."""
    reason = " ".join(f"word{at}" for at in range(40))
    strip = Strip(StripKind.REMAKE, (LensSaid(Side.LEFT),), (reason,))
    document = document_of(JOB_SHEET, replace(SHEET, strips=(strip,)))
    assert reason in text_of(document)
    assert crossing_texts(document.pages[0]) == []


@each_paper
def test_a_kind_without_words_fails_at_once(key: str) -> None:
    """Also on a paper that has no such strip today, so that it is found before the day it is needed."""
    paper, content = PAPERS[key]
    bare = replace(LENS_ORDER.sample(), remake=None) if key == "lens_order" else replace(content, strips=())
    words = read_wording(key)
    document_of(paper, bare, wording=words)
    for kind in SHOWN[key]:
        entries = {name: entry for name, entry in words.entries.items() if name != f"strips.{kind.value}"}
        with pytest.raises(KeyError, match=kind.value):
            document_of(paper, bare, wording=replace(words, entries=entries))


@each_paper
def test_the_wording_has_no_strip_that_its_paper_never_shows(key: str) -> None:
    """What cannot come up needs no words of the owner's."""
    kinds = {name.removeprefix("strips.") for name in read_wording(key).entries if name.startswith("strips.")}
    assert kinds - {"right", "left", "both"} == {kind.value for kind in SHOWN[key]}


def crosses(document: Any, name: str) -> list[Rule]:  # noqa: ANN401 - a document
    """Give the slanting lines of the table of both eyes."""
    (table,) = [placed for placed in document.pages[0] if placed.block.name == name]
    return [mark for mark in marks_of((table,)) if isinstance(mark, Rule) and mark.x0 != mark.x1 and mark.y0 != mark.y1]


def test_the_column_of_a_lens_that_is_not_made_is_crossed_out() -> None:
    """Two grey lines from corner to corner over that column and no other; its words stay black on top of them."""
    left = replace(SHEET.left, not_made="not made: the old lens stays")
    document = document_of(JOB_SHEET, replace(SHEET, left=left))
    found = crosses(document, "eyes")
    assert len(found) == 2
    assert all(isinstance(line.ink, float) and 0.4 < line.ink < 0.8 for line in found)
    words = next(mark for mark in texts_of(document.pages[0]) if mark.text == left.not_made)
    assert words.style.ink == 0.0
    made = next(mark for mark in texts_of(document.pages[0]) if mark.text == SHEET.right.power)
    assert all(line.extent[0] < words.extent[0] and words.extent[2] < line.extent[2] for line in found)
    assert all(made.extent[2] < line.extent[0] for line in found)
    assert crosses(document_of(JOB_SHEET, SHEET), "eyes") == []


def test_the_column_of_a_lens_that_is_not_ordered_is_crossed_out() -> None:
    """Its figures are there for reference, and nobody takes them for an order."""
    document = document_of(LENS_ORDER, ORDER)
    (first, second) = crosses(document, "eyes")
    assert first.extent == second.extent
    head = next(mark for mark in texts_of(document.pages[0]) if mark.text == "LEFT – NOT ORDERED")
    assert first.extent[0] < head.extent[0]
    assert head.extent[2] < first.extent[2]
    assert crosses(document_of(LENS_ORDER, LENS_ORDER.sample()), "eyes") == []
