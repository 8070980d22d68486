"""The stock in the database: whatever comes and goes on whatever day, lots, levels and movements say one thing."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.ledger.stock import NotThereYetError, OutOfStockError, StockedKind, StockMovement, StockReason
from shopledger.store.books.stock import Stock
from shopledger.store.opening import Ledger
from tests.shelf import WREN
from tests.store.samples import DAY, NOW, OPERATOR
from tests.store.test_round_trips import given_up, on_one_ledger

FRAME = StockedKind.FRAME
SPAN = 12
"""Days that moves are spread over."""
moves = st.lists(st.tuples(st.integers(-9, 9).filter(bool), st.integers(0, 9_999), st.integers(0, SPAN)), max_size=14)


def came(quantity: int, cost: int, day: date = DAY) -> StockMovement:
    """Give goods that come in."""
    return StockMovement(day, FRAME, WREN.code, quantity, cost, StockReason.RECEIVED)


def went(quantity: int, day: date = DAY) -> StockMovement:
    """Give goods that leave."""
    return StockMovement(day, FRAME, WREN.code, -quantity, 0, StockReason.WRITTEN_OFF)


@on_one_ledger
@given(moves=moves)
def test_on_hand_and_value_are_the_sum_of_the_movements(furnished: Ledger, moves: list[tuple[int, int, int]]) -> None:
    """Now and at the end of every day, in count and to the cent; on no day were there fewer than none."""
    with given_up(furnished) as work:
        done: list[StockMovement] = []
        for quantity, cost, after in moves:
            day = DAY + timedelta(days=after)
            by_then = [
                sum(m.quantity for m in done if m.day <= DAY + timedelta(days=d)) for d in range(after, SPAN + 1)
            ]
            if quantity > 0:
                done.append(work.stock.bring(came(quantity, cost, day)))
            elif -quantity <= min(by_then):
                done.append(work.stock.take(went(-quantity, day)))
            else:
                with pytest.raises((OutOfStockError, NotThereYetError)):
                    work.stock.take(went(-quantity, day))
        check(work.stock, done)


def check(stock: Stock, done: list[StockMovement]) -> None:
    """Compare the running tables and every day's lots with what was moved."""
    assert stock.level(FRAME, WREN.code).on_hand == sum(each.quantity for each in done)
    lots = stock.lots(FRAME, WREN.code)
    assert sum(lot.on_hand for lot in lots) == sum(each.quantity for each in done)
    assert sum(lot.cost for lot in lots) == sum(each.cost for each in done)
    for after in range(SPAN + 1):
        day = DAY + timedelta(days=after)
        left = stock.values.lots_on(day)
        assert sum(lot.quantity for lot in left) == sum(each.quantity for each in done if each.day <= day)
        assert sum(lot.cost for lot in left) == sum(each.cost for each in done if each.day <= day)
        assert stock.on_hand_on(FRAME, WREN.code, day) == sum(lot.quantity for lot in left) >= 0
    assert stock.values.costs_now() == ({(FRAME, WREN.code): sum(each.cost for each in done)} if lots else {})
    assert stock.values.history(FRAME, WREN.code) == tuple(sorted(done, key=lambda each: (each.day, each.number)))


def test_goods_cannot_leave_before_they_came(furnished: Ledger) -> None:
    """Nor on a day on which those that were there have left since; later there are enough."""
    with furnished.writing(OPERATOR, NOW) as work:
        work.stock.bring(came(2, 12_000))
        work.stock.take(went(2, DAY + timedelta(days=5)))
        work.stock.bring(came(3, 19_500, DAY + timedelta(days=7)))
        for after in (0, 4, 6):
            with pytest.raises(NotThereYetError, match="only 0 could have left on that day"):
                work.stock.take(went(1, DAY + timedelta(days=after)))
        assert work.stock.take(went(1, DAY + timedelta(days=7))).cost == -6500


def test_a_receipt_of_an_earlier_day_does_not_cost_anew_what_has_left(furnished: Ledger) -> None:
    """What left keeps its cost; the late paper's goods are the next to leave, since they came in first."""
    with furnished.writing(OPERATOR, NOW) as work:
        work.stock.bring(came(2, 14_000))
        gone = work.stock.take(went(1, DAY + timedelta(days=1)))
        work.stock.bring(came(1, 5_000, DAY - timedelta(days=9)))
        assert work.stock.values.history(FRAME, WREN.code)[2] == gone
        assert gone.cost == -7000
        assert work.stock.take(went(1, DAY + timedelta(days=2))).cost == -5000


def test_goods_set_aside_can_be_set_free_though_some_are_missing(furnished: Ledger) -> None:
    """A cancelled order lets go of what it kept, whatever lies there; nothing more is kept of what is not there."""
    with furnished.writing(OPERATOR, NOW) as work:
        work.stock.bring(came(3, 18_000))
        work.stock.reserve(FRAME, WREN.code, 3)
        work.stock.take(went(2))
        assert work.stock.level(FRAME, WREN.code).free == -2
        with pytest.raises(OutOfStockError):
            work.stock.reserve(FRAME, WREN.code, 1)
        work.stock.reserve(FRAME, WREN.code, -1)
        assert work.stock.level(FRAME, WREN.code).free == -1
