"""Ordering lenses from a lab, on both databases: what goes out, what is kept, and what the job waits for then."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from shopledger.desk.context import Desk
from shopledger.desk.goods import LENSES
from shopledger.desk.inspecting import record_inspection, record_remake
from shopledger.desk.jobs import open_jobs
from shopledger.desk.lens_ordering import (
    FileForm,
    LensOrderRequest,
    lens_orders,
    place_lens_order,
    plan_lens_order,
    print_lens_order,
    record_arrival,
)
from shopledger.desk.orders import cancel_order
from shopledger.desk.sales import record_sale
from shopledger.desk.tracing import keep_trace
from shopledger.errors import PaperworkError, RefusedError, ShopledgerError, UnknownNameError
from shopledger.exchange.trace_file import read_trace_file
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.inspections import Scrap
from shopledger.ledger.lens_orders import Edging
from shopledger.ledger.orders import PairRequest
from shopledger.ledger.parties import Address
from shopledger.ledger.settings import Settings
from shopledger.ledger.stages import Stage, Standing
from shopledger.optics.notation import read_eye
from shopledger.optics.prescription import Prescription
from shopledger.optics.sides import Side
from shopledger.places import templates_folder
from shopledger.store.refusals import NumberUnknownError
from tests.desk.books import everything, notes, on_both, words_in
from tests.desk.family import CHILDS, DISTANCE, PROGRESSIVE, WHOLE, later, ordered, read_as_ordered, set_shop
from tests.shelf import CUSTOMER, SHOP, SINGLE, WREN

LAB = "Brightwater"
EXPECTED = date(2026, 3, 9)
PLAIN = LensOrderRequest(1, LAB, expected_on=EXPECTED)
EDGED = LensOrderRequest(2, LAB, Edging.EDGED, note="Please pack each lens by itself.")
AXIS_OFF = Prescription(read_eye("-2.50 -1.25 x 090"), read_eye("-2.25 -1.00 x 095"))


@pytest.fixture
def sold(desk: Desk) -> Desk:
    """Sell a distance and a progressive pair in the traced frame and a child's pair in another; there is a lab."""
    record_sale(desk, ordered(DISTANCE, PROGRESSIVE, CHILDS))
    with desk.writing() as work:
        work.suppliers.add(Supplier("Brightwater Lens Laboratory", "A-77", "555-0164"))
    return desk


def standing(desk: Desk, job: int = 1) -> Standing:
    """Give where a job stands on the board."""
    return next(row.standing for row in open_jobs(desk) if row.job.facts.job_number == job)


@on_both
def test_an_order_goes_out_as_a_file_and_a_sheet(sold: Desk, tmp_path: Path) -> None:
    """Numbered from 1, noted, and the job then waits for its lenses until the day they are expected."""
    sent = place_lens_order(sold, PLAIN, tmp_path)
    assert [file.name for file in sent.files] == ["lens-order-00001.txt", "lens-order-00001.pdf"]
    records = sent.files[0].read_bytes().decode("ascii")
    for line in ("JOB=1", "DO=B", "SPH=-2.50;-2.25", "AX=90;85", "_EDGING=UNCUT", "_EXPECTED=2026-03-09"):
        assert f"{line}\r\n" in records
    sheet = words_in(sent.files[1])
    for said in ("Pebble Optics", "555-0100", "O.F.", "Brightwater Lens Laboratory", "A-77", "-2.50 -1.25 x 090"):
        assert said in sheet
    assert notes(sold)[-1] == ("tester", "sent out a lens order", "lens order 1")
    assert standing(sold).stage is Stage.LENSES_AWAITED
    assert standing(sold).next_step == "wait for the lenses, expected 2026-03-09"
    assert [row.overdue for row in open_jobs(later(sold, date(2026, 3, 10)))] == [True, False, False]
    assert standing(sold, 2).stage is Stage.ORDERED


@on_both
def test_nothing_that_goes_out_names_the_wearer(sold: Desk, tmp_path: Path) -> None:
    """Neither file nor sheet nor plain form, even where the remarks do."""
    asked = replace(PLAIN, note=f"For {CUSTOMER}")
    place_lens_order(sold, asked, tmp_path)
    print_lens_order(sold, 1, tmp_path, FileForm.JSON)
    said = words_in(tmp_path / "lens-order-00001.pdf")
    said += (tmp_path / "lens-order-00001.txt").read_text() + (tmp_path / "lens-order-00001.json").read_text()
    assert "For O.F." in said
    for part in CUSTOMER.split():
        assert part not in said


