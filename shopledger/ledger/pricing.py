"""Pricing an order: list lines first, then offers, then the split into claim charges, then sales tax.

What comes out is frozen on the order; nothing is priced a second time later.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any, Final, Generic, TypeAlias, TypeVar

from shopledger.ledger.catalogue import Accessory, Extra, Frame, Lens, Reimbursement, TaxCategory
from shopledger.ledger.claims.charges import (
    accessory_charge,
    extra_charges,
    frame_charges,
    lens_charges,
    shipping_charge,
)
from shopledger.ledger.claims.reimbursement import FRAME_ALONE, status
from shopledger.ledger.offering import with_offers
from shopledger.ledger.offers import LineKind, Offer
from shopledger.ledger.orders import Charge, DemoLenses, OrderLine
from shopledger.ledger.settings import Settings
from shopledger.ledger.taxes import Destination, TaxRate
from shopledger.ledger.taxing import TaxedGoods, taxed
from shopledger.money.amount import Cents
from shopledger.optics.prescription import LensUse, Prescription
from shopledger.optics.sides import Side

T = TypeVar("T", Lens, Extra)
Charged: TypeAlias = Callable[[OrderLine], tuple[Charge, ...]]
"""Splits a line, as it is priced at last, into the charges of a claim."""

SHIPPING_CODE: Final = "SHIPPING"
_MADE_FOR: Final = {
    LensUse.DISTANCE: "for distance",
    LensUse.READING: "for reading",
    LensUse.SCREEN: "for a screen",
    LensUse.MULTIFOCAL: "",
}


@dataclass(frozen=True, slots=True)
class Sold(Generic[T]):
    """A lens or an upgrade, and for which eyes, right first."""

    goods: T
    sides: tuple[Side, ...] = tuple(Side)

    @property
    def alone(self) -> Side | None:
        """The one eye that it is for; None for both."""
        return self.sides[0] if len(self.sides) == 1 else None

    @property
    def price(self) -> Cents:
        """What it costs: for both eyes, or on one alone."""
        return self.goods.price if self.alone is None else self.goods.each


@dataclass(frozen=True, slots=True)
class PairGoods:
    """One pair with everything looked up: what is sold, for whom, and the powers to make."""

    position: int
    wearer_number: int
    frame: Frame
    lenses: tuple[Sold[Lens], ...]
    """One for both eyes, or one for each that a lens is made for."""
    extras: tuple[Sold[Extra], ...]
    use: LensUse
    made: Prescription | None
    """None for a pair without a prescription."""
    frame_sold: bool = True
    """False where the wearer has the frame already."""
    chosen_codes: Mapping[Side, str] = field(default_factory=dict)
    """Claim codes the owner chose where the published bands leave a gap or overlap."""

    @property
    def tax_category(self) -> TaxCategory:
        """What the pair is for the sales tax."""
        return TaxCategory.PRESCRIPTION_EYEWEAR if self.made else TaxCategory.NON_PRESCRIPTION


@dataclass(frozen=True, slots=True)
class AccessoryGoods:
    """One accessory with its quantity, and the wearer it is for if any."""

    accessory: Accessory
    quantity: int
    wearer_number: int | None


@dataclass(frozen=True, slots=True)
class FrameGoods:
    """A frame sold without lenses, what became of its demo lenses, and the wearer it is for if any."""

    frame: Frame
    demo_lenses: DemoLenses
    wearer_number: int | None


@dataclass(frozen=True, slots=True)
class Terms:
    """The shop's terms on the day: offers, tax rates, settings, and where the parcel goes."""

    day: date
    state: str
    offers: tuple[Offer, ...]
    tax_rates: tuple[TaxRate, ...]
    settings: Settings
    shipping: Cents
    tax_exempt: str = ""
    """Why the whole order is exempt from sales tax; empty where it is not."""
    city: str = ""
    postcode: str = ""
    beside: tuple[TaxedGoods, ...] = ()
    """Goods that stand on the order already, where something is added to it: shipping may be taxed as they are."""

    @property
    def destination(self) -> Destination:
        """Where the parcel goes, as far as the sales tax asks."""
        return Destination(self.state, self.city, self.postcode)


def price_order(
    pairs: Sequence[PairGoods],
    accessories: Sequence[AccessoryGoods],
    terms: Terms,
    frames: Sequence[FrameGoods] = (),
) -> tuple[OrderLine, ...]:
    """Give the lines of an order, priced to the cent and ready to freeze."""
    designs = {sold.goods.code: sold.goods.design for pair in pairs for sold in pair.lenses}
    lines: list[OrderLine] = []
    for pair in pairs:
        parts = pair_parts(pair, terms.settings)
        reduced = with_offers([line for line, _ in parts], terms.offers, designs, pair.position)
        lines.extend(replace(line, charges=charged(line)) for line, (_, charged) in zip(reduced, parts, strict=True))
    lines.extend(_frame_line(goods, terms.settings) for goods in frames)
    lines.extend(_accessory_line(goods) for goods in accessories)
    if terms.shipping:
        lines.append(_shipping_line(terms.shipping, pairs))
    return with_tax(lines, terms)


