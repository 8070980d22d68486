"""Looking at the shelf, and goods that leave it without a sale."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from shopledger.desk.books.shelf import low_stock, stock_ageing, stock_history, stock_now, stock_value
from shopledger.desk.books.stocking import Leaving, count_stock, let_leave, receive_stock
from shopledger.desk.context import Desk
from shopledger.desk.goods import ACCESSORIES, FRAMES, add_frame
from shopledger.desk.orders import cancel_order
from shopledger.desk.refusals import FindingsRefusedError
from shopledger.desk.sales import record_sale
from shopledger.errors import RefusedError, UnknownNameError
from shopledger.ledger.stock import NotThereYetError, OutOfStockError, StockedKind, StockReason
from shopledger.store.refusals import MonthClosedError
from tests.desk.books import everything, on_both, postings
from tests.desk.family import DISTANCE, FAMILY_ORDER, later, ordered
from tests.rows import put_row
from tests.shelf import CASE, CUSTOMER, LARK, SHADES, WREN

FRAME, OTHER = StockedKind.FRAME, StockedKind.ACCESSORY
BROKEN = Leaving(FRAME, WREN.code, 1, StockReason.WRITTEN_OFF, "hinge broken")
YES = frozenset({"SHORT-FOR-ORDERS"})


@on_both
def test_what_is_on_hand_stands_beside_what_is_free(desk: Desk) -> None:
    """Goods of open orders lie there and are not free; all of it has its cost."""
    record_sale(desk, FAMILY_ORDER)
    add_frame(desk, replace(WREN, code="OWN-1"), owner=CUSTOMER)
    shown = {item.item_code: (item.on_hand, item.reserved, item.free, item.value) for item in stock_now(desk)}
    assert shown == {
        LARK.code: (2, 2, 0, 2 * LARK.cost), WREN.code: (3, 2, 1, 3 * WREN.cost),
        CASE.code: (10, 2, 8, 10 * CASE.cost), SHADES.code: (4, 1, 3, 4 * SHADES.cost),
    }  # fmt: skip


@pytest.mark.parametrize(
    ("reason", "account"),
    [
        (StockReason.WRITTEN_OFF, "stock written off"),
        (StockReason.GIVEN, "samples and gifts"),
        (StockReason.OWN_USE, "owner draws"),
    ],
)
@on_both
def test_goods_that_leave_are_posted_at_what_they_cost(desk: Desk, reason: StockReason, account: str) -> None:
    """The oldest first, against the account of the reason; what the owner takes home is a draw."""
    receive_stock(desk, FRAME, WREN.code, 2, 7000)
    left = let_leave(desk, replace(BROKEN, quantity=4, reason=reason))
    cost = 3 * WREN.cost + 7000
    assert (left.movement.cost, left.level.on_hand) == (-cost, 1)
    document = f"movement {left.movement.number}"
    assert postings(desk)[-2:] == [(document, "inventory", -cost), (document, account, cost)]
    worth = stock_value(desk)
    assert worth.total == worth.booked


def test_what_leaves_is_one_at_least_and_no_more_than_is_free(desk: Desk) -> None:
    """Nothing is stored; a write-off says why."""
    record_sale(desk, ordered(DISTANCE))
    before = everything(desk)
    with pytest.raises(RefusedError, match="quantity is 0; what leaves is 1 or more"):
        let_leave(desk, replace(BROKEN, quantity=0))
    with pytest.raises(RefusedError, match="reason is empty"):
        let_leave(desk, replace(BROKEN, note=" "))
    with pytest.raises(OutOfStockError, match="WREN-52: 4 asked for, 3 on hand"):
        let_leave(desk, replace(BROKEN, quantity=4, accept=YES))
    with pytest.raises(OutOfStockError, match="WREN-52: 3 asked for, 2 on hand and not reserved"):
        let_leave(desk, replace(BROKEN, quantity=3, reason=StockReason.GIVEN, accept=YES))
    with pytest.raises(RefusedError, match="it lies after today"):
        let_leave(desk, replace(BROKEN, day=date(2026, 3, 3)))
    with pytest.raises(NotThereYetError):
        let_leave(desk, replace(BROKEN, day=date(2026, 3, 1)))
    assert everything(desk) == before


def test_a_customer_s_own_frame_is_no_stock(desk: Desk) -> None:
    """It can be neither counted nor given away."""
    add_frame(desk, replace(WREN, code="OWN-1"), owner=CUSTOMER)
    with pytest.raises(RefusedError, match="it belongs to customer 1"):
        count_stock(desk, FRAME, "OWN-1", 1)
    with pytest.raises(RefusedError, match="it belongs to customer 1"):
        let_leave(desk, replace(BROKEN, code="OWN-1"))


@on_both
def test_goods_of_open_orders_go_only_with_a_yes(desk: Desk) -> None:
    """A write-off and a count that leave too few for them are asked about; the order can still be taken back."""
    record_sale(desk, ordered(DISTANCE))
    before = everything(desk)
    with pytest.raises(FindingsRefusedError, match=r"1 WREN-52 is reserved .* with 0 left .*--accept SHORT-FOR-ORD"):
        let_leave(desk, replace(BROKEN, quantity=3))
    with pytest.raises(FindingsRefusedError, match="SHORT-FOR-ORDERS"):
        count_stock(desk, FRAME, WREN.code, 0)
    assert everything(desk) == before
    assert count_stock(desk, FRAME, WREN.code, 1).difference == -2
    assert count_stock(desk, FRAME, WREN.code, 0, accept=YES).cost == -WREN.cost
    assert next(item.free for item in stock_now(desk) if item.item_code == WREN.code) == -1
    cancel_order(desk, 1, "lost")
    assert next(item.free for item in stock_now(desk) if item.item_code == WREN.code) == 0


def test_a_count_of_an_earlier_day_is_compared_with_that_day(desk: Desk) -> None:
    """Two more came in since: nine were counted of the ten that should have been there on that day."""
    receive_stock(later(desk, date(2026, 3, 9)), OTHER, CASE.code, 2, 500)
    counted = count_stock(later(desk, date(2026, 3, 10)), OTHER, CASE.code, 9, "one gone", date(2026, 3, 5))
    assert (counted.difference, counted.cost, counted.level.on_hand) == (-1, -CASE.cost, 11)
    found = count_stock(later(desk, date(2026, 3, 10)), OTHER, CASE.code, 12)
    assert (found.difference, found.cost) == (1, 500)  # at the cost last paid


def test_a_closed_month_takes_no_goods(desk: Desk) -> None:
    """Neither a count nor a write-off of one of its days."""
    with desk.writing() as work:
        closed = {"number": 1, "month": "2026-02", "deed": "closed", "reason": "", "accepted": "", "head_count": 0}
        put_row(work, "period_event", {**closed, "head_hash": "0" * 64, **work.transaction.stamp})
    with pytest.raises(MonthClosedError, match="2026-02"):
        count_stock(desk, OTHER, CASE.code, 9, day=date(2026, 2, 27))
    with pytest.raises(MonthClosedError, match="2026-02"):
        let_leave(desk, replace(BROKEN, day=date(2026, 2, 27)))


@on_both
def test_history_runs_by_day_with_what_was_there_after_each(desk: Desk) -> None:
    """A paper that comes late stands on its own day."""
    let_leave(later(desk, date(2026, 3, 9)), BROKEN)
    receive_stock(later(desk, date(2026, 3, 9)), FRAME, WREN.code, 1, 7000, date(2026, 3, 4))
    moved = [
        (each.movement.day.day, each.movement.quantity, each.on_hand, each.value)
        for each in stock_history(desk, FRAME, "wren-52")[1]
    ]
    assert moved == [(2, 3, 3, 18600), (4, 1, 4, 25600), (9, -1, 3, 19400)]


@on_both
def test_what_to_reorder_is_what_few_are_free_of(desk: Desk) -> None:
    """What sold most of late comes first; a cancelled order sold nothing, an old one is not of late."""
    assert low_stock(desk) == ()
    record_sale(desk, FAMILY_ORDER)
    record_sale(desk, ordered(DISTANCE))
    cancel_order(desk, 2, "ordered twice")
    low = [(each.item.item_code, each.item.free, each.last_sold, each.sold) for each in low_stock(desk)]
    assert low == [(LARK.code, 0, date(2026, 3, 2), 2), (WREN.code, 1, date(2026, 3, 2), 2)]
    assert [each.item.item_code for each in low_stock(desk, 0)] == [LARK.code]
    summer = low_stock(later(desk, date(2026, 5, 31)))
    assert [(each.item.item_code, each.sold) for each in summer] == [(LARK.code, 0), (WREN.code, 0)]
    assert {each.sold for each in low_stock(later(desk, date(2026, 5, 30)))} == {2}
    with pytest.raises(RefusedError, match="below is -1"):
        low_stock(desk, -1)


@on_both
def test_goods_are_sorted_by_how_long_they_have_lain(desk: Desk) -> None:
    """Three frames since 2 March, one since 1 June; on 1 June the first are 91 days old."""
    june = later(desk, date(2026, 6, 1))
    receive_stock(june, FRAME, WREN.code, 1, 7000)
    wren = next(each for each in stock_ageing(june) if each.item_code == WREN.code)
    assert (wren.counts, wren.costs) == ((1, 0, 3, 0, 0), (7000, 0, 18600, 0, 0))
    assert next(each for each in stock_ageing(june, date(2026, 3, 2)) if each.item_code == WREN.code).counts[0] == 3


def test_a_bare_catalogue_lies_nowhere(bare_desk: Desk) -> None:
    """Nothing on hand is worth nothing."""
    assert (FRAMES.all(bare_desk), ACCESSORIES.all(bare_desk), stock_now(bare_desk)) == ((), (), ())
    assert (stock_value(bare_desk).total, stock_value(bare_desk).booked, stock_ageing(bare_desk)) == (0, 0, ())


def test_a_code_says_itself_what_it_names(desk: Desk) -> None:
    """Frame or accessory need only be said where both are called the same; the nearest of an unknown code is named."""
    assert stock_history(desk, None, "case")[0] is OTHER
    assert stock_history(desk, None, "wren-52")[0] is FRAME
    add_frame(desk, replace(WREN, code=CASE.code))
    with pytest.raises(RefusedError, match="--kind frame or --kind accessory"):
        count_stock(desk, None, CASE.code, 3)
    with pytest.raises(UnknownNameError, match="SHADES"):
        let_leave(desk, replace(BROKEN, kind=None, code="SHADE"))
