"""The reorder record: shapes true to the hundredth of a millimetre, and all that new lenses are made from."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from shopledger.paperwork.marks import Rule
from shopledger.paperwork.page import painted
from shopledger.paperwork.refusals import DoesNotFitError, MissingGlyphError
from shopledger.paperwork.reorder import reorder_document, reorder_pdf
from shopledger.paperwork.reorder_shapes import centre_distance, drawing_width
from shopledger.paperwork.reorder_sheet import EyeShape
from tests.paperwork.reading import circles_of, crossing_blocks, crossing_texts, marks_of, outside, paths, read, text_of
from tests.paperwork.samples import outline, reorder_sheet

MM = 72 / 25.4
"""PDF units in a millimetre: the unit is 1/72 inch (ISO 32000-1, 8.3.2.3)."""

CLOSE = 0.02
"""How true the drawing must be, in mm."""


def drawn(paper: str = "letter") -> tuple[list[tuple[float, float]], list[tuple[float, float]]]:
    """Give the right and the left shape as the PDF draws them, in mm on the paper."""
    pages = read(reorder_document(reorder_sheet(), paper=paper)).pages
    shapes = [path for page in pages for path in paths(page) if len(path) == 400]
    assert len(shapes) == 2
    right, left = ([(x / MM, y / MM) for x, y in shape] for shape in shapes)
    return right, left


def middle(points: list[tuple[float, float]]) -> tuple[float, float]:
    """Give the boxed centre of drawn points."""
    across, up = zip(*points, strict=True)
    return (min(across) + max(across)) / 2, (min(up) + max(up)) / 2


def boxed(points: tuple[tuple[float, float], ...]) -> tuple[tuple[float, float], ...]:
    """Move points so that their boxed centre is the origin."""
    x, y = middle(list(points))
    return tuple((across - x, up - y) for across, up in points)


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_both_shapes_are_drawn_true(paper: str) -> None:
    """Every point of the PDF's paths lies within 0.02 mm of the trace's point."""
    sheet = reorder_sheet()
    for points, shape in zip(drawn(paper), (sheet.right_shape, sheet.left_shape), strict=True):
        x, y = middle(points)
        for (across, up), (wanted_across, wanted_up) in zip(points, boxed(shape.outline), strict=True):
            assert across - x == pytest.approx(wanted_across, abs=CLOSE)
            assert up - y == pytest.approx(wanted_up, abs=CLOSE)


def test_the_right_lens_stands_on_the_left_of_the_paper() -> None:
    """Seen from the front, the wearer's right lens is at the paper's left, both at one height."""
    right, left = drawn()
    assert middle(right)[0] < middle(left)[0]
    assert middle(right)[1] == pytest.approx(middle(left)[1], abs=CLOSE)


def test_the_lenses_stand_apart_by_the_dbl() -> None:
    """The distance between the drawn shapes is the DBL."""
    right, left = drawn()
    assert min(x for x, _ in left) - max(x for x, _ in right) == pytest.approx(18.0, abs=CLOSE)


def test_the_scale_bar_is_100_mm() -> None:
    """The bar that the owner measures is 100 mm long, with a tick at each 10 mm."""
    page = read(reorder_document(reorder_sheet())).pages[0]
    lines = [(path[0], path[1]) for path in paths(page) if len(path) == 2]
    (bar,) = [(start, end) for start, end in lines if abs(end[0] - start[0] - 100 * MM) < CLOSE and start[1] == end[1]]
    ticks = sorted(
        start[0] for start, end in lines if start[0] == end[0] and abs((start[1] + end[1]) / 2 - bar[0][1]) < CLOSE
    )
    assert ticks == pytest.approx([bar[0][0] + tenth * 10 * MM for tenth in range(11)], abs=CLOSE)


def test_optical_centres_and_blanks_are_drawn_where_they_stand() -> None:
    """The dot stands at the optical centre, and the blank's circle of its true diameter around it."""
    page = reorder_document(reorder_sheet()).pages[0]
    dots = [circle for circle in circles_of(page) if circle.fill == 0]
    blanks = [circle for circle in circles_of(page) if circle.fill is None]
    assert [2 * circle.radius / MM for circle in blanks] == pytest.approx([65, 65])
    assert [(circle.x, circle.y) for circle in dots] == [(circle.x, circle.y) for circle in blanks]
    # The boxed centres are 52 + 18 apart, and the optical centres 3.5 and 3.25 nearer to the nose.
    assert (dots[1].x - dots[0].x) / MM == pytest.approx(70 - 3.5 - 3.25, abs=CLOSE)
    assert (dots[1].y - dots[0].y) / MM == pytest.approx(0.5, abs=CLOSE)


def test_a_shape_without_a_blank_has_no_circle() -> None:
    """Where no blank covers the shape none is drawn."""
    bare = EyeShape(outline(), (3.5, 2.0), None)
    page = reorder_document(reorder_sheet(right_shape=bare)).pages[0]
    assert len([circle for circle in circles_of(page) if circle.fill is None]) == 1


def test_the_boxed_centre_has_a_cross() -> None:
    """Two short lines cross at each boxed centre."""
    sheet = reorder_sheet()
    page = reorder_document(sheet).pages[0]
    short = [
        mark
        for mark in marks_of(page)
        if isinstance(mark, Rule) and mark.y0 == mark.y1 and mark.x1 - mark.x0 == pytest.approx(12)
    ]
    centres = [((mark.x0 + mark.x1) / 2, mark.y0) for mark in short]
    assert (centres[1][0] - centres[0][0]) / MM == pytest.approx(centre_distance(sheet), abs=CLOSE)


