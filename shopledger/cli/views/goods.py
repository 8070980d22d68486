"""Frames, lenses, extras, accessories, offers and tax rates, shown."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any, NamedTuple

from shopledger.cli.output import Block, Column, Fields, Json, Table, show
from shopledger.cli.views.figures import Outside, day, mm, money, toward
from shopledger.desk import goods
from shopledger.desk.context import Desk
from shopledger.ledger.canonical import Shape
from shopledger.ledger.catalogue import Accessory, Extra, Frame, Lens
from shopledger.ledger.offers import Offer, OfferKind
from shopledger.ledger.taxes import ImposedOn, RateSpan, TaxRate, spans
from shopledger.money.amount import write_amount
from shopledger.money.rate import write_rate

PRICE = Column("price", right=True)
CODE = Column("code", whole=True)


OUT = Outside(
    {
        Frame: Shape(left_out={"number", "owned_by"}),
        Lens: Shape(left_out={"number"}),
        Extra: Shape(left_out={"number"}),
        Accessory: Shape(left_out={"number"}),
        Offer: Shape(
            first=("code", "name", "kind", "needs"),
            left_out={"number"},
            made={
                "percent": lambda offer: write_rate(offer.percent) if offer.kind is OfferKind.PERCENT else None,
                "price": lambda offer: money(offer.price) if offer.kind is OfferKind.PACKAGE else None,
            },
        ),
        TaxRate: Shape(renamed={"valid_from": "from", "valid_to": "to"}),
    }
)


def frame_data(frame: Frame, on_hand: int) -> dict[str, Json]:
    """Give a frame as JSON, with how many are on hand."""
    return {**OUT.of(frame), "on_hand": on_hand, "owned_by": frame.owned_by}


def accessory_data(accessory: Accessory, on_hand: int) -> dict[str, Json]:
    """Give an accessory as JSON, with how many are on hand."""
    return {**OUT.of(accessory), "on_hand": on_hand}


def frame_table(frames: Sequence[tuple[Frame, int]]) -> Table:
    """Give frames for reading."""
    columns = (
        CODE,
        Column("frame"),
        Column("colour"),
        Column("size", whole=True),
        PRICE,
        Column("on hand", right=True),
    )
    rows = [
        (each.code, f"{each.maker} {each.model}", each.colour, _size(each), write_amount(each.price), str(count))
        for each, count in frames
    ]
    return Table("Frames", columns, rows, "none yet.")


def frame_fields(frame: Frame, on_hand: int) -> Fields:
    """Give one frame for reading."""
    rows = (
        ("code", frame.code),
        ("size", f"{_size(frame)} mm"),
        ("price", write_amount(frame.price)),
        ("cost", write_amount(frame.cost)),
        ("on hand", "" if frame.owned_by else str(on_hand)),
        ("owned by customer", str(frame.owned_by or "")),
    )
    return Fields(f"{frame.maker} {frame.model}, {frame.colour}", rows)


def lens_table(lenses: Sequence[Lens]) -> Table:
    """Give lenses for reading."""
    columns = (CODE, Column("lens"), Column("design"), Column("material"), PRICE)
    rows = [(each.code, each.name, _design(each), each.material, write_amount(each.price)) for each in lenses]
    return Table("Lenses, price for a pair", columns, rows, "none yet.")


def lens_fields(lens: Lens) -> Fields:
    """Give one lens for reading."""
    rows = (
        ("code", lens.code),
        ("design", lens.design.value),
        ("material", f"{lens.material} ({lens.material_class.value})"),
        ("index", f"{lens.index:g}"),
        ("Abbe number", f"{lens.abbe:g}"),
        ("density", f"{lens.density:g} g/cm³"),
        ("price for a pair", write_amount(lens.price)),
        ("of it for the design", write_amount(lens.design_part) if lens.design_part else ""),
        ("of it for the material", write_amount(lens.material_part) if lens.material_part else ""),
        ("cost", write_amount(lens.cost)),
        ("corridor", _with_mm(lens.corridor)),
        ("minimum fitting height", _with_mm(lens.min_fitting_height)),
        ("maximum fitting height", _with_mm(lens.max_fitting_height)),
        ("segment", segment_words(lens)),
        ("fitting point on the blank", _on_the_blank(lens)),
        ("distance centre above the segment", _with_mm(lens.distance_up)),
        ("equal thinning prism", {None: "", True: "yes", False: "no"}[lens.thinning_prism]),
        ("blank diameters", ", ".join(map(mm, lens.blank_diameters))),
        ("least centre", _with_mm(lens.min_centre)),
        ("least edge", _with_mm(lens.min_edge)),
    )
    return Fields(lens.name, rows)


def segment_words(lens: Lens) -> str:
    """Say what a lens's segment looks like, as far as the catalogue knows."""
    shape = lens.segment_shape.value if lens.segment_shape else ""
    strip = f"intermediate {lens.intermediate_depth:g} mm" if lens.intermediate_depth is not None else ""
    return ", ".join(each for each in (shape, _with_mm(lens.segment_width), strip) if each)


def _design(lens: Lens) -> str:
    segment = segment_words(lens)
    return f"{lens.design.value}, {segment}" if segment else lens.design.value


def _on_the_blank(lens: Lens) -> str:
    across = "" if lens.fitting_in is None else toward(lens.fitting_in, "inward", "outward")
    up = "" if lens.fitting_up is None else toward(lens.fitting_up, "above the middle", "below the middle")
    return ", ".join(each for each in (across, up) if each)


