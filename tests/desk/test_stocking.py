"""Filling and counting the stock, and loading a catalogue whole or not at all."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from shopledger.desk.books.stocking import count_stock, receive_stock
from shopledger.desk.context import Desk
from shopledger.desk.goods import ACCESSORIES, EXTRAS, FRAMES, LENSES, OFFERS, load_catalogue
from shopledger.desk.refusals import FindingsRefusedError
from shopledger.desk.sales import record_sale
from shopledger.desk.tax_rates import tax_rates
from shopledger.errors import RefusedError, UnknownNameError
from shopledger.ledger.catalogue import Catalogue, TaxCategory
from shopledger.ledger.stock import StockedKind
from shopledger.ledger.taxes import RATE_OVERLAPS, TaxRate
from shopledger.store.refusals import DuplicateError
from tests.desk.books import everything, on_both
from tests.desk.family import DISTANCE, ordered, stock_up
from tests.rows import rows
from tests.shelf import CASE, CLEAR, GRADUAL, INCLUDED, LARK, OHIO, SHADES, SINGLE, THIN, WREN


def movements(desk: Desk) -> list[tuple[str, int, int, str, str]]:
    """Give what moved, as code, quantity, whole cost, reason and note, oldest first."""
    with desk.reading() as work:
        moved = rows(work, "stock_movement", order=("number",))
        return [(row.item_code, row.quantity, row.cost, row.reason, row.note) for row in moved]


def test_a_catalogue_is_loaded_with_counts_offers_and_rates(bare_desk: Desk) -> None:
    """Each item is there as it was written, with what lies on the shelf."""
    stock_up(bare_desk)
    assert [(frame.code, count) for frame, count in FRAMES.all(bare_desk)] == [(LARK.code, 2), (WREN.code, 3)]
    assert [(each.code, count) for each, count in ACCESSORIES.all(bare_desk)] == [(CASE.code, 10), (SHADES.code, 4)]
    assert [replace(lens, number=None) for lens in LENSES.all(bare_desk)] == [GRADUAL, SINGLE, THIN]
    assert [replace(extra, number=None) for extra in EXTRAS.all(bare_desk)] == [CLEAR]
    assert [replace(offer, number=None) for offer in OFFERS.all(bare_desk)] == [INCLUDED]
    assert set(tax_rates(bare_desk)) == set(OHIO)


def test_opening_counts_are_movements_at_the_catalogue_s_cost(bare_desk: Desk) -> None:
    """An item of which none is there moves nothing."""
    load_catalogue(bare_desk, Catalogue(frames=((WREN, 3), (LARK, 0)), accessories=((CASE, 10),)), (), ())
    assert movements(bare_desk) == [("WREN-52", 3, 18600, "opening", ""), ("CASE", 10, 4000, "opening", "")]


def test_a_duplicate_in_the_last_row_leaves_nothing(bare_desk: Desk) -> None:
    """All rows or none: what came before the duplicate is not kept either."""
    before = everything(bare_desk)
    catalogue = Catalogue(
        frames=((WREN, 3),), lenses=(SINGLE,), extras=(CLEAR,), accessories=((CASE, 10), (SHADES, 4), (CASE, 1))
    )
    with pytest.raises(DuplicateError, match="the accessory 'CASE' exists already"):
        load_catalogue(bare_desk, catalogue, (INCLUDED,), OHIO)
    assert everything(bare_desk) == before


def test_a_catalogue_loaded_twice_is_refused_whole(desk: Desk) -> None:
    """The shelf is not counted double."""
    before = everything(desk)
    with pytest.raises(DuplicateError, match="WREN-52"):
        stock_up(desk)
    assert everything(desk) == before


def test_a_negative_opening_count_is_refused(bare_desk: Desk) -> None:
    """A shelf holds none at the least."""
    with pytest.raises(RefusedError, match="count of WREN-52 is -1; it may not be negative"):
        load_catalogue(bare_desk, Catalogue(frames=((WREN, -1),)), (), ())


def test_a_rate_for_the_same_first_day_takes_the_place_of_the_earlier(desk: Desk) -> None:
    """A typing slip is mended, with a yes; a later day is a rate of its own."""
    mended = TaxRate("OH", TaxCategory.NON_PRESCRIPTION, 80_000, date(2020, 1, 1))
    newer = TaxRate("OH", TaxCategory.NON_PRESCRIPTION, 82_500, date(2026, 7, 1))
    with pytest.raises(FindingsRefusedError, match="RATE-OVERLAPS"):
        load_catalogue(desk, Catalogue(), (), (mended, newer))
    assert set(tax_rates(desk)) == set(OHIO)
    load_catalogue(desk, Catalogue(), (), (mended, newer), accept=frozenset({RATE_OVERLAPS}))
    assert set(tax_rates(desk)) == {OHIO[0], mended, newer}


@on_both
def test_what_comes_in_is_added_at_its_own_cost(desk: Desk) -> None:
    """The new count is given back; what is sold stays on the shelf until it is shipped."""
    assert receive_stock(desk, StockedKind.FRAME, "wren-52", 2, 6500).on_hand == 5
    record_sale(desk, ordered(DISTANCE))
    assert movements(desk)[-1:] == [("WREN-52", 2, 13000, "received", "")]
    assert FRAMES.called(desk, WREN.code)[1] == 5


@pytest.mark.parametrize("quantity", [0, -1])
def test_nothing_cannot_come_in(desk: Desk, quantity: int) -> None:
    """A count is corrected by counting."""
    with pytest.raises(RefusedError, match=f"quantity is {quantity}; what came in is 1 or more. Use 'shopledger stock"):
        receive_stock(desk, StockedKind.ACCESSORY, CASE.code, quantity, 400)


def test_stock_of_tomorrow_or_below_nothing_is_refused(desk: Desk) -> None:
    """Nothing is stored."""
    before = everything(desk)
    with pytest.raises(RefusedError, match="it lies after today"):
        receive_stock(desk, StockedKind.ACCESSORY, CASE.code, 1, 400, date(2026, 3, 3))
    with pytest.raises(RefusedError, match=r"cost is -0\.01; it may not be negative"):
        receive_stock(desk, StockedKind.ACCESSORY, CASE.code, 1, -1)
    assert everything(desk) == before


@on_both
@pytest.mark.parametrize(("counted", "difference"), [(8, -2), (12, 2)])
def test_a_count_that_differs_becomes_a_movement(desk: Desk, counted: int, difference: int) -> None:
    """At the cost last paid, with the owner's note; the difference is given back."""
    assert count_stock(desk, StockedKind.ACCESSORY, CASE.code, counted, "year's end").difference == difference
    assert movements(desk)[-1] == ("CASE", difference, difference * 400, "adjusted", "year's end")
    assert ACCESSORIES.called(desk, CASE.code)[1] == counted


def test_a_count_that_agrees_moves_nothing(desk: Desk) -> None:
    """Ten are there and ten are counted."""
    before = everything(desk)
    assert count_stock(desk, StockedKind.ACCESSORY, CASE.code, 10).difference == 0
    assert everything(desk) == before


def test_a_count_below_nothing_is_refused(desk: Desk) -> None:
    """None may be there, but no fewer."""
    with pytest.raises(RefusedError, match="count is -1; it may not be negative"):
        count_stock(desk, StockedKind.ACCESSORY, CASE.code, -1)
    assert count_stock(desk, StockedKind.ACCESSORY, CASE.code, 0).difference == -10


@pytest.mark.parametrize(
    ("kind", "code", "near"), [(StockedKind.FRAME, "WREN", "WREN-52"), (StockedKind.ACCESSORY, "SHADE", "SHADES")]
)
def test_unknown_goods_are_answered_with_the_nearest(desk: Desk, kind: StockedKind, code: str, near: str) -> None:
    """What came in must be in the catalogue."""
    with pytest.raises(UnknownNameError, match=f"Did you mean {near}"):
        receive_stock(desk, kind, code, 1, 100)