@pytest.mark.parametrize(
    "words",
    [
        "Reorder record", "No. 17", "Made Mar 14, 2029", "Quiet Harbour Optical", "Casey Sample", "Robin Sample",
        "Wren, matt black, 52-18-140", "job 57, order 311", "Dr. Alex Example", "Trace: wren-52.txt of Feb 20, 2026",
        "RIGHT", "LEFT", "DBL 18.0", "100 mm. Measure this bar",
        "A (width of the box) 52.0 52.0", "B (height of the box) 36.0 36.0", "Effective diameter 54.3 54.3",
        "Circumference 141.2 141.2", "Mono PD 31.5 31.5", "Near PD – –", "Fitting height 20.0 20.0",
        "Decentration 3.5 in 0.4 out", "Height from centre 2.0 up 1.2 down", "Smallest blank, exact 62.7 62.7",
        "Rule of thumb 63.3 63.3", "Chosen blank 65.0 none", "To spare 2.3 –",
        "Sphere -2.50 -3.25 -0.75", "Axis 090 095 5°", "Before: Jan 15, 2026", "Now: Feb 20, 2029",
        "Single vision, urethane 1.60", "Right -3.25 -1.25 x 095", "anti-reflective coating", "4.00 D",
        "right 1.5 1.9 at 92° 4.6 at 183° 8.1", "(chosen) left 1.5 1.9 at 92° 4.4 at 183° 8.1",
        "Cannot be made: the blank is too thin", "WARNING The right sphere changed by -0.75 D.",
        "note The prescription runs out in 26 days.", "eye protection", "dry cutting", "impact resistance",
        "never leave with a customer", "Local rules and the prescriber decide",
    ],
)  # fmt: skip
def test_everything_that_new_lenses_are_made_from_is_there(words: str) -> None:
    """Each figure, power, finding and caution is read from the PDF."""
    assert words in text_of(reorder_document(reorder_sheet()))


def test_a_first_prescription_says_that_there_is_none_before() -> None:
    """Without an earlier prescription the paper says so."""
    assert "Before: no earlier prescription is kept" in text_of(reorder_document(reorder_sheet(before_day="")))


def test_no_findings_is_said() -> None:
    """An empty list of findings is told in words."""
    assert "No finding." in text_of(reorder_document(reorder_sheet(findings=())))


def test_without_a_lens_that_can_be_made_there_is_no_chart() -> None:
    """Bars are drawn only for lenses that can be made."""
    (refused,) = [option for option in reorder_sheet().options if option.refusal]
    text = text_of(reorder_document(reorder_sheet(options=(refused,))))
    assert "Cannot be made" in text
    assert "Thickest place of each lens" not in text


@pytest.mark.parametrize("a", [40.0, 52.0, 65.0, 75.0, 90.0])
@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_nothing_crosses_or_leaves_the_paper(a: float, paper: str) -> None:
    """For small and large frames no texts or blocks touch, and all stay within the margins."""
    document = reorder_document(reorder_sheet(a=a, b=a * 0.75, blank=a * 1.25, dbl=20), paper=paper)
    assert outside(document, 43) == []
    for page in document.pages:
        assert crossing_texts(page) == []
        assert crossing_blocks(page) == []


def test_usual_frames_stand_upright_and_wide_ones_turn_the_paper() -> None:
    """Two lenses of 65 mm fit on letter upright; what does not is printed across."""
    upright = reorder_document(reorder_sheet(a=65, dbl=20, blank=80))
    across = reorder_document(reorder_sheet(a=90, dbl=20, blank=95))
    assert upright.width < upright.height
    assert across.width > across.height


def test_a_shape_too_wide_for_any_paper_is_refused() -> None:
    """A slip that makes the drawing wider than the paper is refused; the shape is never scaled."""
    sheet = reorder_sheet(a=65, dbl=180)
    assert drawing_width(sheet) > 279.4 - 2 * 43 / MM
    with pytest.raises(DoesNotFitError, match="the pair of shapes at full size does not fit"):
        reorder_document(sheet)


def test_printing_again_gives_the_same_bytes(tmp_path: Path) -> None:
    """The same record makes the same file."""
    first = reorder_pdf(reorder_sheet(), tmp_path / "a.pdf").read_bytes()
    assert first == reorder_pdf(reorder_sheet(), tmp_path / "b.pdf").read_bytes()


def test_customers_text_is_printed_as_typed_and_refused_where_it_cannot_be() -> None:
    """Markup is text; letters without a glyph are refused unless a spelling is given."""
    assert "Tom & <b>Jerry" in text_of(reorder_document(reorder_sheet(customer="Tom & <b>Jerry")))
    strange = reorder_sheet(wearer="李小龍")
    with pytest.raises(MissingGlyphError):
        painted(reorder_document(strange))
    assert "Li Xiaolong" in text_of(reorder_document(strange, spellings={"李小龍": "Li Xiaolong"}))


def test_many_options_cross_pages_with_their_heads() -> None:
    """A long table of lenses goes over pages, and its heads are repeated."""
    option = reorder_sheet().options[1]
    options = tuple(replace(option, name=f"Lens {number}") for number in range(30))
    pages = [
        " ".join(page.extract_text().split()) for page in read(reorder_document(reorder_sheet(options=options))).pages
    ]
    assert sum("Thinnest edge" in page for page in pages) >= 2
    assert all(f"Lens {number} right" in " ".join(pages) for number in range(30))
