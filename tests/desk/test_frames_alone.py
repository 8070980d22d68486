"""A frame sold without lenses: its demo lenses are accounted for, and it goes the way of all goods."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopledger.desk.books.closing import prove_books
from shopledger.desk.context import Desk
from shopledger.desk.orders import give_refund, ship_order
from shopledger.desk.receipts import issue_receipt
from shopledger.desk.sales import record_sale
from shopledger.errors import RefusedError
from shopledger.ledger.catalogue import Reimbursement, TaxCategory
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import DemoLenses, FrameRequest, Method, OrderRequest, PaymentRequest
from shopledger.ledger.refunds import RefundedLine, RefundRequest
from shopledger.ledger.stock import OutOfStockError, StockedKind
from shopledger.store.tables.catalogue import frame
from tests.desk.books import on_both, words_in
from tests.shelf import CUSTOMER, WREN


def alone(*frames: FrameRequest) -> OrderRequest:
    """Ask for frames without lenses, sent free of charge and paid at once, with 7.25 % tax on 180.00 each."""
    paid = PaymentRequest((18_000 + 1_305) * len(frames), Method.CASH)
    return OrderRequest(CUSTOMER, frames=frames, shipping=0, payments=(paid,))


REMOVED = FrameRequest(WREN.code, DemoLenses.REMOVED, CUSTOMER)
MARKED = FrameRequest(WREN.code, DemoLenses.MARKED)


@on_both
def test_what_became_of_the_demo_lenses_is_kept_with_the_line(desk: Desk) -> None:
    """Both words come back; the line is a frame of no pair, not made to a prescription, under the code of frames."""
    order = record_sale(desk, alone(REMOVED, MARKED)).order
    with desk.reading() as work:
        assert work.orders.get(1) == order
    assert [line.demo_lenses for line in order.lines] == [DemoLenses.REMOVED, DemoLenses.MARKED]
    # Nothing was said of the second: it belongs to the order's only wearer.
    assert [line.wearer_number for line in order.lines] == [1, 1]
    first = order.lines[0]
    assert (first.kind, first.pair, first.net) == (LineKind.FRAME, None, WREN.price)
    assert first.description.endswith("without lenses")
    assert (first.tax_category, first.reimbursement) == (TaxCategory.NON_PRESCRIPTION, Reimbursement.PLAN_DECIDES)
    # HCPCS Level II: V2020, frames, purchases.
    assert [charge.code for charge in first.charges] == ["V2020"]
    assert order.pairs == ()


@on_both
def test_it_is_set_aside_shipped_and_comes_back_like_other_goods(desk: Desk) -> None:
    """The count falls at shipping and rises again with the return; the books hold throughout."""
    record_sale(desk, alone(REMOVED))
    with desk.reading() as work:
        level = work.stock.level(StockedKind.FRAME, WREN.code)
    assert (level.on_hand, level.reserved) == (3, 1)
    ship_order(desk, 1, "by post")
    give_refund(desk, 1, RefundRequest(Method.CASH, "too small", (RefundedLine(1, None, 1),)))
    with desk.reading() as work:
        assert work.stock.level(StockedKind.FRAME, WREN.code).on_hand == 3
    assert prove_books(desk).holds


def test_more_than_is_on_hand_and_a_customer_s_own_frame_are_refused(desk: Desk) -> None:
    """As for any goods; what a customer owns is not the shop's to sell."""
    with pytest.raises(OutOfStockError):
        record_sale(desk, alone(*[REMOVED] * 4))
    with desk.writing() as work:
        work.transaction.change(frame, {"owned_by": 1}, {frame.c.code: WREN.code})
    with pytest.raises(RefusedError, match="it belongs to customer 1"):
        record_sale(desk, alone(REMOVED))


def test_it_stands_on_its_wearer_s_receipt(desk: Desk, tmp_path: Path) -> None:
    """With the code of frames, beside nothing that was made."""
    record_sale(desk, alone(REMOVED))
    said = words_in(issue_receipt(desk, 1, CUSTOMER, tmp_path).file)
    assert "without lenses" in said
    assert "V2020" in said
