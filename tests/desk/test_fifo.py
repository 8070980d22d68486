"""First in, first out, through the real program: a published example, returns in pieces, orders that are short."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from shopledger.desk.books.shelf import stock_history, stock_value
from shopledger.desk.books.stocking import Leaving, let_leave, receive_stock
from shopledger.desk.context import Desk
from shopledger.desk.goods import ACCESSORIES
from shopledger.desk.orders import give_refund, ship_order
from shopledger.desk.sales import record_sale
from shopledger.ledger.catalogue import Accessory
from shopledger.ledger.orders import AccessoryRequest, Method, OrderRequest, PaymentRequest
from shopledger.ledger.refunds import RefundedLine, RefundRequest
from shopledger.ledger.stock import GoodsShortError, StockedKind, StockReason
from tests.desk.books import everything, on_both, postings
from tests.desk.family import later
from tests.shelf import CASE, CUSTOMER

GOODS = StockedKind.ACCESSORY
TAG = Accessory("TAG", "Glasses finder", 3600, 2100)


def july(desk: Desk, day: int) -> Desk:
    """Give the desk on a day of July."""
    return later(desk, date(2026, 7, day))


def sold(desk: Desk, quantity: int, code: str = TAG.code, paid: int = 0) -> int:
    """Sell goods and ship them the same day; gives the order's number."""
    payments = (PaymentRequest(paid, Method.CASH),) if paid else ()
    request = OrderRequest(CUSTOMER, accessories=(AccessoryRequest(code, quantity),), shipping=0, payments=payments)
    number = record_sale(desk, request).order.number or 0
    ship_order(desk, number, "by post")
    return number


def account(desk: Desk, name: str) -> int:
    """Give what an account comes to, opening stock left out."""
    return sum(amount for _, account, amount in postings(desk) if account == name)


@on_both
def test_the_textbook_s_spy_shop_comes_out_at_its_own_figures(desk: Desk) -> None:
    """150 at 21.00, 225 at 27.00, 210 at 33.00; 120 and 180 sold: 7,200 sold and 285 left at 8,955."""
    # OpenStax, Principles of Accounting, volume 1, chapter 10, "Spy Who Loves You", first in first out, the same
    # perpetual and periodic; values from memory.
    before = stock_value(desk).total
    ACCESSORIES.add(desk, TAG)
    receive_stock(july(desk, 1), GOODS, TAG.code, 150, 2100)
    sold(july(desk, 5), 120)
    receive_stock(july(desk, 10), GOODS, TAG.code, 225, 2700)
    sold(july(desk, 15), 180)
    receive_stock(july(desk, 25), GOODS, TAG.code, 210, 3300)
    end = july(desk, 31)
    costs = [moved.movement.cost for moved in stock_history(end, GOODS, TAG.code)[1] if moved.movement.quantity < 0]
    assert costs == [-2520_00, -(30 * 2100 + 150 * 2700)]
    assert account(end, "cost of goods sold") == 7200_00
    worth = stock_value(end)
    (tags,) = [item for item in worth.items if item.item_code == TAG.code]
    assert (tags.quantity, tags.cost) == (285, 8955_00)
    assert [(lot.quantity, lot.cost) for lot in tags.lots] == [(75, 2025_00), (210, 6930_00)]
    assert worth.total == worth.booked == before + 8955_00
    mid = stock_value(end, date(2026, 7, 12))
    assert mid.total == mid.booked == before + (30 * 2100 + 225 * 2700)


@on_both
def test_goods_that_come_back_in_pieces_bring_back_every_cent(desk: Desk) -> None:
    """Three that cost 10.00 together left; back they come one by one, and cost of goods is as if none had left."""
    ACCESSORIES.add(desk, TAG)
    receive_stock(desk, GOODS, TAG.code, 2, 333)
    receive_stock(desk, GOODS, TAG.code, 1, 334)
    before = stock_value(desk).total
    number = sold(desk, 3, paid=3 * 3600)
    assert account(desk, "cost of goods sold") == 1000
    for _ in range(3):
        give_refund(desk, number, RefundRequest(Method.CASH, "too loud", (RefundedLine(1, 1200, returned=1),)))
    back = [moved.movement.cost for moved in stock_history(desk, GOODS, TAG.code)[1]][-3:]
    assert (sorted(back), sum(back)) == ([333, 333, 334], 1000)
    assert account(desk, "cost of goods sold") == 0
    worth = stock_value(desk)
    assert worth.total == worth.booked == before


def test_what_leaves_again_after_it_came_back_leaves_at_that_cost(desk: Desk) -> None:
    """What came back is a lot of its own, behind those that were there."""
    ACCESSORIES.add(desk, TAG)
    receive_stock(desk, GOODS, TAG.code, 1, 500)
    number = sold(desk, 1, paid=3600)
    receive_stock(desk, GOODS, TAG.code, 1, 900)
    give_refund(desk, number, RefundRequest(Method.CASH, "too loud", (RefundedLine(1, 3600, returned=1),)))
    sold(desk, 2)
    costs = [moved.movement.cost for moved in stock_history(desk, GOODS, TAG.code)[1] if moved.movement.quantity < 0]
    assert costs == [-500, -1400]
    assert stock_value(desk).booked == stock_value(desk).total


@on_both
def test_an_order_whose_goods_are_short_is_refused_whole(desk: Desk) -> None:
    """All that is short is named, nothing is stored, and once the goods are there it leaves."""
    request = OrderRequest(CUSTOMER, accessories=(AccessoryRequest(CASE.code, 9), AccessoryRequest("SHADES", 4)))
    record_sale(desk, request)
    lost = Leaving(GOODS, CASE.code, 3, StockReason.WRITTEN_OFF, "a wet cellar", accept=frozenset({"SHORT-FOR-ORDERS"}))
    let_leave(desk, lost)
    let_leave(desk, replace(lost, code="SHADES", quantity=1))
    before = everything(desk)
    with pytest.raises(GoodsShortError, match="CASE: 9 needed, 7 on hand; SHADES: 4 needed, 3 on hand"):
        ship_order(desk, 1, "by post")
    assert everything(desk) == before
    receive_stock(desk, GOODS, CASE.code, 2, 400)
    receive_stock(desk, GOODS, "SHADES", 1, 1500)
    assert ship_order(desk, 1, "by post").away
    assert stock_value(desk).booked == stock_value(desk).total
