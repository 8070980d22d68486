"""The packing slip: everything in the parcel, nothing of prices and powers."""

from __future__ import annotations

from dataclasses import asdict, replace
from datetime import date

import pytest

from shopledger.errors import RefusedError
from shopledger.ledger.orders import Cancellation, OrderAccount
from shopledger.ledger.papers.order_facts import OrderFacts
from shopledger.ledger.papers.packing_slip import packing_slip
from shopledger.optics.prescription import LensUse
from tests.ledger.papers.bought import DAY, NAMES, PAYER, SHIPPED, account
from tests.shelf import CHILD, CUSTOMER, HOME, SHOP

TODAY = date(2026, 3, 8)


def test_each_wearer_finds_their_own_glasses_and_goods() -> None:
    """Glasses with their job number and coating first, goods after them, what is for nobody last."""
    slip = packing_slip(OrderFacts(account(), SHOP, PAYER, NAMES, TODAY))
    found = [
        (part.wearer, [(item.description, item.quantity, item.job_number) for item in part.items])
        for part in slip.parcels
    ]
    assert found == [
        (CUSTOMER, [("Even progressive in Harrow Row Wren, moss, 52-18-140", 1, 71), ("Hard case", 2, None)]),
        (CHILD, [("Clear single vision in Harrow Row Lark, brick, 48-17-130", 1, 72)]),
        ("", [("Plano sunglasses", 1, None)]),
    ]
    assert slip.parcels[0].items[0].extras == ("Anti-reflective coating",)
    assert slip.glasses == 2


def test_glasses_without_a_prescription_are_named_so() -> None:
    """Whoever packs sees which pair has no powers in it; single vision for reading is named too."""
    first, second = account().order.pairs
    assert NAMES.pair(replace(first, made=None)).startswith("Even progressive, without prescription in")
    assert NAMES.pair(replace(second, use=LensUse.READING)).startswith("Clear single vision, for reading in")


def test_no_price_and_no_power_is_on_it() -> None:
    """Whoever opens the parcel learns neither what it cost nor what anybody's eyes need."""
    said = str(asdict(packing_slip(OrderFacts(account((DAY, 70000)), SHOP, PAYER, NAMES, TODAY))))
    for secret in ("180.00", "18000", "700.00", "70000", "-2.50", "090", "add"):
        assert secret not in said.replace("address", "")


def test_it_goes_where_the_order_ships_to() -> None:
    """The address is the order's own, with the customer's name over it."""
    slip = packing_slip(OrderFacts(account(), SHOP, PAYER, NAMES, TODAY))
    assert (slip.customer, slip.ship_to) == (CUSTOMER, HOME.lines)


def test_carrier_and_day_are_the_shipments_once_there_is_one() -> None:
    """Before shipping the day is that of packing and the carrier is open."""
    shipped = packing_slip(OrderFacts(account(), SHOP, PAYER, NAMES, TODAY))
    packed = packing_slip(OrderFacts(account(shipped=False), SHOP, PAYER, NAMES, TODAY))
    assert (shipped.day, shipped.carrier, shipped.tracking) == (SHIPPED.isoformat(), "post", "9400 11")
    assert (packed.day, packed.carrier, packed.tracking) == (TODAY.isoformat(), "", "")


def test_a_cancelled_order_is_not_packed() -> None:
    """A parcel for an order that was voided would be given away."""
    cancelled = replace(account(shipped=False), cancellation=Cancellation(12, TODAY, "changed mind"))
    with pytest.raises(RefusedError, match="it was cancelled on 2026-03-08"):
        packing_slip(OrderFacts(cancelled, SHOP, PAYER, NAMES, TODAY))


def test_an_order_of_nothing_to_pack_is_refused() -> None:
    """An order of shipping alone has no parcel."""
    bare = replace(account().order, pairs=(), lines=account().order.lines[-1:])
    with pytest.raises(RefusedError, match="nothing on it can be packed"):
        packing_slip(OrderFacts(OrderAccount(bare), SHOP, PAYER, NAMES, TODAY))
