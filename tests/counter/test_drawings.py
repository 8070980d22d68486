"""Drawings on pages: made of numbers, named in words, and whole within their frame."""

from __future__ import annotations

import re

import pytest
from markupsafe import Markup

from shopledger.counter.pictures.layouts import layout_picture
from shopledger.counter.pictures.overlays import overlay_picture
from shopledger.counter.pictures.profiles import cut_picture, thicker_side
from shopledger.desk.bench_jobs import job_card
from shopledger.desk.context import Desk
from shopledger.desk.goods import LENSES
from shopledger.desk.reordering import plan_reorder
from shopledger.desk.sales import record_sale
from shopledger.desk.tracing import stored_trace
from shopledger.ledger.orders import PairRequest
from tests.desk.family import ASKED, DISTANCE, ordered
from tests.shelf import CUSTOMER, LINED, WREN

HOSTILE = "</title><script>alert(1)</script>"


@pytest.fixture
def drawn(desk: Desk) -> Markup:
    """Draw the layout of a bifocal pair under a hostile name."""
    LENSES.add(desk, LINED)
    record_sale(desk, ordered(PairRequest(CUSTOMER, LINED.code, WREN.code, measurements=DISTANCE.measurements)))
    shape = job_card(desk, 1).sheet.shape
    assert shape is not None
    return layout_picture(shape, HOSTILE)


def numbers(picture: str) -> list[float]:
    """Give the numbers of a drawing's frame: left, top, width, height."""
    box = re.search(r'viewBox="([^"]+)"', picture)
    assert box is not None
    return [float(each) for each in box[1].split()]


def test_a_layout_has_both_lenses_with_what_they_are_set_by(drawn: Markup) -> None:
    """Outline and box of each, the optical centre, and a segment's lines."""
    assert drawn.count('class="shape"') == 2
    assert drawn.count('class="mark"') == 2
    assert drawn.count('class="fitted"') >= 4
    assert drawn.count('class="box"') == 4


def test_a_layout_is_as_wide_as_the_frame(drawn: Markup) -> None:
    """Both lenses of 52 mm with 18 mm between them, and a margin."""
    _, _, width, height = numbers(drawn)
    assert width == pytest.approx(52 + 18 + 52 + 12, abs=0.2)
    assert height == pytest.approx(37.4 + 12, abs=0.2)


def test_a_title_is_text(drawn: Markup) -> None:
    """Whatever a frame is called."""
    assert "<script>" not in drawn
    assert "&lt;script&gt;" in drawn


def test_a_cut_says_its_thicknesses(returned: Desk) -> None:
    """Of the lens with the thickest edge: at the temple, in the middle, at the nose."""
    plan = plan_reorder(returned, ASKED)
    side = thicker_side(plan.chosen)
    assert side is not None
    body = plan.chosen.eye(side).body
    assert body is not None
    said = [float(each) for each in re.findall(r">([0-9.]+)</text>", cut_picture(plan.chosen, plan.trace.shape))]
    assert len(said) == 3
    assert said[1] == pytest.approx(body.centre_thickness, abs=0.05)
    assert max(said) <= body.thickest + 0.05
    assert said[0] > said[2]


def test_a_shape_laid_on_itself_lies_on_its_line(desk: Desk) -> None:
    """Both outlines of each eye are the same points."""
    shape = stored_trace(desk, WREN.code).stored.shape
    picture = overlay_picture(shape, shape, "itself")
    still = re.findall(r'class="shape" d="M([^"]+)Z"', picture)
    laid = re.findall(r'class="second" d="M([^"]+)Z"', picture)
    for one, other in zip(still, laid, strict=True):
        apart = [abs(float(a) - float(b)) for a, b in zip(one.split(), other.split(), strict=True)]
        assert max(apart) < 0.1
