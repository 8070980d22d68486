"""The lens order as it is placed: one page, large type, everything a lab needs, of the wearer only initials."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import pytest

from shopledger.ledger.canonical import thawed
from shopledger.ledger.catalogue import Design, SegmentShape
from shopledger.ledger.lens_orders import Edging
from shopledger.ledger.papers.lens_order import LensOrderContent
from shopledger.optics.measurements import Measurements
from shopledger.optics.prescription import LensUse
from shopledger.optics.sides import Side
from shopledger.paperwork.lens_order import LENS_ORDER
from shopledger.paperwork.marks import Outline
from shopledger.paperwork.paper import document_of
from shopledger.paperwork.refusals import DoesNotFitError
from shopledger.paperwork.typeset import MM
from tests.ledger.papers.bench import TOUGH, elliptic, hard_job, job, measured, one_lens_job
from tests.ledger.papers.lab import sent
from tests.paperwork.reading import crossing_blocks, crossing_texts, marks_of, outside, printed, text_of, texts_of
from tests.shelf import CUSTOMER, GRADUAL, LINED, THIN, WREN

UNEVEN = Measurements.from_monocular((29.5, 33), 59, 17, 18)
TRIFOCAL = replace(LINED, design=Design.TRIFOCAL, segment_shape=SegmentShape.CURVED_TOP, intermediate_depth=7)
REMARK = "The last pair came in with the left lens turned by two degrees, and the wearer noticed it when reading. "
LONG = 1_234_567

CASES: Mapping[str, LensOrderContent] = {
    "sample": LENS_ORDER.sample(),
    "strong minus": sent(job("-12.00 -3.25 x 175 2 BO", "-10.50 -2.75 x 005 2 BO", lens=THIN)),
    "strong plus": sent(job("+9.50 -1.25 x 090", "+10.00 -2.00 x 085", lens=TOUGH, number=LONG), base_curve=8.25),
    "prism": sent(job("+0.75 +0.50 x 170 2 BU 1.5 BI", "-0.50 DS 2 BD 1.50 BI"), lenses=(Side.RIGHT,), follows=7),
    "progressive": sent(
        job("-2 DS add 2", "-2.25 DS add 2", lens=GRADUAL, use=LensUse.MULTIFOCAL), edging=Edging.EDGED
    ),
    "bifocal": sent(job("-2 DS add 2", "-2.25 DS add 2", lens=LINED, use=LensUse.MULTIFOCAL, measurements=UNEVEN)),
    "trifocal": sent(
        job("-2 DS add 2", "-2.25 DS add 2", lens=TRIFOCAL, use=LensUse.MULTIFOCAL, measurements=UNEVEN),
        edging=Edging.EDGED,
    ),
    "balance": sent(job("balance", "-2.50 DS")),
    "reading": sent(job(use=LensUse.READING)),
    "untraced": sent(job(untraced=True), expected_on=None),
    "huge": sent(job(shape=elliptic(74, 60, 14), measurements=measured(32)), edging=Edging.EDGED),
    "tiny": sent(job(shape=elliptic(32, 20, 20), measurements=measured(None))),
    "hard": sent(hard_job(), remake=9, follows=21, note=REMARK),
    "one lens": sent(one_lens_job(), lenses=(Side.RIGHT,)),
    "many words": replace(
        sent(job(frame=replace(WREN, maker="W" * 60, model="M" * 60)), note=(REMARK * 20)[:2000]),
        supplier="Long Lab " * 12,
        extras=("Anti-reflective coating of the better kind",) * 5,
    ),
}
each_case = pytest.mark.parametrize("content", CASES.values(), ids=CASES.keys())
usual = pytest.mark.parametrize("name", [name for name in CASES if name != "many words"])


@each_case
@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_an_order_is_one_page_on_which_nothing_crosses(content: LensOrderContent, paper: str) -> None:
    """No two texts or blocks touch, all stay within the margins, and there is no second page."""
    document = document_of(LENS_ORDER, content, size=paper)
    assert len(document.pages) == 1
    assert outside(document, 43) == []
    assert crossing_texts(document.pages[0]) == []
    assert crossing_blocks(document.pages[0]) == []


@usual
def test_usual_orders_can_be_read_at_arm_s_length(name: str) -> None:
    """Job and powers are set in 14 points bold or more; whether to edge, in 13."""
    content = CASES[name]
    texts = texts_of(document_of(LENS_ORDER, content).pages[0])
    shown = {content.right.power, content.left.power, str(content.job_number)}
    sizes = [mark.style.size for mark in texts if mark.text in shown and mark.style.bold]
    assert len(sizes) >= 3
    assert min(sizes) >= 12
    assert all(mark.style.size >= 13 for mark in texts if "UNCUT" in mark.text or "EDGE to" in mark.text)


def test_an_order_says_everything_that_a_lab_needs() -> None:
    """Each figure of the sample stands on the paper, with its words."""
    text = text_of(document_of(LENS_ORDER, LENS_ORDER.sample()))
    for said in (
        *("Sample Row Optical", "5 Sample Row", "Phone 555-0123", "Order 24", "Ordered Feb 27, 2026", "Mar 6, 2026"),
        *("Repeat of order 21", "57", "I.M.", "Brightwater Lens Laboratory, our account A-77", "EDGE to the shape"),
        *("Even progressive", "progressive, for all distances", "hard resin 1.50 · index 1.498 · corridor 13 mm"),
        *("base curve 4.25 D", "Anti-reflective coating", "-3.25 -1.25 x 090", "+2.00", "1.00 BU", "31.5", "29.5"),
        *("21.0", "50.0 x 38.0", "138.9 around", "DBL 19.0", "trace 12 of 2026-02-20", "pack each lens by itself"),
    ):
        assert said in text


def test_uncut_lenses_are_ordered_by_diameter() -> None:
    """The smallest of the maker's that covers, or at least what is needed where none does; edged ones have none."""
    text = text_of(document_of(LENS_ORDER, CASES["strong minus"]))
    assert "UNCUT" in text
    assert "65 needs 61.1" in text
    assert "Diameter" not in text_of(document_of(LENS_ORDER, CASES["progressive"]))
    assert "at least" in text_of(document_of(LENS_ORDER, sent(job(shape=elliptic(74, 60, 14)))))
    assert "not worked out" in text_of(document_of(LENS_ORDER, CASES["untraced"]))