def extra_table(extras: Sequence[Extra]) -> Table:
    """Give extras for reading."""
    rows = [(each.code, each.name, each.kind.value, write_amount(each.price)) for each in extras]
    return Table("Extras, price for a pair", (CODE, Column("extra"), Column("kind"), PRICE), rows, "none yet.")


def accessory_table(accessories: Sequence[tuple[Accessory, int]]) -> Table:
    """Give accessories for reading."""
    columns = (CODE, Column("accessory"), Column("tax category"), PRICE, Column("on hand", right=True))
    rows = [
        (each.code, each.name, each.tax_category.value, write_amount(each.price), str(count))
        for each, count in accessories
    ]
    return Table("Accessories", columns, rows, "none yet.")


def offer_table(offers: Sequence[Offer]) -> Table:
    """Give offers for reading."""
    columns = (CODE, Column("offer"), Column("what it does"), Column("tried"), Column("until", whole=True))
    rows = [
        (each.code, each.name, each.words, "always" if each.automatic else "when named", day(each.ends))
        for each in offers
    ]
    return Table("Offers", columns, rows, "none yet.")


def offer_fields(offer: Offer) -> Fields:
    """Give one offer for reading."""
    rows = (
        ("code", offer.code),
        ("what it does", offer.words),
        ("needs", ", ".join(each.words for each in offer.needs)),
        ("reduces", ", ".join(each.words for each in offer.reduces)),
        ("shared over", offer.sharing.value),
        ("tried", "on every order" if offer.automatic else "only where it is named"),
        ("from pair", str(offer.from_pair) if offer.from_pair > 1 else ""),
        ("starts", day(offer.starts)),
        ("ends", day(offer.ends)),
    )
    return Fields(offer.name, rows)


def tax_table(rates: Sequence[TaxRate]) -> Table:
    """Give tax rates for reading: which counts from when to when; what no rate says has no column."""
    columns: Mapping[Column, Callable[[RateSpan], str]] = {
        Column("where", whole=True): lambda span: span.rate.whole_place,
        Column("category", whole=True): lambda span: span.rate.category.value,
        Column("rate", right=True): lambda span: span.rate.words,
        Column("from", whole=True): lambda span: day(span.first),
        Column("to", whole=True): lambda span: day(span.last),
        Column("laid on"): lambda span: "the shop" if span.rate.imposed_on is ImposedOn.SELLER else "",
        Column("exempt because"): lambda span: span.rate.exempt_reason,
        Column("ZIP codes"): lambda span: span.rate.zips,
    }
    listed = list(spans(rates))
    shown = {column: get for column, get in columns.items() if not listed or any(get(span) for span in listed)}
    rows = [tuple(get(span) for get in shown.values()) for span in listed]
    return Table("Sales tax", tuple(shown), rows, "no rate is set, so none is charged.")


def _size(frame: Frame) -> str:
    return f"{frame.eye_size:g}-{frame.bridge:g}-{frame.temple:g}"


def _with_mm(length: float | None) -> str:
    return "" if length is None else f"{length:g} mm"


def on_hand_fields(code: str, on_hand: int) -> Fields:
    """Give one count for reading."""
    return Fields("", ((code, f"{on_hand} on hand"),))


class Goods(NamedTuple):
    """How one kind of goods is found, listed and shown, which is alike for all of them."""

    many: str
    found: Callable[[Desk, str], Any]
    listed: Callable[[Desk], Sequence[Any]]
    data: Callable[[Any], dict[str, Json]]
    blocks: Callable[[Any], Block]
    table: Callable[[Sequence[Any]], Table]

    def show(self, as_json: bool, one: Any) -> None:
        """Show one of them, as the desk gives it."""
        show(as_json, self.data(one), self.blocks(one))

    def list(self, as_json: bool, desk: Desk) -> None:
        """Show all of them."""
        found = self.listed(desk)
        show(as_json, {self.many: [self.data(each) for each in found]}, self.table(found))


FRAMES = Goods(
    "frames",
    goods.FRAMES.called,
    goods.FRAMES.all,
    lambda one: frame_data(*one),
    lambda one: frame_fields(*one),
    frame_table,
)
LENSES = Goods("lenses", goods.LENSES.called, goods.LENSES.all, OUT.of, lens_fields, lens_table)
EXTRAS = Goods(
    "extras",
    goods.EXTRAS.called,
    goods.EXTRAS.all,
    OUT.of,
    lambda one: extra_table((one,)),
    extra_table,
)
ACCESSORIES = Goods(
    "accessories",
    goods.ACCESSORIES.called,
    goods.ACCESSORIES.all,
    lambda one: accessory_data(*one),
    lambda one: accessory_table((one,)),
    accessory_table,
)
OFFERS = Goods("offers", goods.OFFERS.called, goods.OFFERS.all, OUT.of, offer_fields, offer_table)

GOODS = {each.many: each for each in (FRAMES, LENSES, EXTRAS, ACCESSORIES, OFFERS)}
"""All kinds of goods in the catalogue, by the key under which they are listed."""

KEPT: Mapping[str, goods.CountedGoods[Any] | goods.Goods[Any]] = {
    "frames": goods.FRAMES,
    "lenses": goods.LENSES,
    "extras": goods.EXTRAS,
    "accessories": goods.ACCESSORIES,
}
"""What is done with those that can be changed."""
