"""The catalogue item by item: added, changed by the names of fields, looked up."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from shopledger.desk.context import Desk
from shopledger.desk.goods import (
    ACCESSORIES,
    EXTRAS,
    FRAMES,
    LENSES,
    OFFERS,
    add_frame,
    end_offer,
)
from shopledger.desk.tax_rates import set_tax_rate, tax_rates
from shopledger.errors import RefusedError, UnknownNameError
from shopledger.ledger.catalogue import TaxCategory
from shopledger.ledger.taxes import TaxRate
from shopledger.store.refusals import DuplicateError
from tests.desk.books import everything, notes, on_both
from tests.shelf import CASE, CLEAR, CUSTOMER, INCLUDED, LARK, OHIO, SINGLE, WREN

Deed = Callable[..., Any]


@on_both
def test_an_item_is_added_with_its_count(desk: Desk) -> None:
    """Frames and accessories are counted; what was added is found again."""
    frame, count = add_frame(desk, replace(WREN, code="WREN-54", eye_size=54), 7)
    assert FRAMES.called(desk, "WREN-54") == (frame, count) == (frame, 7)
    accessory, count = ACCESSORIES.add(desk, replace(CASE, code="CORD", name="Cord"), 5)
    assert ACCESSORIES.called(desk, "cord") == (accessory, count) == (accessory, 5)


def test_an_item_may_be_added_with_none_there(desk: Desk) -> None:
    """It is in the catalogue, and nothing moved."""
    add_frame(desk, replace(WREN, code="WREN-54"))
    assert FRAMES.called(desk, "WREN-54")[1] == 0
    assert ("WREN-54", 0) in [(frame.code, count) for frame, count in FRAMES.all(desk)]


def test_a_lens_an_extra_and_an_offer_are_found_as_added(desk: Desk) -> None:
    """By their codes, however typed."""
    lens = LENSES.add(desk, replace(SINGLE, code="SV-174"))
    extra = EXTRAS.add(desk, replace(CLEAR, code="CLEAR-2"))
    offer = OFFERS.add(desk, replace(INCLUDED, code="SV-FREE-2"))
    found = (LENSES.called(desk, "sv-174"), EXTRAS.called(desk, "clear-2"), OFFERS.called(desk, "sv-free-2"))
    assert found == (lens, extra, offer)
    assert [each.code for each in OFFERS.all(desk)] == ["SV-FREE", "SV-FREE-2"]


@on_both
@pytest.mark.parametrize(
    ("add", "item"), [(add_frame, WREN), (LENSES.add, SINGLE), (EXTRAS.add, CLEAR), (ACCESSORIES.add, CASE),
                      (OFFERS.add, INCLUDED)],
)  # fmt: skip
def test_a_code_is_given_once(desk: Desk, add: Deed, item: object) -> None:
    """A second item of the same code is refused, and nothing is stored."""
    before = everything(desk)
    with pytest.raises(DuplicateError, match=r"exists already\. Choose another name, or change that one"):
        add(desk, item)
    assert everything(desk) == before


@on_both
def test_what_is_changed_is_written_and_the_rest_stays(desk: Desk) -> None:
    """Counts go on from where they were, and each change is noted."""
    assert FRAMES.change(desk, "wren-52", {"price": 16800}) == FRAMES.called(desk, WREN.code)
    assert FRAMES.called(desk, WREN.code) == (replace(WREN, price=16800, number=1), 3)
    assert ACCESSORIES.change(desk, CASE.code, {"price": 1400})[0] == ACCESSORIES.called(desk, CASE.code)[0]
    assert LENSES.change(desk, SINGLE.code, {"blank_diameters": (60, 80)}) == LENSES.called(desk, SINGLE.code)
    assert LENSES.called(desk, SINGLE.code).blank_diameters == (60, 80)
    assert EXTRAS.change(desk, CLEAR.code, {"name": "Clear coating"}) == EXTRAS.called(desk, CLEAR.code)
    assert [subject.split()[0] for _, deed, subject in notes(desk) if deed == "changed"][-4:] == [
        "frame", "accessory", "lens", "extra",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("change", "code"), [(FRAMES.change, WREN.code), (LENSES.change, SINGLE.code), (EXTRAS.change, CLEAR.code),
                         (ACCESSORIES.change, CASE.code)],
)  # fmt: skip
def test_a_change_names_something(desk: Desk, change: Deed, code: str) -> None:
    """Nothing named is refused; a value that cannot be is refused as when adding."""
    before = everything(desk)
    with pytest.raises(RefusedError, match="something to change must be named"):
        change(desk, code, {})
    with pytest.raises(RefusedError, match=r"price is -1\.00; it may not be negative"):
        change(desk, code, {"price": -100})
    assert everything(desk) == before


@pytest.mark.parametrize(
    ("ask", "typed", "near"),
    [(FRAMES.called, "LARK", "LARK-48"), (LENSES.called, "SV-105", "SV-150"), (EXTRAS.called, "CLEAN", "CLEAR"),
     (ACCESSORIES.called, "CASES", "CASE"), (OFFERS.called, "SVFREE", "SV-FREE")],
)  # fmt: skip
def test_an_unknown_code_is_answered_with_the_nearest(desk: Desk, ask: Deed, typed: str, near: str) -> None:
    """One slip of the finger."""
    with pytest.raises(UnknownNameError, match=f"called '{typed}'. Did you mean {near}"):
        ask(desk, typed)


def test_a_customer_s_own_frame_has_an_owner_and_no_count(desk: Desk) -> None:
    """It is not in stock."""
    own, count = add_frame(desk, replace(LARK, code="OWN-1"), owner="Odalys")
    assert (own.owned_by, count) == (1, 0)
    with pytest.raises(RefusedError, match="count is 1; a customer's own frame is not in stock"):
        add_frame(desk, replace(LARK, code="OWN-2"), 1, owner=CUSTOMER)


def test_a_negative_count_is_refused_with_the_item(desk: Desk) -> None:
    """Neither count nor item is stored."""
    before = everything(desk)
    with pytest.raises(RefusedError, match="count of CORD is -1; it may not be negative"):
        ACCESSORIES.add(desk, replace(CASE, code="CORD"), -1)
    assert everything(desk) == before


def test_an_offer_ends_on_the_day_given(desk: Desk) -> None:
    """An offer that has not begun cannot end before it begins."""
    assert end_offer(desk, "SV-FREE", date(2026, 6, 30)) == OFFERS.called(desk, "SV-FREE")
    assert OFFERS.called(desk, "SV-FREE").ends == date(2026, 6, 30)
    OFFERS.add(desk, replace(INCLUDED, code="SUMMER", starts=date(2026, 7, 1)))
    with pytest.raises(RefusedError, match="offer end is 2026-06-30; it lies before the start 2026-07-01"):
        end_offer(desk, "SUMMER", date(2026, 6, 30))


def test_a_tax_rate_is_set_from_a_day_on(desk: Desk) -> None:
    """It stands beside the earlier ones."""
    rate = TaxRate("VT", TaxCategory.ACCESSORY, 60_000, date(2026, 3, 1))
    set_tax_rate(desk, rate)
    assert set(tax_rates(desk)) == {*OHIO, rate}
