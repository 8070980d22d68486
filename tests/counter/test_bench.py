"""The bench on pages: the board, a job with its figures, its lenses, what is put right, made again and proved."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest
from flask import Flask

from shopledger.counter.station import Station
from shopledger.desk.bench_past import job_past
from shopledger.desk.context import Desk
from shopledger.desk.inspecting import record_inspection
from shopledger.desk.jobs import open_jobs
from shopledger.desk.orders import ship_order, take_payment
from shopledger.desk.parcels import parcel_card
from shopledger.desk.people import add_customer, suppliers
from shopledger.desk.sales import record_sale
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.inspections import Checked, ImpactProof, Scrap
from shopledger.ledger.orders import Method, PaymentRequest
from shopledger.ledger.stages import Stage
from tests.counter.pressing import press_named, said_while_typed
from tests.counter.visitor import Visitor
from tests.desk.family import CHILDS, DISTANCE, PROGRESSIVE, inspected, ordered, read_as_ordered
from tests.shelf import HOME

LAB = "Brightwater Lens Laboratory"


@pytest.fixture
def sold(desk: Desk) -> Desk:
    """Sell a distance pair, a progressive in the same frame, and a child's pair in a frame without a shape."""
    record_sale(desk, ordered(DISTANCE, PROGRESSIVE, CHILDS))
    return desk


@pytest.fixture
def lab(sold: Desk) -> Desk:
    """Let there be a lab."""
    with sold.writing() as work:
        work.suppliers.add(Supplier(LAB, "A-77", "555-0164"))
    return sold


def papers(visitor: Visitor) -> list[str]:
    """Give the names of what was printed."""
    place = visitor.station.papers
    return sorted(each.name for each in place.iterdir()) if place.is_dir() else []


def test_an_empty_bench_says_so(visitor: Visitor) -> None:
    """Nothing to do is said, not left blank."""
    assert "No job is open." in visitor.go("/bench").words


def test_the_board_has_each_job_under_what_it_waits_for(visitor: Visitor, sold: Desk) -> None:
    """With its number, whose it is, its frame, and one button to what comes next."""
    page = visitor.go("/bench")
    assert "3 jobs are open." in page.words
    assert "Lenses to order 2" in page.words
    assert "Frame to trace 1" in page.words
    assert 'href="/jobs/1/lenses"' in page.text
    assert "/traces/new?frame=LARK-48" in page.text
    assert "Odalys Fernhollow" in page.words
    assert len(open_jobs(sold)) == 3


def test_a_job_shows_what_to_make(visitor: Visitor, sold: Desk) -> None:
    """Powers, PD and heights in large figures, the layout drawn, each tolerance beside."""
    page = visitor.go("/jobs/2")
    assert "-2.50 -1.25 x 090" in page.words
    assert "31.5" in page.words
    assert "Height, mm 19.0" in page.words
    assert 'class="fitted"' in page.text
    assert "<svg" in page.text
    assert "Right axis" in page.words
    assert "not shipped yet" in page.words.casefold()
    assert sold.warning == ""


def test_a_job_without_a_shape_says_so_and_leads_on(visitor: Visitor, sold: Desk) -> None:
    """The page has the way to bring the shape in, and comes back to the job."""
    page = visitor.go("/jobs/3")
    assert "was not traced" in page.words
    assert "/traces/new?frame=LARK-48&amp;next=/jobs/3" in page.text
    assert sold.warning == ""


def test_a_job_that_is_not_there_is_said(visitor: Visitor) -> None:
    """In a sentence, on a page."""
    assert visitor.go("/jobs/99").code == 404


def test_the_job_sheet_is_printed(visitor: Visitor, sold: Desk) -> None:
    """By a button, into the folder of papers; looking prints nothing."""
    visitor.go("/jobs/1")
    assert papers(visitor) == []
    visitor.press("/jobs/1/sheet")
    assert visitor.path == "/papers/job-00001.pdf"
    assert papers(visitor) == ["job-00001.pdf"]
    assert sold.warning == ""


# ---------------------------------------------------------------- lenses