@on_both
def test_an_order_is_written_again_years_later_byte_for_byte(sold: Desk, tmp_path: Path) -> None:
    """Whatever has changed since: shop, lens, trace, paper, wording."""
    for name in ("first", "again"):
        (tmp_path / name).mkdir()
    first = place_lens_order(sold, EDGED, tmp_path / "first")
    plain = print_lens_order(sold, 1, tmp_path / "first", FileForm.JSON).files[0].read_bytes()
    there = later(sold, date(2031, 5, 6))
    set_shop(there, replace(SHOP, name="Elsewhere", address=Address("1 New Way", "Fennick", "OH", "43001")),
                Settings(paper="a4"))  # fmt: skip
    LENSES.change(there, "PROG-14", {"name": "Odd progressive"})
    keep_trace(there, WREN.code, WHOLE, "another tracer", accept=frozenset())
    assert there.own_templates is not None
    own = there.own_templates / "papers" / "lens_order.toml"
    own.parent.mkdir(parents=True)
    shipped = (templates_folder() / "papers" / "lens_order.toml").read_text(encoding="utf-8")
    own.write_text(shipped.replace('paper = "Lens order"', 'paper = "Order"'), encoding="utf-8")
    again = print_lens_order(there, 1, tmp_path / "again")
    assert [file.read_bytes() for file in again.files] == [file.read_bytes() for file in first.files]
    assert print_lens_order(there, 1, tmp_path / "again", FileForm.JSON).files[0].read_bytes() == plain


@on_both
def test_edged_lenses_go_with_the_frame_s_trace(sold: Desk, tmp_path: Path) -> None:
    """The file reads back as the shape that the ledger keeps."""
    sent = place_lens_order(sold, EDGED, tmp_path)
    with sold.reading() as work:
        stored = work.traces.newest(WREN.code)
    assert stored is not None
    read = read_trace_file(sent.files[0])
    assert (read.right, read.left, read.dbl) == (stored.shape.right, stored.shape.left, stored.shape.dbl)


@on_both
def test_a_dry_run_stores_and_writes_nothing(sold: Desk) -> None:
    """It shows what would be sent, not yet numbered."""
    before = everything(sold)
    planned = plan_lens_order(sold, PLAIN)
    assert (planned.content.number, planned.content.right.blank, planned.files) == (0, 65, ())
    assert everything(sold) == before


@on_both
@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (replace(PLAIN, job_number=3, edging=Edging.EDGED), "trace is missing for LARK-48"),
        (replace(PLAIN, expected_on=date(2026, 3, 1)), "expected day is 2026-03-01"),
        (replace(PLAIN, day=date(2026, 3, 3)), "it lies after today"),
        (replace(PLAIN, day=date(2026, 3, 1)), "the order was recorded on 2026-03-02"),
        (replace(PLAIN, again="lost in the post"), "Leave --again out"),
        (replace(PLAIN, base_curve=40.0), "base curve"),
    ],
)
def test_what_cannot_be_ordered_is_refused_and_nothing_stored(
    sold: Desk, asked: LensOrderRequest, said: str, tmp_path: Path
) -> None:
    """With one sentence, in a dry run as well; no file is written and no number taken."""
    before = everything(sold)
    with pytest.raises(ShopledgerError, match=said):
        plan_lens_order(sold, asked)
    with pytest.raises(ShopledgerError, match=said):
        place_lens_order(sold, asked, tmp_path)
    assert everything(sold) == before
    assert list(tmp_path.glob("lens-order*")) == []


def test_unknown_jobs_and_suppliers_are_refused(sold: Desk, tmp_path: Path) -> None:
    """The nearest supplier, or how to add one, is said."""
    with pytest.raises(NumberUnknownError, match="job 99"):
        place_lens_order(sold, replace(PLAIN, job_number=99), tmp_path)
    with pytest.raises(UnknownNameError, match="supplier"):
        place_lens_order(sold, replace(PLAIN, supplier="Nowhere Lab"), tmp_path)
    with pytest.raises(NumberUnknownError, match="lens order 5"):
        print_lens_order(sold, 5, tmp_path)


def test_a_pair_without_powers_and_a_cancelled_one_are_refused(sold: Desk, tmp_path: Path) -> None:
    """No lab can make the one, and nobody wants the other."""
    record_sale(sold, ordered(PairRequest(CUSTOMER, SINGLE.code, WREN.code, without_prescription=True)))
    with pytest.raises(RefusedError, match="has no powers"):
        place_lens_order(sold, replace(PLAIN, job_number=4), tmp_path)
    cancel_order(sold, 1, "changed her mind")
    with pytest.raises(RefusedError, match="cancelled on 2026-03-02"):
        place_lens_order(sold, PLAIN, tmp_path)