def pair_parts(pair: PairGoods, settings: Settings) -> list[tuple[OrderLine, Charged]]:
    """Give a pair's lines at list price, each with what splits it into charges once it is reduced."""
    return [*_frame_part(pair, settings), *_lens_parts(pair, settings), *_extra_parts(pair)]


def _frame_part(pair: PairGoods, settings: Settings) -> Iterator[tuple[OrderLine, Charged]]:
    frame = pair.frame
    if pair.frame_sold:
        line = _pair_line(pair, LineKind.FRAME, frame.code, frame.description, frame.price)
        yield line, _charged(frame_charges, frame, settings=settings, prescription=pair.made is not None)


def _lens_parts(pair: PairGoods, settings: Settings) -> Iterator[tuple[OrderLine, Charged]]:
    for sold in pair.lenses:
        lens = sold.goods
        words = _for_one(_lens_words(lens, pair), sold.alone)
        line = _pair_line(pair, LineKind.LENSES, lens.code, words, sold.price)
        yield (
            line,
            _charged(lens_charges, lens, pair.made, settings=settings, chosen=pair.chosen_codes, sides=sold.sides),
        )


def _extra_parts(pair: PairGoods) -> Iterator[tuple[OrderLine, Charged]]:
    for sold in pair.extras:
        extra = sold.goods
        line = _pair_line(pair, LineKind.EXTRA, extra.code, _for_one(extra.name, sold.alone), sold.price)
        yield line, _charged(extra_charges, extra, prescription=pair.made is not None, sides=sold.sides)


def _charged(split: Callable[..., tuple[Charge, ...]], *goods: object, **terms: Any) -> Charged:  # noqa: ANN401 - what the split takes
    """Keep what splits a line into charges, until its reduction is known."""
    return lambda line: split(*goods, list_price=line.list_price, reduction=line.reduction, **terms)


def _lens_words(lens: Lens, pair: PairGoods) -> str:
    made_for = _MADE_FOR[pair.use] if pair.made else "without prescription"
    return f"{lens.name}, {made_for}" if made_for else lens.name


def _for_one(words: str, side: Side | None) -> str:
    return words if side is None else f"{words}, {side.value} lens"


def _pair_line(pair: PairGoods, kind: LineKind, code: str, words: str, price: Cents) -> OrderLine:
    state, reason = status(kind, prescription=pair.made is not None)
    return OrderLine(
        kind=kind,
        item_code=code,
        description=words,
        list_price=price,
        reduction=0,
        net=price,
        tax_category=pair.tax_category,
        reimbursement=state,
        reimbursement_reason=reason,
        pair=pair.position,
        wearer_number=pair.wearer_number,
    )


def _frame_line(goods: FrameGoods, settings: Settings) -> OrderLine:
    frame = goods.frame
    return OrderLine(
        kind=LineKind.FRAME,
        item_code=frame.code,
        description=f"{frame.description}, without lenses",
        list_price=frame.price,
        reduction=0,
        net=frame.price,
        tax_category=TaxCategory.NON_PRESCRIPTION,
        reimbursement=Reimbursement.PLAN_DECIDES,
        reimbursement_reason=FRAME_ALONE,
        wearer_number=goods.wearer_number,
        demo_lenses=goods.demo_lenses,
        charges=frame_charges(frame, frame.price, 0, settings),
    )


def _accessory_line(goods: AccessoryGoods) -> OrderLine:
    accessory = goods.accessory
    price = accessory.price * goods.quantity
    state, reason = status(LineKind.ACCESSORY, prescription=False, accessory=accessory)
    return OrderLine(
        kind=LineKind.ACCESSORY,
        item_code=accessory.code,
        description=accessory.name,
        list_price=price,
        reduction=0,
        net=price,
        tax_category=accessory.tax_category,
        reimbursement=state,
        reimbursement_reason=reason,
        quantity=goods.quantity,
        wearer_number=goods.wearer_number,
        charges=(accessory_charge(accessory, goods.quantity, price, 0),),
    )


def _shipping_line(price: Cents, pairs: Sequence[PairGoods]) -> OrderLine:
    state, reason = status(LineKind.SHIPPING, prescription=any(pair.made for pair in pairs))
    return OrderLine(
        kind=LineKind.SHIPPING,
        item_code=SHIPPING_CODE,
        description="Shipping",
        list_price=price,
        reduction=0,
        net=price,
        tax_category=TaxCategory.SHIPPING,
        reimbursement=state,
        reimbursement_reason=reason,
        charges=(shipping_charge(price),),
    )


def with_tax(lines: Sequence[OrderLine], terms: Terms) -> tuple[OrderLine, ...]:
    """Give lines with the tax of the terms' day and place."""
    return taxed(
        lines,
        terms.tax_rates,
        terms.destination,
        terms.day,
        rounding=terms.settings.tax_rounding,
        exempt=terms.tax_exempt,
        beside=terms.beside,
    )
