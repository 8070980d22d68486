"""The packing slip: everything in the parcel, nothing of prices and powers."""

from __future__ import annotations

from dataclasses import asdict, replace
from datetime import date

import pytest

from shopledger.errors import RefusedError
from shopledger.ledger.again import Again, RemakeCause
from shopledger.ledger.catalogue import Design
from shopledger.ledger.inspections import BenchHistory, DemoCheck, Inspection
from shopledger.ledger.orders import Cancellation, Making, Order, OrderAccount, OwnLens, Pair
from shopledger.ledger.papers.order_facts import OrderFacts
from shopledger.ledger.papers.packing_slip import PackingSlip, packing_slip
from shopledger.optics.prescription import LensUse
from tests.ledger.papers.bought import DAY, NAMES, PAYER, SHIPPED, account
from tests.ledger.test_inspections import PASSED
from tests.shelf import CHILD, CUSTOMER, GRADUAL, HOME, SHOP, SINGLE

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


def slip_of(order: Order, *inspections: Inspection) -> PackingSlip:
    """Give the slip of an order that is packed today, with what the bench recorded of its jobs."""
    names = replace(NAMES, designs={GRADUAL.code: Design.PROGRESSIVE, SINGLE.code: Design.SINGLE_VISION})
    benches = {each.job_number: BenchHistory(each.job_number, (each,)) for each in inspections}
    return packing_slip(OrderFacts(OrderAccount(order), SHOP, PAYER, names, TODAY, benches=benches))


def packed(slip: PackingSlip) -> dict[int | None, tuple[str, bool, str]]:
    """Give of each job what is said of demonstration lenses, frame and a single new lens."""
    items = [item for part in slip.parcels for item in part.items if item.job_number is not None]
    return {item.job_number: (item.demo_lenses, item.own_frame, item.new_lens) for item in items}


def with_pair(order: Order, pair: Pair) -> Order:
    """Give an order whose first pair is another."""
    return replace(order, pairs=(pair, *order.pairs[1:]))


@pytest.mark.parametrize(
    ("seen", "said"), [(None, ""), (DemoCheck.IN, ""), (DemoCheck.NONE, ""), (DemoCheck.OUT, "out")]
)
def test_nothing_is_said_of_demonstration_lenses_that_nobody_recorded(seen: DemoCheck | None, said: str) -> None:
    """They are out where an inspection of that very job says so; of the other job nobody was asked."""
    looked_at = replace(PASSED, job_number=71, day=TODAY, demo_lenses=seen)
    assert packed(slip_of(account(shipped=False).order, looked_at)) == {71: (said, False, ""), 72: ("", False, "")}


def test_lenses_for_a_frame_that_the_parcel_does_not_bring_are_told_apart() -> None:
    """Glasses are counted with their frame alone: lenses may be sent for the one that the wearer has."""
    order = account(shipped=False).order
    frameless = replace(order, lines=tuple(line for line in order.lines if line.item_code != "WREN-52"))
    slip = slip_of(frameless)
    assert packed(slip) == {71: ("", True, ""), 72: ("", False, "")}
    assert (slip.glasses, slip.own_frames, slip.goods) == (1, 1, 3)
    again = Again(1, 60, RemakeCause.LOST, TODAY, new_frame=True)
    assert packed(slip_of(with_pair(frameless, replace(order.pairs[0], again=again))))[71] == ("", False, "")


def test_one_new_lens_is_told_from_the_one_that_stays() -> None:
    """The pair is named as it is worn, so the slip says which lens of it is new."""
    order = account(shipped=False).order
    half = replace(order.pairs[0], right=OwnLens(Making.KEPT))
    assert packed(slip_of(with_pair(order, half)))[71][2] == "left"


def test_goods_alone_are_no_glasses() -> None:
    """A parcel of two cases and sunglasses holds none, and no words on wearing them."""
    order = account(shipped=False).order
    slip = slip_of(replace(order, pairs=(), lines=tuple(line for line in order.lines if line.pair is None)))
    assert (slip.glasses, slip.own_frames, slip.goods, slip.care) == (0, 0, 3, ())


def test_only_words_on_wearing_that_fit_are_chosen() -> None:
    """Nothing of progressives without one, of new powers without a prescription, of near work where none is meant."""
    order = account(shipped=False).order
    progressive, single = order.pairs
    assert slip_of(order).care == ("prescribed", "progressive")
    near = replace(single, position=1, use=LensUse.READING, made=None)
    assert slip_of(replace(order, pairs=(near,))).care == ("near",)
    assert slip_of(replace(order, pairs=(replace(progressive, made=None),))).care == ("progressive",)
