"""The packing slip: what lies in the parcel and for whom, without prices and without anything of a prescription.

It states nothing that nobody recorded: what became of demonstration lenses stands on it only where it was said at the
sale of a frame without lenses, or at the bench.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Final

from shopledger.errors import RefusedError
from shopledger.ledger.catalogue import Design
from shopledger.ledger.orders import Making, Order, OrderAccount, OrderLine, Pair
from shopledger.ledger.papers.order_facts import OrderFacts, OrderNames
from shopledger.ledger.papers.shop_lines import ShopLines, shop_lines
from shopledger.ledger.parcels import Parcel, ParcelItem
from shopledger.ledger.shipping import as_it_left, whole_content
from shopledger.optics.prescription import LensUse
from shopledger.optics.sides import Side

OUT: Final = "out"
"""Of the demonstration lenses of glasses: the bench recorded that they are out."""


@dataclass(frozen=True, slots=True)
class PackedItem:
    """One thing in the parcel; glasses carry their job number."""

    description: str
    quantity: int
    job_number: int | None = None
    extras: tuple[str, ...] = ()
    """Upgrades and coatings of glasses."""
    demo_lenses: str = ""
    """What became of a frame's demo lenses, where that was recorded; empty text where nobody said so."""
    own_frame: bool = False
    """Whether lenses are made for a frame that the ledger does not have in the parcel: the customer's, or one sent."""
    new_lens: str = ""
    """The side of the one lens that is new where the other stays; empty text for all else."""


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
    care: tuple[str, ...] = ()
    """Which of the words on wearing fit what lies in the parcel, such as `progressive`."""

    @property
    def glasses(self) -> int:
        """How many pairs of glasses lie in the parcel, each with its frame."""
        return sum(item.job_number is not None and not item.own_frame for item in self._items)

    @property
    def own_frames(self) -> int:
        """For how many frames of the customer's there are lenses."""
        return sum(item.job_number is not None and item.own_frame for item in self._items)

    @property
    def goods(self) -> int:
        """How many other things lie in it."""
        return sum(item.quantity for item in self._items if item.job_number is None)

    @property
    def _items(self) -> Iterator[PackedItem]:
        return (item for part in self.parcels for item in part.items)


def packing_slip(facts: OrderFacts) -> PackingSlip:
    """Give what the slip of a parcel says: the one that is named, or all that is here, or the last that left.

    The day of the parcel wins over that of printing.
    """
    account, order = facts.account, facts.account.order
    parcel = facts.parcel or _last_away(account)
    content = parcel.items if parcel else whole_content(account)
    pairs = _pairs(order, content)
    day = parcel.day if parcel else facts.day
    parcels = tuple(_parcels(facts, pairs, content, day))
    if not parcels:
        raise RefusedError("order", order.number, "nothing on it can be packed", "Name another order.")
    then = as_it_left(account, parcel) if parcel else account
    others = [each for each in then.away if parcel is None or each.number != parcel.number]
    return PackingSlip(
        order_number=order.number or 0,
        day=day.isoformat(),
        shop=shop_lines(facts.shop),
        customer=facts.customer.name,
        ship_to=(parcel.ship_to if parcel else account.ship_to).lines,
        carrier=parcel.carrier if parcel else "",
        tracking=parcel.tracking if parcel else "",
        parcels=parcels,
        apart=tuple(PackedApart(each.day.isoformat(), tuple(_briefly(order, each.items))) for each in others),
        follows=tuple(_briefly(order, whole_content(then))) if parcel else (),
        care=tuple(_care(order, pairs, facts.names)),
    )


def _last_away(account: OrderAccount) -> Parcel | None:
    """Give the parcel that left last, where nothing of the order is here any more."""
    return account.away[-1] if account.away and not whole_content(account) else None


def _pairs(order: Order, content: Sequence[ParcelItem]) -> tuple[Pair, ...]:
    jobs = {item.job for item in content if item.job is not None}
    return tuple(pair for pair in order.pairs if pair.job_number in jobs)


def _parcels(facts: OrderFacts, pairs: Sequence[Pair], content: Sequence[ParcelItem], day: date) -> Iterator[PackedFor]:
    order = facts.account.order
    lines = [(order.lines[item.line - 1], item.quantity) for item in content if item.line is not None]
    loose = [(line, count) for line, count in lines if line.pair is None]
    framed = {line.pair for line, _ in lines if line.pair is not None}
    met = [*(pair.wearer_number for pair in pairs), *(line.wearer_number for line, _ in loose)]
    for wearer in sorted(dict.fromkeys(met), key=lambda number: (number is None, number or 0)):
        glasses = (
            replace(_glasses(facts, pair, day), own_frame=not (pair.place in framed or _new_frame(pair)))
            for pair in pairs
            if pair.wearer_number == wearer
        )
        goods = (_goods(line, count) for line, count in loose if line.wearer_number == wearer)
        yield PackedFor(facts.names.wearer(wearer), (*glasses, *goods))


def _new_frame(pair: Pair) -> bool:
    return pair.again is not None and pair.again.new_frame


def _glasses(facts: OrderFacts, pair: Pair, day: date) -> PackedItem:
    job = pair.job_number or 0
    bench = facts.benches.get(job)
    kept = any(pair.own(side).making is Making.KEPT for side in Side)
    return PackedItem(
        facts.names.pair(facts.account.order.worn(pair)),
        1,
        job,
        tuple(facts.names.extras[code] for code in pair.extras),
        demo_lenses=OUT if bench and bench.demo_lenses_out(day) else "",
        new_lens=pair.sides[0].value if kept else "",
    )


def _care(order: Order, pairs: Sequence[Pair], names: OrderNames) -> Iterator[str]:
    """Name the words on wearing that fit: nothing on progressives, say, where the parcel holds none."""
    worn = [order.worn(pair) for pair in pairs]
    designs = {names.designs.get(code) for pair in worn for code in pair.lens_codes}
    fitting = (
        ("prescribed", any(pair.made is not None for pair in worn)),
        ("progressive", Design.PROGRESSIVE in designs),
        ("lined", not designs.isdisjoint({Design.BIFOCAL, Design.TRIFOCAL})),
        ("occupational", Design.OCCUPATIONAL in designs),
        ("near", any(pair.use in {LensUse.READING, LensUse.SCREEN} for pair in worn)),
    )
    return (name for name, fits in fitting if fits)


def _goods(line: OrderLine, count: int) -> PackedItem:
    return PackedItem(line.description, count, demo_lenses=line.demo_lenses.value if line.demo_lenses else "")


def _briefly(order: Order, content: Sequence[ParcelItem]) -> Iterator[str]:
    """Name what lies in another parcel in a word: jobs by their number."""
    for item in content:
        if item.job is not None:
            yield f"job {item.job}"
        elif item.line is not None and order.lines[item.line - 1].pair is None:
            yield f"{item.quantity} × {order.lines[item.line - 1].description}"
