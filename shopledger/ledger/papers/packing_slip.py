"""The packing slip: what lies in the parcel and for whom, without prices and without anything of a prescription."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from shopledger.errors import RefusedError
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import Order
from shopledger.ledger.papers.order_facts import OrderFacts, OrderNames
from shopledger.ledger.papers.shop_lines import ShopLines, shop_lines


@dataclass(frozen=True, slots=True)
class PackedItem:
    """One thing in the parcel; glasses carry their job number."""

    description: str
    quantity: int
    job_number: int | None = None
    extras: tuple[str, ...] = ()
    """Upgrades and coatings of glasses."""
    demo_lenses: str = ""
    """What became of the demo lenses of a frame without others; empty for all else."""


@dataclass(frozen=True, slots=True)
class PackedFor:
    """What is for one wearer; the name is empty for what is for nobody in particular."""

    wearer: str
    items: tuple[PackedItem, ...]


@dataclass(frozen=True, slots=True)
class PackingSlip:
    """Everything on the slip. Days are ISO text, absent things empty text."""

    order_number: int
    day: str
    """Day of shipping, or of packing while the parcel has not left."""
    shop: ShopLines
    customer: str
    ship_to: tuple[str, ...]
    carrier: str
    tracking: str
    parcels: tuple[PackedFor, ...]

    @property
    def glasses(self) -> int:
        """How many pairs of glasses lie in the parcel."""
        return sum(item.job_number is not None for part in self.parcels for item in part.items)


def packing_slip(facts: OrderFacts) -> PackingSlip:
    """Give what the slip of an order says; the day of the shipment wins over that of printing."""
    order, shipment = facts.account.order, facts.account.shipment
    parcels = tuple(_parcels(order, facts.names))
    if not parcels:
        raise RefusedError("order", order.number, "nothing on it can be packed", "Name another order.")
    return PackingSlip(
        order_number=order.number or 0,
        day=(shipment.day if shipment else facts.day).isoformat(),
        shop=shop_lines(facts.shop),
        customer=facts.customer.name,
        ship_to=order.ship_to.lines,
        carrier=shipment.carrier if shipment else "",
        tracking=shipment.tracking if shipment else "",
        parcels=parcels,
    )


def _parcels(order: Order, names: OrderNames) -> Iterator[PackedFor]:
    met = [*(pair.wearer_number for pair in order.standing_pairs), *(line.wearer_number for line in order.lines)]
    for wearer in sorted(dict.fromkeys(met), key=lambda number: (number is None, number or 0)):
        items = tuple(_items(order, wearer, names))
        if items:
            yield PackedFor(names.wearer(wearer), items)


def _items(order: Order, wearer: int | None, names: OrderNames) -> Iterator[PackedItem]:
    for pair in order.standing_pairs:
        if pair.wearer_number == wearer:
            extras = tuple(names.extras[code] for code in pair.extras)
            yield PackedItem(names.pair(order.worn(pair)), 1, pair.job_number or 0, extras)
    for line in order.lines:
        if line.wearer_number != wearer:
            continue
        if line.kind is LineKind.ACCESSORY:
            yield PackedItem(line.description, line.quantity)
        elif line.demo_lenses is not None:
            yield PackedItem(line.description, line.quantity, demo_lenses=line.demo_lenses.value)
