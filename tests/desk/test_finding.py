"""One field finds all, on both databases: people in any writing, things by number, parcels and frames by theirs."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from shopledger.desk.context import Desk
from shopledger.desk.erasing import ErasureRequest, erase
from shopledger.desk.finding import find
from shopledger.desk.inspecting import record_inspection
from shopledger.desk.orders import ship_order, take_payment
from shopledger.desk.people import add_customer, join_customers
from shopledger.desk.receipts import issue_receipt
from shopledger.desk.sales import record_sale
from shopledger.ledger.erasing import AskedBy
from shopledger.ledger.finding import Closeness
from shopledger.ledger.orders import Method, PaymentRequest
from tests.desk.books import everything, notes, on_both
from tests.desk.family import DISTANCE, later, ordered, read_as_ordered
from tests.shelf import CHILD, CUSTOMER, HOME, LARK, WREN

ACCENTS, PHONE, MAIL = "José Ángel Aldanmere", "614.555.0155", "Jose.Angel@example.com"
TRACKING = "PP 0042 7919 US"


@pytest.fixture
def found(desk: Desk) -> Desk:
    """Let somebody with accents be a customer too, and one order be paid, sent and receipted."""
    add_customer(desk, ACCENTS, HOME, PHONE, MAIL)
    record_sale(desk, ordered(DISTANCE))
    record_inspection(desk, read_as_ordered(desk, 1))
    take_payment(desk, 1, PaymentRequest(18_000, Method.CASH))
    ship_order(desk, 1, "Parcel post", TRACKING)
    return desk


def hits(desk: Desk, typed: str) -> list[str]:
    """Give what is found, the best first."""
    return [hit.about.said for hit in find(desk, typed)]


@on_both
@pytest.mark.parametrize("typed", ["jose", "JOSÉ", "aldan josé", "mere jo", "Aldanmere  Angel", "ngel"])
def test_a_name_is_found_by_parts_of_it(found: Desk, typed: str) -> None:
    """Without accents and capitals, with its words in any order; whoever wears what they pay for is found once."""
    assert hits(found, typed) == ["customer 2"]
    assert find(found, typed)[0].words.startswith(ACCENTS)


@on_both
@pytest.mark.parametrize("typed", ["614-555-0155", "(614) 555 0155", "+1 614 5550155", "5550155", "0155"])
def test_a_phone_number_is_found_in_any_writing(found: Desk, typed: str) -> None:
    """Whole or in part, whatever stands between the digits here and there."""
    assert hits(found, typed) == ["customer 2"]


@on_both
@pytest.mark.parametrize("typed", ["jose.angel@example.com", "ANGEL@EXAMPLE", "jose.an"])
def test_a_mail_address_is_found_by_parts_of_it(found: Desk, typed: str) -> None:
    """Capitals do not count."""
    assert hits(found, typed) == ["customer 2"]


@on_both
def test_a_number_lists_all_that_have_it(found: Desk, tmp_path: Path) -> None:
    """Job first, since the bars of its sheet say it; then order, receipt and customer, each with what tells it."""
    issue_receipt(found, 1, CUSTOMER, tmp_path)
    assert hits(found, "1")[:4] == ["job 1", "order 1", "receipt 1", "customer 1"]
    job, order, receipt, customer = find(found, "1")[:4]
    assert job.words == f"{CUSTOMER}: Harrow Row Wren, moss; order 1 of 2026-03-02"
    assert (order.words, order.of) == (f"{CUSTOMER}: 180.00, 2026-03-02", None)
    assert job.of is not None
    assert job.of.said == "order 1"
    assert (receipt.words, customer.closeness) == (f"{CUSTOMER}: order 1", Closeness.NUMBER)
    assert hits(found, "receipt-00001.pdf") == ["receipt 1"]
    assert hits(found, "parcel 1") == ["parcel 1"]
    assert hits(found, "job 77") == []


@on_both
@pytest.mark.parametrize("typed", [TRACKING, "pp00427919us", "0042-7919", "00427919"])
def test_a_parcel_is_found_by_its_number(found: Desk, typed: str) -> None:
    """However it is grouped, whole or in part."""
    assert hits(found, typed) == ["parcel 1"]


@on_both
def test_a_frame_is_found_by_code_and_name(found: Desk) -> None:
    """The code itself before others that begin so."""
    assert hits(found, "lark-48") == [f"frame {LARK.code}"]
    assert hits(found, "moss harrow") == [f"frame {WREN.code}"]


@on_both
def test_a_wearer_is_found_with_the_customer(found: Desk) -> None:
    """Somebody else's glasses lead to who pays for them; a frame of that name comes after people."""
    (child, frame) = find(found, "wren")
    assert (child.about.said, child.words) == ("wearer 2", f"{CHILD}, child of {CUSTOMER}")
    assert child.of is not None
    assert child.of.said == "customer 1"
    assert frame.about.said == f"frame {WREN.code}"


@on_both
def test_the_best_comes_first(found: Desk) -> None:
    """The whole name before one that begins so, and that before one that only holds it."""
    for name in ("Ann Jose", "Jose", "Xjose Bell"):
        add_customer(found, name, HOME, wears=False)
    assert hits(found, "jose") == ["customer 4", "customer 3", "customer 2", "customer 5"]


@on_both
def test_joined_customers_are_found_as_the_one_who_leads(found: Desk) -> None:
    """By the name and number of either."""
    join_customers(found, "2", "1", "the same person", frozenset({"CUSTOMERS-UNLIKE"}))
    assert hits(found, "aldanmere") == ["customer 1"]
    assert hits(found, "customer 2") == ["customer 1"]


@on_both
@pytest.mark.parametrize("typed", ["", "  ", "%", "_", "'", "\\"])
def test_nothing_typed_finds_nothing(found: Desk, typed: str) -> None:
    """Nobody is listed by the way; signs that stand for all elsewhere stand for themselves."""
    assert hits(found, typed) == []


@on_both
def test_a_search_stores_nothing(found: Desk) -> None:
    """It finds who is meant; looking at them afterwards is what is noted."""
    before, said = everything(found), notes(found)
    assert find(found, "jose")
    assert (everything(found), notes(found)) == (before, said)


@on_both
def test_whoever_was_erased_is_found_by_number_alone(desk: Desk) -> None:
    """The number stays, and says that there is nobody to be named any more."""
    add_customer(desk, ACCENTS, HOME, PHONE, MAIL)
    gone = later(desk, date(2035, 1, 2))
    erase(gone, ErasureRequest("2", "asked by letter", AskedBy.PERSON, accept=frozenset({"ERASED-FOR-GOOD"})))
    for typed in ("jose", PHONE, MAIL, "erased"):
        assert hits(gone, typed) == []
    assert [(hit.about.said, hit.words) for hit in find(gone, "customer 2")] == [("customer 2", "erased on 2035-01-02")]
