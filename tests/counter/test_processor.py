"""The card processor on pages: columns said once, reports taken in, payouts recorded from them, compared."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from shopledger.counter.station import Station
from shopledger.desk.books.banking import moves
from shopledger.desk.books.deposits import DepositRequest, take_deposit
from shopledger.desk.books.payouts import payouts
from shopledger.desk.context import Desk
from shopledger.ledger.orders import Method
from tests.counter.visitor import Visitor
from tests.desk.family import later
from tests.processor_reports import report, row
from tests.shelf import CUSTOMER

CHARGE = row("P-1", "2026-04-02", "t1", "2026-04-01", "charge", 20_000, 610)
PAID = row("P-1", "2026-04-02", "", "2026-04-02", "payout", -19_390)
COLUMNS = {
    "name": "Cardwell",
    "payout": "payout_id",
    "payout_day": "payout_date",
    "day": "created",
    "kind": "type",
    "gross": "gross",
    "fee": "fee",
    "net": "net",
    "transaction_id": "transaction_id",
    "arrives_on": "arrival_date",
    "currency": "currency",
    "words": "chargeback=dispute\n",
}


@pytest.fixture
def desk(desk: Desk) -> Desk:
    """Take a payment by card in April; gives the desk some days later."""
    take_deposit(later(desk, date(2026, 4, 1)), DepositRequest(CUSTOMER, 20_000, Method.CARD))
    return later(desk, date(2026, 4, 6))


@pytest.fixture
def station(station: Station) -> Station:
    """Stand at the counter in April."""
    return replace(station, day=date(2026, 4, 6))


def sent(*rows: str) -> tuple[str, bytes]:
    """Give a report as a file."""
    return "april.csv", report(*rows).encode()


@pytest.fixture
def taken(visitor: Visitor) -> Visitor:
    """Say the columns, and take in a report of one payout."""
    visitor.go("/money/processor/columns").send({**COLUMNS, "report": sent(CHARGE, PAID)})
    return visitor.send({"report": sent(CHARGE, PAID)})


def test_the_page_begins_with_the_columns(visitor: Visitor) -> None:
    """Whoever has no processor yet is led to them."""
    assert "Say the columns of its reports" in visitor.go("/money/processor").words


def test_a_report_is_taken_in_once(taken: Visitor, desk: Desk) -> None:
    """The same file again brings nothing."""
    assert "2 new rows" in taken.words
    assert [each.payout.name for each in payouts(desk)] == ["P-1"]
    taken.go("/money/processor/import").send({"report": sent(CHARGE, PAID)})
    assert "0 new rows" in taken.words


def test_a_payout_is_recorded_once(taken: Visitor, desk: Desk) -> None:
    """What it moves is shown before; a second press moves nothing."""
    taken.go("/money/processor/record?processor=Cardwell&payout=P-1")
    assert "$193.90" in taken.words
    taken.send(to="", has="once", again=True)
    assert [(each.what.amount, each.what.fee) for each in moves(desk)] == [(20_000, 610)]
    assert "recorded already" in taken.words


def test_all_payouts_are_recorded_at_once(taken: Visitor, desk: Desk) -> None:
    """For whoever takes in a whole month."""
    taken.go("/money/processor/record-all?processor=Cardwell").send(has="once")
    assert payouts(desk)[0].recorded
    assert "1 payouts were recorded" in taken.words


def test_reports_and_books_are_compared(taken: Visitor) -> None:
    """The charge of the report is the deposit of the books."""
    assert "agrees" in taken.go("/money/processor/compare?period=2026-04").words


@pytest.mark.parametrize(
    ("changed", "said"),
    [({"net": "nowhere"}, "nowhere"), ({"words": "chargeback=nothing"}, "nothing"), ({"payout": ""}, "needed")],
)
def test_columns_that_cannot_be_read_are_not_kept(visitor: Visitor, changed: dict[str, str], said: str) -> None:
    """What was typed stands there again."""
    visitor.go("/money/processor/columns").send({**COLUMNS, **changed, "report": sent(CHARGE, PAID)})
    assert visitor.code == 422
    assert said in visitor.words
    assert visitor.form(has="gross").values["fee"] == ["fee"]
    assert "Say the columns" in visitor.go("/money/processor").words
