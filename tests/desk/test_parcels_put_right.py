"""Orders of which a part left: what is here can still be put right, what is away is exchanged or made again."""

from __future__ import annotations

from datetime import date

import pytest

from shopledger.desk.books.billing import record_bill
from shopledger.desk.books.closing import prove_books
from shopledger.desk.changing_jobs import JobChange, Remeasured
from shopledger.desk.changing_orders import LinesAdded, LinesTakenOut
from shopledger.desk.context import Desk
from shopledger.desk.exchanging import Exchange
from shopledger.desk.order_lookups import order_account
from shopledger.desk.orders import ship_order
from shopledger.desk.parcels import parcel_back
from shopledger.desk.people import add_supplier
from shopledger.desk.putting_right import CorrectionTerms, record_correction
from shopledger.desk.sales import record_sale
from shopledger.errors import ShopledgerError
from shopledger.ledger.books.bill_requests import BillRequest, JobBilled
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.orders import NOBODY, AccessoryRequest, OrderRequest
from shopledger.ledger.shipping import PackRequest, goods_here, pairs_here
from shopledger.ledger.stock import StockedKind
from tests.desk.books import everything, on_both, postings
from tests.desk.family import CHILDS, DISTANCE, later
from tests.shelf import CASE, CUSTOMER, LARK, SHADES, WREN

LEFT, DAY, LAST = date(2026, 3, 9), date(2026, 3, 12), date(2026, 3, 20)
TERMS = CorrectionTerms("typed wrong", day=None)
CASES = 5


@pytest.fixture
def sent(desk: Desk) -> Desk:
    """Sell two pairs and three cases, bill both jobs, and send the first job and two cases; gives the desk later."""
    record_sale(desk, OrderRequest(CUSTOMER, (DISTANCE, CHILDS), (AccessoryRequest(CASE.code, 3, NOBODY),), shipping=0))
    add_supplier(desk, Supplier("Thistledown"))
    record_bill(desk, BillRequest("Thistledown", jobs=(JobBilled(1, 2_500), JobBilled(2, 3_100))))
    only = PackRequest((1,), ((CASES, 2),))
    ship_order(later(desk, LEFT), 1, "post", only=only, without_inspection="a trial")
    return later(desk, DAY)


def standing(desk: Desk, account: Account) -> int:
    """Give what an account comes to."""
    return sum(amount for _, title, amount in postings(desk) if title == account.title)


def proven(desk: Desk) -> bool:
    """Tell whether the books prove themselves."""
    return [str(each) for failed in prove_books(desk).failed for each in failed.differences] == []


@on_both
def test_a_job_that_is_here_is_put_right_while_another_is_away(sent: Desk) -> None:
    """It gets a job in its place, which leaves with the frame that waits; the one that is away is too late."""
    with pytest.raises(ShopledgerError, match=r"it left on 2026-03-09.*job remake 1"):
        record_correction(sent, JobChange(1, TERMS, measured=Remeasured(pd=62)))
    done = record_correction(sent, JobChange(2, TERMS, measured=Remeasured(pd=53)))
    assert [pair.job_number for pair in pairs_here(done.account)] == [3]
    ship_order(later(sent, LAST), 1, "post", without_inspection="a trial")
    assert order_account(sent, 1).parcels[-1].jobs == (3,)
    assert proven(sent)


@on_both
def test_what_is_here_is_taken_out_and_what_is_away_is_not(sent: Desk) -> None:
    """One of three cases is here; what was billed for a pair that is taken out is scrap with the next parcel."""
    before = everything(sent)
    for lines, pairs, words in (
        ({CASES: 2}, (), r"line is 5, Hard case; it left on 2026-03-09"),
        ({1: None}, (), r"line is 1, .*; it left on 2026-03-09"),
        ({}, (1,), r"pair is 1; it left on 2026-03-09"),
    ):
        with pytest.raises(ShopledgerError, match=words):
            record_correction(sent, LinesTakenOut(1, TERMS, lines, pairs))
    assert everything(sent) == before
    record_correction(sent, LinesTakenOut(1, TERMS, {CASES: 1}))
    assert [each.position for each in goods_here(order_account(sent, 1))] == [3]
    assert proven(sent)
    record_correction(sent, LinesAdded(1, TERMS, accessories=(AccessoryRequest(SHADES.code, 1, CUSTOMER),)))
    record_correction(sent, LinesTakenOut(1, TERMS, {}, (2,)))
    with sent.reading() as work:
        assert work.stock.level(StockedKind.FRAME, LARK.code).reserved == 0
    assert proven(sent)
    ship_order(later(sent, LAST), 1, "post")
    assert (standing(sent, Account.WORK_IN_PROGRESS), standing(sent, Account.SCRAP)) == (0, 3_100)
    assert proven(sent)
    with pytest.raises(ShopledgerError, match="that order left on"):
        record_correction(sent, LinesAdded(1, TERMS, accessories=(AccessoryRequest(CASE.code, 1, CUSTOMER),)))


@on_both
def test_what_is_away_is_exchanged_and_what_is_here_is_put_right_instead(sent: Desk) -> None:
    """The frame that left comes back, the other goes with its new job; both parcels cost what lay in them."""
    with pytest.raises(ShopledgerError, match="it has not left, so it can be put right"):
        record_correction(sent, Exchange(1, 3, WREN.code, TERMS))
    done = record_correction(sent, Exchange(1, 1, LARK.code, CorrectionTerms("too wide", accept=ASKED)))
    assert [pair.job_number for pair in pairs_here(done.account)] == [3, 2]
    with sent.reading() as work:
        levels = [work.stock.level(StockedKind.FRAME, code) for code in (WREN.code, LARK.code)]
    assert [(level.on_hand, level.reserved) for level in levels] == [(3, 0), (2, 2)]
    assert proven(sent)
    ship_order(later(sent, LAST), 1, "post", without_inspection="a trial")
    assert standing(sent, Account.COST_OF_GOODS) == 2 * LARK.cost + 3 * CASE.cost
    parcel_back(later(sent, LAST), 2, "moved away")
    assert standing(sent, Account.COST_OF_GOODS) == 2 * CASE.cost
    assert proven(sent)


ASKED = frozenset({"RX-EXPIRES-SOON"})
