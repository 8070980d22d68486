"""What is stored comes back equal, whatever it is, on both databases."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings

from shopledger.errors import ShopledgerError
from shopledger.ledger.catalogue import Accessory, Design, Extra, Frame, Lens, TaxCategory
from shopledger.ledger.offers import Offer
from shopledger.ledger.orders import AcceptedWarning, Order
from shopledger.ledger.parties import Customer, Shop, Wearer
from shopledger.ledger.prescription import WrittenPrescription
from shopledger.ledger.settings import Accounting, InventoryView, Settings
from shopledger.ledger.taxes import TaxRate
from shopledger.ledger.traces import StoredTrace
from shopledger.money.tax import TaxRounding
from shopledger.optics.power import SphereCylinder
from shopledger.optics.prescription import EyePrescription, Prescription
from shopledger.store.opening import Ledger
from shopledger.store.refusals import PrecisionError
from shopledger.store.work import UnitOfWork
from tests.rows import rows
from tests.shelf import HOME, OHIO, SHOP
from tests.store import drawn
from tests.store.samples import ADULT, DAY, NOW, OPERATOR, POWERS, an_order

# Each example is stored in the same ledger and taken out again as the transaction is given up.
on_one_ledger = settings(
    max_examples=30, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow]
)


class _GivenUpError(Exception):
    """Raised to leave nothing behind."""


@contextmanager
def given_up(ledger: Ledger) -> Iterator[UnitOfWork]:
    """Give a transaction that is rolled back at its end."""
    with suppress(_GivenUpError), ledger.writing(OPERATOR, NOW) as work:
        yield work
        raise _GivenUpError


@on_one_ledger
@given(customer=drawn.CUSTOMERS)
def test_a_customer_comes_back_equal(ledger: Ledger, customer: Customer) -> None:
    """A customer of any name and address is found again by its number."""
    with given_up(ledger) as work:
        stored = work.customers.add(customer)
        assert replace(stored, number=None) == customer
        assert work.customers.get(stored.number or 0) == stored


@on_one_ledger
@given(wearer=drawn.WEARERS)
def test_a_wearer_comes_back_equal(furnished: Ledger, wearer: Wearer) -> None:
    """A wearer is found again by number with everything known, also after a change."""
    with given_up(furnished) as work:
        stored = work.customers.add_wearer(wearer)
        assert replace(stored, number=None) == wearer
        assert work.customers.wearer(stored.number or 0) == stored
        changed = replace(wearer, number=ADULT)
        assert work.customers.change_wearer(changed) == work.customers.wearer(ADULT) == changed


@on_one_ledger
@given(written=drawn.prescriptions(), accepted=drawn.WARNINGS)
def test_a_prescription_comes_back_equal(
    furnished: Ledger, written: WrittenPrescription, accepted: tuple[AcceptedWarning, ...]
) -> None:
    """Powers, adds, prisms in their order, dates and accepted warnings are kept exactly."""
    with given_up(furnished) as work:
        stored = work.prescriptions.add(written, accepted)
        assert replace(stored, number=None) == written
        assert work.prescriptions.get(stored.number or 0) == stored
        assert work.prescriptions.accepted(stored.number or 0) == accepted


@pytest.mark.slow
@on_one_ledger
@given(order=drawn.orders())
def test_an_order_comes_back_equal(furnished: Ledger, order: Order) -> None:
    """Pairs, powers made, measurements, lines, charges and warnings are kept exactly."""
    with given_up(furnished) as work:
        stored = work.orders.add(order)
        bare = replace(stored, number=None, pairs=tuple(replace(pair, job_number=None) for pair in stored.pairs))
        assert bare == order
        assert work.orders.get(stored.number or 0) == stored
        assert work.orders.account(stored.number or 0).order == stored


@on_one_ledger
@given(trace=drawn.TRACES)
def test_a_trace_comes_back_equal(furnished: Ledger, trace: StoredTrace) -> None:
    """Every radius, stated figure and foreign record of a trace is kept exactly."""
    with given_up(furnished) as work:
        stored = work.traces.add(trace)
        assert replace(stored, number=None) == trace
        assert work.traces.newest(trace.frame_code) == stored
        assert work.traces.get(stored.number or 0) == stored


@pytest.mark.slow
@on_one_ledger
@given(frame=drawn.FRAMES, lens=drawn.LENSES, extra=drawn.EXTRAS, accessory=drawn.ACCESSORIES, offer=drawn.offers())
def test_the_catalogue_comes_back_equal(
    furnished: Ledger, frame: Frame, lens: Lens, extra: Extra, accessory: Accessory, offer: Offer
) -> None:
    """Frames, lenses with their blanks, extras, accessories and offers with their matches are kept exactly."""
    drawn_codes = [replace(item, code=f"T-{item.code[:18]}") for item in (frame, lens, extra, accessory, offer)]
    with given_up(furnished) as work:
        shelf = work.catalogue
        adding = (shelf.add_frame, shelf.add_lens, shelf.add_extra, shelf.add_accessory, shelf.add_offer)
        getting = (shelf.frame, shelf.lens, shelf.extra, shelf.accessory, shelf.offer)
        listing = (shelf.frames, shelf.lenses, shelf.extras, shelf.accessories, shelf.offers)
        everything: Iterator[tuple[Any, Any, Any, Any]] = zip(drawn_codes, adding, getting, listing, strict=True)
        for item, add, get, listed in everything:
            stored = add(item)
            assert replace(stored, number=None) == item
            assert get(item.code) == stored
            assert stored in listed()


def test_the_shop_and_its_settings_come_back_equal(ledger: Ledger) -> None:
    """The profile and every setting are kept, the first time and when they change."""
    settled = Settings(
        TaxRounding.PER_ORDER, 400_000, 600_000, 1.5, 995, "a4", 9000, Design.TRIFOCAL, 12000, Accounting.CASH,
        InventoryView.MATERIALS,
    )  # fmt: skip
    with ledger.writing(OPERATOR, NOW) as work:
        assert not work.shop.exists()
        assert work.shop.settings() == Settings()
        for shop in (
            SHOP,
            Shop("Renamed", HOME, "555-0101", "98-7654321", "a@example.com", "1234567893", "Thank you."),
        ):
            work.shop.save(shop)
            assert work.shop.profile() == shop
        for choice in (Settings(), settled):
            work.shop.save_settings(choice)
            assert work.shop.settings() == choice
        assert work.shop.exists()


def test_a_shop_without_a_profile_says_how_to_set_it_up(ledger: Ledger) -> None:
    """The profile of a shop that is not set up is refused with the command to run."""
    with ledger.reading() as work, pytest.raises(ShopledgerError, match="shopledger setup"):
        work.shop.profile()


def test_tax_rates_are_kept_and_replaced_by_state_category_and_day(ledger: Ledger) -> None:
    """A second rate for the same key takes the first one's place; others stay."""
    with ledger.writing(OPERATOR, NOW) as work:
        for rate in OHIO:
            work.catalogue.set_tax_rate(rate)
        elsewhere = TaxRate("NY", TaxCategory.ACCESSORY, 88_750, DAY)
        work.catalogue.set_tax_rate(elsewhere)
        mended = replace(OHIO[1], rate=73_000)
        work.catalogue.set_tax_rate(mended)
        assert set(work.catalogue.tax_rates("OH")) == {OHIO[0], mended}
        assert set(work.catalogue.tax_rates()) == {OHIO[0], mended, elsewhere}