def test_one_lens_alone_is_said_where_nobody_can_miss_it() -> None:
    """The other one's figures are there for reference."""
    text = text_of(document_of(LENS_ORDER, CASES["prism"]))
    assert "ONE LENS ONLY RIGHT LENS" in text
    assert "LEFT – NOT ORDERED" in text


def test_the_wearer_s_name_stands_nowhere() -> None:
    """Neither on the page nor in the document's properties."""
    document = document_of(LENS_ORDER, sent(job(), note=f"Call {CUSTOMER}"))
    said = text_of(document) + document.title + document.subject + document.author
    assert "O.F." in said
    for part in CUSTOMER.split():
        assert part not in said


def test_the_shape_is_drawn_at_full_size() -> None:
    """52 mm by 36 mm, as the trace has them."""
    outlines = [
        mark for mark in marks_of(document_of(LENS_ORDER, CASES["reading"]).pages[0]) if isinstance(mark, Outline)
    ]
    assert len(outlines) == 2
    for outline in outlines:
        left, top, right, bottom = outline.extent
        assert (right - left) / MM == pytest.approx(52, abs=0.02)
        assert (bottom - top) / MM == pytest.approx(36, abs=0.02)


def test_shapes_that_find_no_room_are_left_out_and_said_so() -> None:
    """The remarks come first."""
    document = document_of(LENS_ORDER, CASES["many words"])
    assert not any(isinstance(mark, Outline) for mark in marks_of(document.pages[0]))
    assert "found no room" in text_of(document)


def test_what_does_not_fit_on_a_page_is_refused() -> None:
    """With what to shorten."""
    with pytest.raises(DoesNotFitError, match="Shorten the note"):
        document_of(LENS_ORDER, replace(LENS_ORDER.sample(), note=REMARK * 200))


def test_the_same_order_gives_the_same_bytes(tmp_path: Path) -> None:
    """Also from the JSON that is kept of it."""
    first = printed(LENS_ORDER, CASES["strong plus"], tmp_path / "a.pdf").read_bytes()
    kept = thawed(LensOrderContent, CASES["strong plus"].canonical(), "lens order")
    assert printed(LENS_ORDER, kept, tmp_path / "b.pdf").read_bytes() == first