def test_lenses_are_ordered_and_come_in(visitor: Visitor, lab: Desk) -> None:
    """The one lab is chosen already; file and sheet are written, and one press says that they are here."""
    visitor.go("/jobs/1/lenses").send({"expected": "2026-03-09", "note": "Pack each by itself."})
    assert visitor.path == "/jobs/1"
    assert "Send both files to the lab." in visitor.words
    assert papers(visitor) == ["lens-order-00001.pdf", "lens-order-00001.txt"]
    assert open_jobs(lab)[0].standing.stage is Stage.LENSES_AWAITED
    visitor.go("/bench").press("/jobs/1/arrived")
    assert visitor.path == "/jobs/1"
    assert f"came from {LAB}" in visitor.words
    assert open_jobs(lab)[0].standing.stage is Stage.READY_TO_CUT


def test_lenses_ordered_twice_by_one_form_are_ordered_once(visitor: Visitor, lab: Desk) -> None:
    """Whoever presses twice is told that it was recorded already."""
    visitor.go("/jobs/1/lenses").send({"note": ""}, again=True)
    assert "recorded already" in visitor.words
    assert len(job_past(lab, 1).lens_orders) == 1


def test_lenses_ordered_once_more_need_a_reason(visitor: Visitor, lab: Desk) -> None:
    """It is asked for where they were ordered before, and said at its field."""
    visitor.go("/jobs/1/lenses").send({"note": ""})
    visitor.go("/jobs/1/lenses").send({"note": "second"})
    assert visitor.code == 422
    assert visitor.form(has="again").values["note"] == ["second"]
    visitor.send({"again": "lost on the way"})
    assert len(job_past(lab, 1).lens_orders) == 2


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [("expected", "2026-02-01", "expected day"), ("base_curve", "steep", "31.5"), ("expected", "soon", "soon")],
)
def test_what_is_wrong_with_a_lens_order_stands_at_its_field(
    visitor: Visitor, lab: Desk, field: str, typed: str, said: str
) -> None:
    """Nothing is ordered or written, and what was typed stands there."""
    visitor.go("/jobs/1/lenses").send({field: typed, "note": "kept"})
    assert visitor.code == 422
    assert f'href="#f-{field}"' in visitor.text
    assert said in visitor.words.casefold()
    assert visitor.form(has="edging").values["note"] == ["kept"]
    assert job_past(lab, 1).lens_orders == ()
    assert papers(visitor) == []


def test_where_there_is_no_lab_one_is_added_on_the_way(visitor: Visitor, sold: Desk) -> None:
    """The page leads to it and back to the order."""
    visitor.go("/jobs/1/lenses")
    assert visitor.path == "/jobs/1/lab"
    visitor.send({"name": "Tarn Lens Works", "phone": "555-0128"})
    assert visitor.path == "/jobs/1/lenses"
    assert [each.name for each in suppliers(sold)] == ["Tarn Lens Works"]
    visitor.send({"note": ""})
    assert job_past(sold, 1).lens_orders[0][1] == "Tarn Lens Works"


def test_lenses_that_nobody_ordered_cannot_come_in(visitor: Visitor, lab: Desk) -> None:
    """It is said on the page, and nothing is kept."""
    visitor.go("/jobs/1/arrived").send({"note": ""})
    assert visitor.code == 422
    assert "none were ordered" in visitor.words
    assert lab.warning == ""


def test_a_lens_order_is_written_again(visitor: Visitor, lab: Desk) -> None:
    """From what was frozen, by a button on the job's page."""
    visitor.go("/jobs/1/lenses").send({"note": ""})
    for each in visitor.station.papers.iterdir():
        each.unlink()
    visitor.go("/jobs/1").press("/lens-orders/1/print")
    assert papers(visitor) == ["lens-order-00001.pdf", "lens-order-00001.txt"]
    assert lab.warning == ""


# ---------------------------------------------------------------- put right, broken, made again


def test_a_job_is_remeasured_in_the_place_of_the_one_before(visitor: Visitor, sold: Desk) -> None:
    """What it comes to is shown first and stores nothing; then another job is made in its place."""
    press_named(visitor.go("/jobs/1/change"), "pd_right", {"pd_right": "32", "reason": "misread"}, look="yes")
    assert "It costs the same as before." in visitor.words
    assert job_past(sold, 1).pair.measurements == DISTANCE.measurements
    visitor.go("/jobs/1/change").send({"pd_right": "32", "reason": "misread"})
    assert "is made in the place of job 1" in visitor.words
    assert visitor.path == "/jobs/4"
    measured = job_past(sold, 4).pair.measurements
    assert measured is not None
    assert measured.right.mono_pd == 32


