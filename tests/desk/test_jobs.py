"""Jobs at the bench: the board, one job, its sheet, on both databases."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from pypdf import PdfReader

from shopledger.desk.bench_jobs import job_card
from shopledger.desk.context import Desk
from shopledger.desk.goods import FRAMES, LENSES, add_frame
from shopledger.desk.job_sheets import print_job_sheet
from shopledger.desk.jobs import open_jobs
from shopledger.desk.orders import cancel_order
from shopledger.desk.sales import record_sale
from shopledger.errors import RefusedError
from shopledger.ledger.catalogue import Frame
from shopledger.ledger.orders import PairRequest
from shopledger.ledger.stages import Stage
from shopledger.optics.materials import MaterialClass
from shopledger.paperwork.refusals import MissingGlyphError
from shopledger.places import templates_folder
from shopledger.store.refusals import NumberUnknownError
from tests.desk.books import everything, notes, on_both, words_in
from tests.desk.family import CHILDS, DISTANCE, PROGRESSIVE, READING, later, ordered
from tests.parcels import whole_parcel
from tests.shelf import CUSTOMER, GRADUAL, LARK, SINGLE, WREN


@pytest.fixture
def sold(desk: Desk) -> Desk:
    """Sell a distance pair in the traced frame, and a child's pair in one that was never traced."""
    record_sale(desk, ordered(DISTANCE, CHILDS))
    return desk


def own_wording(desk: Desk, old: str, new: str) -> None:
    """Put a changed copy of the sheet's wording into the owner's folder."""
    assert desk.own_templates is not None
    target = desk.own_templates / "papers" / "job.toml"
    target.parent.mkdir(parents=True, exist_ok=True)
    shipped = (templates_folder() / "papers" / "job.toml").read_text(encoding="utf-8")
    assert old in shipped
    target.write_text(shipped.replace(old, new), encoding="utf-8")


@on_both
def test_the_board_lists_what_is_open(sold: Desk) -> None:
    """Initials, stage, next step and days; looking at the board stores nothing."""
    before = everything(sold)
    first, second = open_jobs(later(sold, date(2026, 3, 17)))
    assert (first.job.facts.job_number, first.initials, first.job.facts.frame_code) == (1, "O.F.", "WREN-52")
    assert (first.standing.stage, first.standing.next_step) == (Stage.ORDERED, "order lenses, cut, inspect")
    assert (second.initials, second.standing.next_step) == ("W.F.", "trace the frame")
    assert (first.days, first.overdue) == (15, True)
    assert [row.overdue for row in open_jobs(later(sold, date(2026, 3, 16)))] == [False, False]
    assert [row.overdue for row in open_jobs(later(sold, date(2026, 3, 3)), overdue_after=0)] == [True, True]
    assert everything(sold) == before


@on_both
def test_a_shipped_order_leaves_the_board(sold: Desk) -> None:
    """Its jobs are shown by their number all the same."""
    with sold.writing() as work:
        work.parcels.add(whole_parcel(work.orders.get(1), sold.today))
    assert open_jobs(sold) == ()
    assert job_card(sold, 1).row.standing.stage is Stage.SHIPPED


@on_both
def test_a_job_is_shown_with_its_layout(sold: Desk) -> None:
    """The look is noted, since powers are private."""
    card = job_card(sold, 1)
    assert (card.wearer, card.sheet.initials, card.sheet.right.power) == (CUSTOMER, "O.F.", "-2.50 -1.25 x 090")
    assert card.sheet.right.decentration_in == pytest.approx(3.5, abs=0.05)
    assert (card.sheet.stops, card.sheet.asks) == ((), ())
    assert notes(sold)[-1] == ("tester", "looked at a job", "job 1")


@on_both
def test_a_sheet_is_printed_with_initials_alone(sold: Desk, tmp_path: Path) -> None:
    """Neither text nor document properties name the wearer; the print is noted."""
    file = print_job_sheet(sold, 1, tmp_path)
    assert file.name == "job-00001.pdf"
    text = words_in(file)
    for said in ("O.F.", "Order 1", "-2.50 -1.25 x 090", "3.5 IN", "CUT WET", "Clear single vision · hard resin"):
        assert said in text
    properties = str(PdfReader(file).metadata)
    for part in CUSTOMER.split():
        assert part not in text + properties
    assert notes(sold)[-1] == ("tester", "printed a job sheet", "job 1")


def test_a_sheet_can_be_printed_again_years_later(sold: Desk, tmp_path: Path) -> None:
    """Byte for byte, as long as frame, lens and trace stay as they are."""
    first = print_job_sheet(sold, 1, tmp_path).read_bytes()
    assert print_job_sheet(later(sold, date(2031, 5, 6)), 1, tmp_path).read_bytes() == first


