"""The reorder record: shapes true to the hundredth of a millimetre, and all that new lenses are made from."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from shopledger.ledger.papers.reorder_record import PriceLine, RecordPrice
from shopledger.paperwork.page import painted
from shopledger.paperwork.paper import document_of
from shopledger.paperwork.refusals import DoesNotFitError, MissingGlyphError
from shopledger.paperwork.reorder import REORDER
from shopledger.paperwork.reorder_shapes import drawing_width
from tests.paperwork.reading import crossing_blocks, crossing_texts, outside, printed, read, text_of
from tests.paperwork.samples import reorder_record

pytestmark = pytest.mark.slow

MM = 72 / 25.4
"""PDF units in a millimetre: the unit is 1/72 inch (ISO 32000-1, 8.3.2.3)."""


@pytest.mark.parametrize(
    "words",
    [
        "Reorder record", "No. 17", "Made Mar 14, 2029", "Quiet Harbour Optical", "Casey Sample", "Robin Sample",
        "Wren, matt black, 52-18-140", "job 57, order 311", "Dr. Alex Example", "Trace: wren-52.txt of Feb 20, 2026",
        "RIGHT", "LEFT", "DBL 18.0", "MEASURE ME: 100 mm",
        "A (width of the box) 52.0 52.0", "B (height of the box) 36.0 36.0", "Effective diameter 54.3 54.3",
        "Circumference 141.2 141.2", "Mono PD 31.5 31.5", "Near PD – –", "Height from lowest point 20.0 20.0",
        "Decentration 3.5 in 0.4 out", "Up or down from centre 2.0 up 1.2 down", "Smallest blank, exact 62.7 62.7",
        "Rule of thumb 63.3 63.3", "Chosen blank 65.0 none", "To spare 2.3 –",
        "Sphere -2.50 -3.25 -0.75", "Axis 090 095 5°", "Before: Jan 15, 2026", "Now: Feb 20, 2029",
        "Single vision, urethane 1.60", "Right -3.25 -1.25 x 095", "anti-reflective coating", "4.00 D",
        "right 1.5 1.9 at 92° 4.6 at 183° 8.1 150.00", "(chosen) left 1.5 1.9 at 92° 4.4 at 183° 8.1",
        "4.6 mm, 8.1 g", "Right eye: sphere 0.75 D toward minus.", "Left eye: as before.",
        "Price on Mar 14, 2029", "Slim lenses 150.00 30.00 120.00", "Shipping 6.50 6.50", "Sales tax 1.20",
        "Total 127.70", "You face the wearer", "Seen from behind", "PD 31.5", "20.0 from lowest point",
        "Cannot be made: the blank is too thin", "WARNING The right sphere changed by -0.75 D.",
        "note The prescription runs out in 26 days.", "eye protection", "dry cutting", "impact resistance",
        "never leave with a customer", "Local rules and the prescriber decide",
    ],
)  # fmt: skip
def test_everything_that_new_lenses_are_made_from_is_there(words: str) -> None:
    """Each figure, power, finding and caution is read from the PDF."""
    assert words in text_of(document_of(REORDER, reorder_record()))


def test_a_first_prescription_says_that_there_is_none_before() -> None:
    """Without an earlier prescription the paper says so."""
    assert "Before: no earlier prescription is kept" in text_of(document_of(REORDER, reorder_record(before_day="")))


def test_without_an_earlier_prescription_no_change_is_told() -> None:
    """Where there is nothing to compare with, no eye is said to be as before."""
    text = text_of(document_of(REORDER, reorder_record(right_change="", left_change="")))
    assert "as before" not in text
    assert "Right eye:" not in text


def test_a_record_without_a_price_leaves_its_part_out() -> None:
    """No heading stands over nothing."""
    assert "Price on" not in text_of(document_of(REORDER, reorder_record(price=None)))


def test_many_priced_lines_cross_pages_and_keep_their_sum() -> None:
    """Heads are repeated, every line is there, the sum stands under the last."""
    lines = tuple(PriceLine(f"Extra {number}", 1000, 0, 1000) for number in range(60))
    document = document_of(REORDER, reorder_record(price=RecordPrice(lines, 0, 60_000)))
    text = text_of(document)
    assert all(f"Extra {number} 10.00" in text for number in range(60))
    assert "Total 600.00" in text
    assert all(crossing_texts(page) == [] for page in document.pages)


def test_no_findings_is_said() -> None:
    """An empty list of findings is told in words."""
    assert "No finding." in text_of(document_of(REORDER, reorder_record(findings=())))


def test_without_a_lens_that_can_be_made_there_is_no_chart() -> None:
    """Bars are drawn only for lenses that can be made."""
    (refused,) = [option for option in reorder_record().options if option.refusal]
    text = text_of(document_of(REORDER, reorder_record(options=(refused,))))
    assert "Cannot be made" in text
    assert "Thickest place of each lens" not in text


@pytest.mark.parametrize("a", [40.0, 52.0, 65.0, 75.0, 90.0])
@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_nothing_crosses_or_leaves_the_paper(a: float, paper: str) -> None:
    """For small and large frames no texts or blocks touch, and all stay within the margins."""
    document = document_of(REORDER, reorder_record(a=a, b=a * 0.75, blank=a * 1.25, dbl=20), size=paper)
    assert outside(document, 43) == []
    for page in document.pages:
        assert crossing_texts(page) == []
        assert crossing_blocks(page) == []


def test_usual_frames_stand_upright_and_wide_ones_turn_the_paper() -> None:
    """Two lenses of 65 mm fit on letter upright; what does not is printed across."""
    upright = document_of(REORDER, reorder_record(a=65, dbl=20, blank=80))
    across = document_of(REORDER, reorder_record(a=90, dbl=20, blank=95))
    assert upright.width < upright.height
    assert across.width > across.height


def test_a_shape_too_wide_for_any_paper_is_refused() -> None:
    """A slip that makes the drawing wider than the paper is refused; the shape is never scaled."""
    sheet = reorder_record(a=65, dbl=180)
    assert drawing_width(sheet) > 279.4 - 2 * 43 / MM
    with pytest.raises(DoesNotFitError, match="the pair of shapes at full size does not fit"):
        document_of(REORDER, sheet)


def test_printing_again_gives_the_same_bytes(tmp_path: Path) -> None:
    """The same record makes the same file."""
    first = printed(REORDER, reorder_record(), tmp_path / "a.pdf").read_bytes()
    assert first == printed(REORDER, reorder_record(), tmp_path / "b.pdf").read_bytes()


def test_customers_text_is_printed_as_typed_and_refused_where_it_cannot_be() -> None:
    """Markup is text; letters without a glyph are refused unless a spelling is given."""
    assert "Tom & <b>Jerry" in text_of(document_of(REORDER, reorder_record(customer="Tom & <b>Jerry")))
    strange = reorder_record(wearer="李小龍")
    with pytest.raises(MissingGlyphError):
        painted(document_of(REORDER, strange))
    assert "Li Xiaolong" in text_of(document_of(REORDER, strange, spellings={"李小龍": "Li Xiaolong"}))


def test_many_options_cross_pages_with_their_heads() -> None:
    """A long table of lenses goes over pages, and its heads are repeated."""
    option = reorder_record().options[1]
    options = tuple(replace(option, name=f"Lens {number}") for number in range(30))
    pages = [
        " ".join(page.extract_text().split())
        for page in read(document_of(REORDER, reorder_record(options=options))).pages
    ]
    assert sum("Thinnest edge" in page for page in pages) >= 2
    assert all(f"Lens {number} right" in " ".join(pages) for number in range(30))