def test_an_odd_eighth_is_kept_as_it_is_written_and_comes_back_as_the_eighth(furnished: Ledger) -> None:
    """-2.37 on paper means -2.375 D: that is what comes back, and what claim bands and checks see."""
    eye = EyePrescription(SphereCylinder(-2.375, -0.125, 10), add=1.625)
    written = WrittenPrescription(1, 1, Prescription(eye, eye), DAY, intermediate=0.875)
    with furnished.writing(OPERATOR, NOW) as work:
        number = work.prescriptions.add(written).number
    with furnished.reading() as work:
        back = work.prescriptions.get(number or 0)
    assert (back.powers.right, back.intermediate) == (eye, 0.875)


def test_a_power_finer_than_is_kept_is_refused_and_not_rounded(furnished: Ledger) -> None:
    """A sphere with three decimals that is no eighth is refused by name."""
    eye = EyePrescription(SphereCylinder(-1.115))
    written = WrittenPrescription(1, 1, Prescription(POWERS.right, eye), DAY)
    with (
        furnished.writing(OPERATOR, NOW) as work,
        pytest.raises(PrecisionError, match=r"left sphere is -1.115; at most 2"),
    ):
        work.prescriptions.add(written)


def test_every_entry_says_who_made_it_and_when(furnished: Ledger) -> None:
    """The operator and the time in UTC stand on each row that is recorded."""
    with furnished.writing("  Tomas ", NOW) as work:
        work.orders.add(an_order())
        row = rows(work, "shop_order", {"number": 1})[0]
    assert row is not None
    assert (row.operator, row.recorded_at) == ("Tomas", "2026-03-02T15:04:05+00:00")
