"""Lots: the first in is the first out, and no cent of what a lot cost is lost or made."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.ledger.books.lots import Issue, Lot, issued, share
from shopledger.ledger.books.stock_values import AgedItem, ItemValue, LotLeft, aged, band, by_item
from shopledger.ledger.stock import GoodsShortError, NotThereYetError, StockedKind, StockReason

DAY = date(2026, 3, 2)
LOTS = st.lists(
    st.builds(Lot, st.just(0), st.just(DAY), st.integers(1, 40), st.integers(0, 100_000)), min_size=1, max_size=5
)


def test_the_first_in_is_the_first_out() -> None:
    """Three at 10.00 and four at 12.00: five leave as three at 10.00 and two at 12.00."""
    lots = [Lot(1, DAY, 3, 3000), Lot(2, DAY, 4, 4800)]
    assert issued(lots, 5) == (Issue(1, 3, 3000), Issue(2, 2, 2400))
    assert issued(lots, 0) == ()


def test_fewer_come_out_where_fewer_are_there() -> None:
    """Who asks for more than all lots hold gets all that they hold."""
    assert issued([Lot(1, DAY, 3, 3000)], 9) == (Issue(1, 3, 3000),)


def test_the_last_of_a_lot_takes_the_odd_cents() -> None:
    """Ten dollars over three: 3.33, then 3.34 of the 6.67 left (half a cent goes up), then 3.33."""
    lot, costs = Lot(1, DAY, 3, 1000), []
    while lot.on_hand:
        costs.append(share(lot, 1))
        lot = replace(lot, on_hand=lot.on_hand - 1, cost=lot.cost - costs[-1])
    assert costs == [333, 334, 333]


@given(LOTS, st.lists(st.integers(1, 60), max_size=12))
def test_what_is_issued_of_a_lot_comes_to_what_it_cost(lots: list[Lot], wanted: list[int]) -> None:
    """However goods leave, each lot's issues and what is left of it are what came in, in count and in cost."""
    left = {place: replace(lot, number=place) for place, lot in enumerate(lots)}
    gone = dict.fromkeys(left, (0, 0))
    for quantity in wanted:
        there = [lot for lot in left.values() if lot.on_hand]
        taken = issued(there, quantity)
        assert sum(issue.quantity for issue in taken) == min(quantity, sum(lot.on_hand for lot in there))
        assert [issue.lot for issue in taken] == [lot.number for lot in there[: len(taken)]]
        for issue in taken:
            lot = left[issue.lot]
            assert 0 <= issue.cost <= lot.cost
            left[issue.lot] = replace(lot, on_hand=lot.on_hand - issue.quantity, cost=lot.cost - issue.cost)
            count, cost = gone[issue.lot]
            gone[issue.lot] = (count + issue.quantity, cost + issue.cost)
    for place, lot in enumerate(lots):
        count, cost = gone[place]
        assert (count + left[place].on_hand, cost + left[place].cost) == (lot.on_hand, lot.cost)
        assert left[place].on_hand or not left[place].cost


@pytest.mark.parametrize(
    ("days", "place"), [(0, 0), (30, 0), (31, 1), (90, 1), (91, 2), (180, 2), (181, 3), (365, 3), (366, 4), (-2, 0)]
)
def test_an_age_falls_into_one_band(days: int, place: int) -> None:
    """A band ends with its last day."""
    assert band(days) == place


def left_of(number: int, code: str, day: date, quantity: int, cost: int) -> LotLeft:
    """Give what is left of a received lot."""
    return LotLeft(number, StockedKind.FRAME, code, day, StockReason.RECEIVED, None, quantity, cost)


def test_lots_add_up_by_item_and_by_age() -> None:
    """Two lots of one frame, one old; the other frame apart."""
    old = left_of(1, "LARK-48", date(2025, 3, 1), 2, 8200)
    new = left_of(5, "LARK-48", date(2026, 2, 20), 1, 4300)
    other = left_of(2, "WREN-52", DAY, 3, 18600)
    lark, wren = by_item([old, new, other], {(StockedKind.FRAME, "LARK-48"): "a lark"})
    assert lark == ItemValue(StockedKind.FRAME, "LARK-48", "a lark", (old, new))
    assert (lark.quantity, lark.cost, wren.cost, wren.description) == (3, 12500, 18600, "")
    assert aged(lark, DAY) == AgedItem(
        StockedKind.FRAME, "LARK-48", "a lark", (1, 0, 0, 0, 2), (4300, 0, 0, 0, 8200)
    )  # fmt: skip


def test_goods_that_could_not_have_left_are_said_with_the_day() -> None:
    """How many could have, and where to look."""
    assert str(NotThereYetError("WREN-52", 3, 1, DAY)) == (
        "WREN-52: 3 to leave on 2026-03-02, but only 1 could have left on that day: the rest came in later, or left "
        "since. Type a later day, or look at 'shopledger stock history WREN-52'."
    )


def test_an_order_that_is_short_names_all_its_goods() -> None:
    """What is needed and what is there, item by item, and what to do."""
    assert str(GoodsShortError(7, (("WREN-52", 2, 1), ("CASE", 1, 0)))) == (
        "order 7 cannot be shipped, and nothing was stored: WREN-52: 2 needed, 1 on hand; CASE: 1 needed, 0 on hand. "
        "Record what came in with 'shopledger stock receive WREN-52', or take the order back with 'shopledger sale "
        "cancel 7'."
    )