def test_what_stops_a_job_at_the_bench_stops_its_lenses_too(sold: Desk, tmp_path: Path) -> None:
    """A blank that is too small would only be thrown away."""
    LENSES.change(sold, SINGLE.code, {"blank_diameters": (50.0,)})
    with pytest.raises(RefusedError, match=r"blank is 50 mm but the shape needs.*job show 1"):
        place_lens_order(sold, PLAIN, tmp_path)


@on_both
def test_lenses_are_ordered_once_unless_a_reason_is_given(sold: Desk, tmp_path: Path) -> None:
    """The second order follows the first and keeps its reason, which the lab is not told."""
    place_lens_order(sold, PLAIN, tmp_path)
    before = everything(sold)
    with pytest.raises(RefusedError, match=r"ordered on 2026-03-02 as lens order 1.*--again REASON"):
        place_lens_order(sold, PLAIN, tmp_path)
    assert everything(sold) == before
    again = place_lens_order(sold, replace(PLAIN, again="lost in the post", only=Side.LEFT), tmp_path)
    assert (again.content.number, again.content.follows, again.content.reason) == (2, 1, "lost in the post")
    assert (again.content.right.asked, again.content.left.asked) == (False, True)
    assert "lost in the post" not in again.files[0].read_text() + words_in(again.files[1])
    assert [order.follows for order in lens_orders(sold, 1)] == [None, 1]


@on_both
def test_a_remake_sends_the_job_back_and_its_lost_lens_is_ordered(sold: Desk, tmp_path: Path) -> None:
    """The whole way: ordered, arrived, failed, made again with one new lens, arrived, passed."""
    place_lens_order(sold, PLAIN, tmp_path)
    there = later(sold, EXPECTED)
    arrived = record_arrival(there, 1, note="well packed")
    assert (arrived.arrival.day, arrived.supplier) == (EXPECTED, "Brightwater Lens Laboratory")
    assert (standing(there).stage, standing(there).next_step) == (Stage.READY_TO_CUT, "cut and inspect")
    record_inspection(there, read_as_ordered(there, 1, read=AXIS_OFF))
    assert standing(there).stage is Stage.FAILED
    record_remake(there, 1, "axis off by 10", 1850, Scrap.LEFT)
    assert (standing(there).stage, standing(there).next_step) == (Stage.REMADE, "order lenses, cut again and inspect")
    second = place_lens_order(there, replace(PLAIN, expected_on=None), tmp_path)
    assert (second.content.right.asked, second.content.left.asked, second.content.follows) == (False, True, 1)
    assert standing(there).next_step == "wait for the lenses"
    record_arrival(there, 1)
    assert (standing(there).stage, standing(there).next_step) == (Stage.READY_TO_CUT, "cut again and inspect")
    record_inspection(there, read_as_ordered(there, 1))
    assert standing(there).stage is Stage.INSPECTED
    with pytest.raises(RefusedError, match="as lens order 2"):
        place_lens_order(there, PLAIN, tmp_path)


@on_both
def test_lenses_arrive_for_the_order_they_belong_to(sold: Desk, tmp_path: Path) -> None:
    """The newest unless another is named; never twice, and not where none were ordered."""
    with pytest.raises(RefusedError, match=r"none were ordered for it.*order-lenses 1"):
        record_arrival(sold, 1)
    place_lens_order(sold, PLAIN, tmp_path)
    place_lens_order(sold, replace(PLAIN, again="one more pair"), tmp_path)
    assert record_arrival(sold, 1, number=1).order.number == 1
    assert standing(sold).stage is Stage.LENSES_AWAITED
    with pytest.raises(RefusedError, match="came in on 2026-03-02"):
        record_arrival(sold, 1, number=1)
    with pytest.raises(RefusedError, match="those of job 1 are: 1, 2"):
        record_arrival(sold, 1, number=3)
    assert record_arrival(sold, 1).order.number == 2
    assert standing(sold).stage is Stage.READY_TO_CUT


def test_an_order_changed_from_outside_is_not_printed(
    sold: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its frozen content no longer has the hash that was stored with it."""
    from shopledger.store.lens_orders import LensOrders

    place_lens_order(sold, PLAIN, tmp_path)
    stored = lens_orders(sold, 1)[0]
    forged = replace(stored, body=json.dumps(json.loads(stored.body) | {"initials": "X.X."}))
    monkeypatch.setattr(LensOrders, "get", lambda *_: forged)
    with pytest.raises(PaperworkError, match="does not match its own hash"):
        print_lens_order(sold, 1, tmp_path)