def test_what_a_change_comes_to_is_said_while_it_is_typed(visitor: Visitor, sold: Desk) -> None:
    """The part of the page that follows what is typed says the sum without a reason typed yet."""
    visitor.go("/jobs/1/change")
    said = said_while_typed(visitor, "/jobs/1/change/comes-to", "pd_right", {"frame": "LARK-48"})
    assert "Comes in: Harrow Row Lark" in said
    assert len(open_jobs(sold)) == 3


def test_nothing_to_put_right_is_said(visitor: Visitor, sold: Desk) -> None:
    """An empty form changes nothing."""
    visitor.go("/jobs/1/change").send({"reason": "none"})
    assert visitor.code == 422
    assert "nothing on it would change" in visitor.words
    assert len(open_jobs(sold)) == 3


def test_lenses_on_their_way_are_asked_about_before_a_change(visitor: Visitor, lab: Desk) -> None:
    """The warning has its box, and its tick is the yes."""
    visitor.go("/jobs/1/lenses").send({"note": ""})
    visitor.go("/jobs/1/change").send({"pd_right": "32", "reason": "misread"})
    assert visitor.code == 422
    assert "LENSES-ORDERED" in visitor.text
    visitor.send({"pd_right": "32", "accept": "LENSES-ORDERED"})
    assert visitor.path == "/jobs/4"
    assert job_past(lab, 4).bench.inspections == ()


def test_money_that_goes_back_needs_its_way(visitor: Visitor, sold: Desk) -> None:
    """What was paid and is given back is said with its sum, and how it goes back is asked."""
    take_payment(sold, 1, PaymentRequest(account_total(sold), Method.CARD, "4242"))
    visitor.go("/jobs/1/change").send({"frame": "LARK-48", "reason": "took the other one"})
    assert visitor.code == 422
    assert 'href="#f-method"' in visitor.text
    visitor.send({"method": "card", "frame": "LARK-48"})
    assert "is given back by card" in visitor.words


def account_total(desk: Desk) -> int:
    """Give what the order comes to."""
    with desk.reading() as work:
        return work.orders.account(1).order.total


def test_a_broken_frame_is_replaced(visitor: Visitor, sold: Desk) -> None:
    """Without a charge, by another piece of the same."""
    visitor.go("/jobs/1/frame-broken").send({"reason": "temple snapped"})
    assert visitor.path == "/jobs/4"
    assert job_past(sold, 4).pair.frame_code == DISTANCE.frame


def test_a_job_is_made_again_as_it_is(visitor: Visitor, sold: Desk) -> None:
    """With its reason, its cost and what is thrown away; nothing is chosen beforehand."""
    page = visitor.go("/jobs/1/remake")
    assert "scrap" not in page.form(has="scrap").values
    page.send({"reason": "chipped", "cost": "18.00", "scrap": "left"})
    assert visitor.path == "/jobs/1"
    (remake,) = job_past(sold, 1).bench.remakes
    assert (remake.reason, remake.cost, remake.scrap) == ("chipped", 1800, Scrap.LEFT)


@pytest.mark.parametrize(
    ("field", "typed"), [("reason", ""), ("cost", "much"), ("cost", "-1"), ("reason", "4111 1111 1111 1111")]
)
def test_a_remake_says_what_is_wrong_at_its_field(visitor: Visitor, sold: Desk, field: str, typed: str) -> None:
    """And nothing is kept of it."""
    visitor.go("/jobs/1/remake").send({"reason": "chipped", "cost": "18", "scrap": "both", field: typed})
    assert visitor.code == 422
    assert f'href="#f-{field}"' in visitor.text
    assert job_past(sold, 1).bench.remakes == ()


def test_a_job_made_otherwise_gets_one_of_its_own(visitor: Visitor, sold: Desk) -> None:
    """Through whose doing is asked, and who bears it is said."""
    page = visitor.go("/jobs/1/remake-otherwise")
    assert "The shop bears what it costs." in page.words
    page.send({"cause": "shop-error", "reason": "measured wrong", "pd_left": "32"})
    assert visitor.path == "/jobs/4"
    pair = job_past(sold, 4).pair
    assert pair.again is not None
    assert pair.again.job == 1
    assert pair.measurements is not None
    assert pair.measurements.left.mono_pd == 32


def test_a_job_that_left_can_only_be_made_as_another(visitor: Visitor, sold: Desk) -> None:
    """The page of a remake asks for its cause at once."""
    sent(sold)
    assert "It left already" in visitor.go("/jobs/1/remake").words
    visitor.send({"cause": "maker-error", "reason": "peeled"})
    assert visitor.path == "/jobs/4"


