"""Frames, lenses, extras, accessories, offers and tax rates, shown."""

from __future__ import annotations

from collections.abc import Sequence

from shopledger.cli.output import Column, Fields, Json, Table
from shopledger.cli.views.figures import day, mm, money
from shopledger.ledger.catalogue import Accessory, Extra, Frame, Lens
from shopledger.ledger.offers import Matches, Offer, OfferKind
from shopledger.ledger.taxes import TaxRate
from shopledger.money.amount import write_amount
from shopledger.money.rate import write_rate

PRICE = Column("price", right=True)
CODE = Column("code", whole=True)


def frame_data(frame: Frame, on_hand: int) -> dict[str, Json]:
    """Give a frame as JSON."""
    return {
        "code": frame.code,
        "maker": frame.maker,
        "model": frame.model,
        "colour": frame.colour,
        "eye_size": frame.eye_size,
        "bridge": frame.bridge,
        "temple": frame.temple,
        "price": money(frame.price),
        "cost": money(frame.cost),
        "on_hand": on_hand,
        "owned_by": frame.owned_by,
    }


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


def lens_data(lens: Lens) -> dict[str, Json]:
    """Give a lens as JSON."""
    return {
        "code": lens.code,
        "name": lens.name,
        "design": lens.design.value,
        "material": lens.material,
        "material_class": lens.material_class.value,
        "index": lens.index,
        "abbe": lens.abbe,
        "density": lens.density,
        "price": money(lens.price),
        "cost": money(lens.cost),
        "corridor": lens.corridor,
        "min_fitting_height": lens.min_fitting_height,
        "blank_diameters": list(lens.blank_diameters),
        "min_centre": lens.min_centre,
        "min_edge": lens.min_edge,
        "design_part": money(lens.design_part),
        "material_part": money(lens.material_part),
    }


def lens_table(lenses: Sequence[Lens]) -> Table:
    """Give lenses for reading."""
    columns = (CODE, Column("lens"), Column("design"), Column("material"), PRICE)
    rows = [(each.code, each.name, each.design.value, each.material, write_amount(each.price)) for each in lenses]
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
        ("blank diameters", ", ".join(map(mm, lens.blank_diameters))),
        ("least centre", _with_mm(lens.min_centre)),
        ("least edge", _with_mm(lens.min_edge)),
    )
    return Fields(lens.name, rows)


def extra_data(extra: Extra) -> dict[str, Json]:
    """Give an extra as JSON."""
    return {
        "code": extra.code,
        "name": extra.name,
        "kind": extra.kind.value,
        "price": money(extra.price),
        "cost": money(extra.cost),
    }


def extra_table(extras: Sequence[Extra]) -> Table:
    """Give extras for reading."""
    rows = [(each.code, each.name, each.kind.value, write_amount(each.price)) for each in extras]
    return Table("Extras, price for a pair", (CODE, Column("extra"), Column("kind"), PRICE), rows, "none yet.")


def accessory_data(accessory: Accessory, on_hand: int) -> dict[str, Json]:
    """Give an accessory as JSON."""
    return {
        "code": accessory.code,
        "name": accessory.name,
        "price": money(accessory.price),
        "cost": money(accessory.cost),
        "tax_category": accessory.tax_category.value,
        "reimbursement": accessory.reimbursement.value,
        "claim_code": accessory.claim_code,
        "on_hand": on_hand,
    }


def accessory_table(accessories: Sequence[tuple[Accessory, int]]) -> Table:
    """Give accessories for reading."""
    columns = (CODE, Column("accessory"), Column("tax category"), PRICE, Column("on hand", right=True))
    rows = [
        (each.code, each.name, each.tax_category.value, write_amount(each.price), str(count))
        for each, count in accessories
    ]
    return Table("Accessories", columns, rows, "none yet.")


def offer_data(offer: Offer) -> dict[str, Json]:
    """Give an offer as JSON."""
    return {
        "code": offer.code,
        "name": offer.name,
        "kind": offer.kind.value,
        "needs": [_matches(match) for match in offer.needs],
        "reduces": [_matches(match) for match in offer.reduces],
        "percent": write_rate(offer.percent) if offer.kind is OfferKind.PERCENT else None,
        "price": money(offer.price) if offer.kind is OfferKind.PACKAGE else None,
        "sharing": offer.sharing.value,
        "automatic": offer.automatic,
        "from_pair": offer.from_pair,
        "starts": day(offer.starts) or None,
        "ends": day(offer.ends) or None,
    }


def offer_table(offers: Sequence[Offer]) -> Table:
    """Give offers for reading."""
    columns = (CODE, Column("offer"), Column("what it does"), Column("tried"), Column("until", whole=True))
    rows = [
        (each.code, each.name, offer_words(each), "always" if each.automatic else "when named", day(each.ends))
        for each in offers
    ]
    return Table("Offers", columns, rows, "none yet.")


def offer_fields(offer: Offer) -> Fields:
    """Give one offer for reading."""
    rows = (
        ("code", offer.code),
        ("what it does", offer_words(offer)),
        ("needs", ", ".join(map(_match_words, offer.needs))),
        ("reduces", ", ".join(map(_match_words, offer.reduces))),
        ("shared over", offer.sharing.value),
        ("tried", "on every order" if offer.automatic else "only where it is named"),
        ("from pair", str(offer.from_pair) if offer.from_pair > 1 else ""),
        ("starts", day(offer.starts)),
        ("ends", day(offer.ends)),
    )
    return Fields(offer.name, rows)


def offer_words(offer: Offer) -> str:
    """Say what an offer does."""
    reduced = " and ".join(map(_match_words, offer.reduces))
    if offer.kind is OfferKind.INCLUDED:
        return f"{reduced} included"
    if offer.kind is OfferKind.PERCENT:
        return f"{write_rate(offer.percent)} off {reduced}"
    return f"{write_amount(offer.price)} together"


def tax_data(rate: TaxRate) -> dict[str, Json]:
    """Give a tax rate as JSON."""
    return {
        "state": rate.state,
        "category": rate.category.value,
        "rate": write_rate(rate.rate),
        "from": day(rate.valid_from),
        "imposed_on": rate.imposed_on.value,
        "exempt_reason": rate.exempt_reason,
    }


def tax_table(rates: Sequence[TaxRate]) -> Table:
    """Give tax rates for reading."""
    rows = [
        (
            *(rate.state, rate.category.value, write_rate(rate.rate), day(rate.valid_from)),
            *(rate.imposed_on.value, rate.exempt_reason),
        )
        for rate in rates
    ]
    columns = (
        *(Column("state"), Column("category"), Column("rate", right=True), Column("from", whole=True)),
        *(Column("laid on"), Column("exempt because")),
    )
    return Table("Sales tax", columns, rows, "no rate is set, so none is charged.")


def _size(frame: Frame) -> str:
    return f"{frame.eye_size:g}-{frame.bridge:g}-{frame.temple:g}"


def _with_mm(length: float | None) -> str:
    return "" if length is None else f"{length:g} mm"


def _matches(match: Matches) -> dict[str, Json]:
    return {
        "kind": match.kind.value,
        "design": match.design.value if match.design else None,
        "code": match.code,
    }


def _match_words(match: Matches) -> str:
    words = [match.design.value] if match.design else []
    return " ".join([*words, match.kind.value, *([match.code] if match.code else [])])


def on_hand_fields(code: str, on_hand: int) -> Fields:
    """Give one count for reading."""
    return Fields("", ((code, f"{on_hand} on hand"),))
