"""The packing slip: what lies in the parcel and for whom, without prices and without anything of a prescription."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from shopledger.errors import RefusedError
from shopledger.ledger.orders import Order, OrderAccount, OrderLine, Pair
from shopledger.ledger.papers.order_facts import OrderFacts, OrderNames
from shopledger.ledger.papers.shop_lines import ShopLines, shop_lines
from shopledger.ledger.parcels import Parcel, ParcelItem
from shopledger.ledger.shipping import as_it_left, whole_content


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
class PackedApart:
    """What left in another parcel: its day as ISO text, and each thing in a word."""

    day: str
    contents: tuple[str, ...]


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
    apart: tuple[PackedApart, ...] = ()
    """What had left of the order in other parcels by then."""
    follows: tuple[str, ...] = ()
    """What of it was still to leave then, in a word each."""

    @property
    def glasses(self) -> int:
        """How many pairs of glasses lie in the parcel."""
        return sum(item.job_number is not None for part in self.parcels for item in part.items)


def packing_slip(facts: OrderFacts) -> PackingSlip:
    """Give what the slip of a parcel says: the one that is named, or all that is here, or the last that left.

    The day of the parcel wins over that of printing.
    """
    account, order = facts.account, facts.account.order
    parcel = facts.parcel or _last_away(account)
    content = parcel.items if parcel else whole_content(account)
    parcels = tuple(_parcels(order, content, facts.names))
    if not parcels:
        raise RefusedError("order", order.number, "nothing on it can be packed", "Name another order.")
    then = as_it_left(account, parcel) if parcel else account
    others = [each for each in then.away if parcel is None or each.number != parcel.number]
    return PackingSlip(
        order_number=order.number or 0,
        day=(parcel.day if parcel else facts.day).isoformat(),
        shop=shop_lines(facts.shop),
        customer=facts.customer.name,
        ship_to=(parcel.ship_to if parcel else account.ship_to).lines,
        carrier=parcel.carrier if parcel else "",
        tracking=parcel.tracking if parcel else "",
        parcels=parcels,
        apart=tuple(PackedApart(each.day.isoformat(), tuple(_briefly(order, each.items))) for each in others),
        follows=tuple(_briefly(order, whole_content(then))) if parcel else (),
    )


def _last_away(account: OrderAccount) -> Parcel | None:
    """Give the parcel that left last, where nothing of the order is here any more."""
    return account.away[-1] if account.away and not whole_content(account) else None


def _parcels(order: Order, content: Sequence[ParcelItem], names: OrderNames) -> Iterator[PackedFor]:
    jobs = {item.job for item in content if item.job is not None}
    pairs = [pair for pair in order.pairs if pair.job_number in jobs]
    lines = [(order.lines[item.line - 1], item.quantity) for item in content if item.line is not None]
    loose = [(line, count) for line, count in lines if line.pair is None]
    met = [*(pair.wearer_number for pair in pairs), *(line.wearer_number for line, _ in loose)]
    for wearer in sorted(dict.fromkeys(met), key=lambda number: (number is None, number or 0)):
        glasses = (
            PackedItem(names.pair(order.worn(pair)), 1, pair.job_number or 0, _extras(pair, names))
            for pair in pairs
            if pair.wearer_number == wearer
        )
        goods = (_goods(line, count) for line, count in loose if line.wearer_number == wearer)
        yield PackedFor(names.wearer(wearer), (*glasses, *goods))


def _goods(line: OrderLine, count: int) -> PackedItem:
    return PackedItem(line.description, count, demo_lenses=line.demo_lenses.value if line.demo_lenses else "")


def _extras(pair: Pair, names: OrderNames) -> tuple[str, ...]:
    return tuple(names.extras[code] for code in pair.extras)


def _briefly(order: Order, content: Sequence[ParcelItem]) -> Iterator[str]:
    """Name what lies in another parcel in a word: jobs by their number."""
    for item in content:
        if item.job is not None:
            yield f"job {item.job}"
        elif item.line is not None and order.lines[item.line - 1].pair is None:
            yield f"{item.quantity} × {order.lines[item.line - 1].description}"