def test_impact_resistance_is_proved(visitor: Visitor, sold: Desk) -> None:
    """By the supplier's certificate; what a customer wishes is none."""
    visitor.go("/jobs/1/impact").send({"proof": "exception", "reference": "customer's wish"})
    assert visitor.code == 422
    assert 'href="#f-reference"' in visitor.text
    visitor.send({"proof": "certificate", "reference": "BW-2026-118"})
    kept = job_past(sold, 1).impact
    assert kept is not None
    assert (kept.proof, kept.reference) == (ImpactProof.CERTIFICATE, "BW-2026-118")


# ---------------------------------------------------------------- parcels


def sent(desk: Desk) -> None:
    """Let the order pass and leave."""
    inspected(desk)
    take_payment(desk, 1, PaymentRequest(account_total(desk), Method.CASH))
    ship_order(desk, 1, "Meadow Post")


def test_a_parcel_comes_back_and_leaves_again(visitor: Visitor, sold: Desk) -> None:
    """It is listed and shown, taken in with a reason, and sent once more by the same carrier."""
    assert "None left yet." in visitor.go("/parcels").words
    sent(sold)
    assert "Meadow Post" in visitor.go("/parcels").words
    assert "job 1: Harrow Row Wren" in visitor.go("/parcels/1").words
    visitor.go("/parcels/1/came-back").send({"reason": ""})
    assert 'href="#f-reason"' in visitor.text
    visitor.send({"reason": "no such house"})
    assert parcel_card(sold, 1).parcel.came_back is not None
    assert "came back" in visitor.go("/bench").words
    visitor.go("/parcels/1/again").send({"tracking": "M-2209"})
    assert visitor.path == "/parcels/2"
    assert parcel_card(sold, 1).sent_again == 2


def test_a_parcel_that_did_not_come_back_is_not_sent_again(visitor: Visitor, sold: Desk) -> None:
    """It is said on the page."""
    sent(sold)
    visitor.go("/parcels/1/again").send({"tracking": ""})
    assert visitor.code == 422
    assert "did not come back" in visitor.words


# ---------------------------------------------------------------- hostile


@pytest.fixture
def hostile(desk: Desk, app: Flask, station: Station) -> Iterator[Visitor]:
    """Let a customer's name be a piece of a page, and sell to them."""
    name = "<b>Fern</b><script>alert(1)</script>"
    customer = add_customer(desk, name, HOME)
    assert customer.number is not None
    pair = replace(DISTANCE, wearer=name, without_prescription=True)
    record_sale(desk, replace(ordered(pair), customer=str(customer.number)))
    with app.test_client() as client:
        yield Visitor(client, station).enter()


def test_names_are_shown_as_text(hostile: Visitor) -> None:
    """On the board and on every page of a job."""
    for path in (
        "/bench",
        "/jobs/1",
        "/jobs/1/change",
        "/jobs/1/remake",
        "/jobs/1/remake-otherwise",
        "/new-lenses?q=fern",
    ):
        text = hostile.go(path).text
        assert hostile.code == 200
        assert "<script>alert" not in text
        assert "<b>Fern" not in text


def test_a_failed_job_leads_to_its_remake(visitor: Visitor, sold: Desk) -> None:
    """On the board and on its page."""
    record_inspection(sold, read_as_ordered(sold, 1, off=(Checked.TEMPLES,)))
    assert 'href="/jobs/1/remake"' in visitor.go("/bench").text
    page = visitor.go("/jobs/1")
    assert "failed" in page.words
    assert "temples" in page.words


def checks() -> list[object]:
    """Give one thing that is not right."""
    from shopledger.ledger.inspections import Checked

    return [Checked.TEMPLES]


def test_records_are_printed_and_printed_again(visitor: Visitor, sold: Desk) -> None:
    """The first print issues it; the next one is the same."""
    inspected(sold)
    visitor.go("/jobs/1").press("/jobs/1/record")
    (name,) = [each for each in papers(visitor) if each.startswith("inspection-record")]
    first = (visitor.station.papers / name).read_bytes()
    visitor.go("/jobs/1").press("/jobs/1/record")
    assert (visitor.station.papers / name).read_bytes() == first
    assert list(job_past(sold, 1).records.values()) == [(1,)]