@on_both
def test_a_frame_without_a_trace_is_said_boldly(sold: Desk, tmp_path: Path) -> None:
    """The sheet prints without layout figures, and has them once the frame was traced."""
    text = words_in(print_job_sheet(sold, 2, tmp_path))
    assert "NO TRACE of this frame is kept" in text
    assert "Decentration" not in text
    assert "Blank" not in text
    with sold.writing() as work:
        stored = work.traces.newest(WREN.code)
        assert stored is not None
        work.traces.add(replace(stored, frame_code=LARK.code, number=None))
    assert "Decentration" in words_in(print_job_sheet(sold, 2, tmp_path))


def test_a_height_below_the_design_s_least_stops_the_job(desk: Desk, tmp_path: Path) -> None:
    """The catalogue's minimum may have been mended since the sale."""
    record_sale(desk, ordered(PROGRESSIVE))
    assert "OK, 2.0 to spare" in words_in(print_job_sheet(desk, 1, tmp_path))
    LENSES.change(desk, GRADUAL.code, {"min_fitting_height": 21.0})
    text = words_in(print_job_sheet(desk, 1, tmp_path))
    assert "STOP" in text
    assert "TOO LOW by 2.0" in text
    assert "this design needs 21" in text


def test_no_blank_large_enough_stops_the_job(sold: Desk, tmp_path: Path) -> None:
    """The diameter that is needed is said."""
    LENSES.change(sold, SINGLE.code, {"blank_diameters": (50.0,)})
    text = words_in(print_job_sheet(sold, 1, tmp_path))
    assert "STOP" in text
    assert "The right blank is 50 mm but the shape needs" in text
    assert "NONE needs" in text


def test_a_trace_that_disagrees_with_the_frame_is_asked_about(sold: Desk) -> None:
    """The catalogue's size may be wrong, or the trace another frame's."""
    FRAMES.change(sold, WREN.code, {"eye_size": 47.0})
    card = job_card(sold, 1)
    assert any("eye size" in sentence for sentence in (*card.sheet.asks, *card.sheet.stops))


def test_a_reading_pair_is_made_and_centred_for_near(desk: Desk) -> None:
    """-2.50 with add 2.00 is made as -0.50; the near PD stands on the sheet."""
    record_sale(desk, ordered(READING))
    sheet = job_card(desk, 1).sheet
    assert (sheet.use, sheet.right.power, sheet.right.pd, sheet.right.near) == (
        "reading",
        "-0.50 -1.25 x 090",
        30.0,
        True,
    )


def test_a_pair_without_prescription_has_a_sheet_too(desk: Desk, tmp_path: Path) -> None:
    """It says that there is none."""
    record_sale(desk, ordered(PairRequest(CUSTOMER, SINGLE.code, WREN.code, without_prescription=True)))
    assert "no prescription" in words_in(print_job_sheet(desk, 1, tmp_path))


def test_the_shop_s_own_way_of_cutting_is_printed(sold: Desk, tmp_path: Path) -> None:
    """Set in the owner's copy of the wording; a word that is none is refused and nothing is noted."""
    LENSES.change(sold, SINGLE.code, {"material_class": MaterialClass.URETHANE})
    assert "CUT WET" in words_in(print_job_sheet(sold, 1, tmp_path))
    own_wording(sold, 'urethane = ""', 'urethane = "dry"')
    assert "CUT DRY" in words_in(print_job_sheet(sold, 1, tmp_path))
    own_wording(sold, 'urethane = ""', 'urethane = "moist"')
    before = everything(sold)
    with pytest.raises(RefusedError, match="moist"):
        print_job_sheet(sold, 1, tmp_path)
    assert everything(sold) == before


@on_both
def test_a_cancelled_order_has_no_sheet(sold: Desk, tmp_path: Path) -> None:
    """Nothing is made for it, and nothing is noted."""
    cancel_order(sold, 1, "changed her mind")
    assert open_jobs(sold) == ()
    before = everything(sold)
    with pytest.raises(RefusedError, match="it was cancelled on 2026-03-02"):
        print_job_sheet(sold, 1, tmp_path)
    assert everything(sold) == before
    assert list(tmp_path.glob("*.pdf")) == []


def test_an_unknown_job_is_refused(sold: Desk, tmp_path: Path) -> None:
    """By its number, for a look and for a sheet."""
    with pytest.raises(NumberUnknownError):
        job_card(sold, 99)
    with pytest.raises(NumberUnknownError):
        print_job_sheet(sold, 99, tmp_path)


def test_a_frame_that_the_font_cannot_set_is_refused_before_anything_is_noted(desk: Desk, tmp_path: Path) -> None:
    """A box in place of letters says nothing at the bench either."""
    add_frame(desk, Frame("SEN-50", "千", "Sen", "ink", 50, 18, 140, 10000, 4000), count=1)
    record_sale(desk, ordered(PairRequest(CUSTOMER, SINGLE.code, "SEN-50", measurements=DISTANCE.measurements)))
    before = everything(desk)
    with pytest.raises(MissingGlyphError):
        print_job_sheet(desk, 1, tmp_path)
    assert everything(desk) == before
