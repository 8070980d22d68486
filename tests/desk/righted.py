"""An order of two pairs that is put right in tests, and what is asked of it afterwards."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import pytest

from shopledger.desk.books.closing import prove_books
from shopledger.desk.context import Desk
from shopledger.desk.order_lookups import order_account
from shopledger.desk.orders import take_payment
from shopledger.desk.putting_right import CorrectionRequest, CorrectionTerms, plan_correction, record_correction
from shopledger.desk.sales import record_sale
from shopledger.errors import RefusedError, ShopledgerError
from shopledger.ledger.books.period import Month
from shopledger.ledger.line_model import kept_lines
from shopledger.ledger.orders import AccessoryRequest, Method, PaymentRequest
from shopledger.ledger.putting_right import standing_lines
from shopledger.ledger.sharing import parts_of
from shopledger.ledger.stock import StockedKind
from tests.desk.books import assert_sheets_meet_accounts, everything
from tests.desk.family import CHILDS, DISTANCE, ordered
from tests.shelf import CASE, CHILD

WHY: Final = CorrectionTerms("misread")
CASH_BACK: Final = replace(WHY, method=Method.CASH)
CHILDS_FRAME, TWO_CASES, SHIPPING = 3, 5, 6
"""Lines of the order, after the customer's frame and lenses; its total is 330.50."""


def sell_two_pairs(desk: Desk) -> Desk:
    """Sell the customer's pair at 180.00 and the child's at 120.00, lenses included, with two cases at 24.00."""
    goods = (AccessoryRequest(CASE.code, 2, CHILD),)
    record_sale(desk, ordered(DISTANCE, CHILDS, accessories=goods, shipping=650))
    return desk


def pay_all(desk: Desk) -> None:
    """Pay all that is owed by card."""
    take_payment(desk, 1, PaymentRequest(order_account(desk, 1).balance, Method.CARD, "4242"))


def free(desk: Desk, code: str, kind: StockedKind = StockedKind.FRAME) -> int:
    """Give how many of something may be sold."""
    with desk.reading() as work:
        return work.stock.level(kind, code).free


def stands(desk: Desk) -> list[tuple[str, int]]:
    """Give the lines of the order that stand, with what stands of each."""
    return [(each.line.item_code, each.kept) for each in standing_lines(order_account(desk, 1))]


def assert_whole(desk: Desk) -> None:
    """The books hold, each part of the order is what it comes to, and the month adds up on every sheet."""
    verdict = prove_books(desk)
    assert [str(each) for failed in verdict.failed for each in failed.differences] == []
    account = order_account(desk, 1)
    parts = parts_of(account)
    assert sum(part.balance for part in parts) == account.balance or account.cancellation
    assert all(part.balance >= 0 and part.kept >= 0 for part in parts)
    kept = kept_lines(account)
    assert sum(each.kept + each.tax_kept for each in kept) == account.paid - account.refunded + account.balance
    assert_sheets_meet_accounts(desk, Month(desk.today.year, desk.today.month).days)


def refused(desk: Desk, request: CorrectionRequest, error: type[ShopledgerError] = RefusedError) -> str:
    """Give the sentence by which a deed is refused, planned and stored alike, and nothing is stored."""
    before = everything(desk)
    with pytest.raises(error) as planned:
        plan_correction(desk, request)
    with pytest.raises(error) as stored:
        record_correction(desk, request)
    assert str(planned.value) == str(stored.value)
    assert everything(desk) == before
    return str(stored.value)
