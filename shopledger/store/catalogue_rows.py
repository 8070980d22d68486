"""Catalogue items to rows and back."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sqlalchemy import Row

from shopledger.ledger.catalogue import (
    Accessory,
    Design,
    Extra,
    ExtraKind,
    Frame,
    Lens,
    Reimbursement,
    TaxCategory,
)
from shopledger.ledger.offers import LineKind, Matches, Offer, OfferKind, Sharing
from shopledger.optics.materials import MaterialClass
from shopledger.store.scales import HUNDREDTHS, TEN_THOUSANDTHS, day_text, parted, read_day, whole


def frame_values(frame: Frame) -> dict[str, object]:
    """Give the columns of a frame, without its code and number."""
    return {
        "maker": frame.maker,
        "model": frame.model,
        "colour": frame.colour,
        "eye_size": whole("eye size", frame.eye_size, HUNDREDTHS),
        "bridge": whole("bridge", frame.bridge, HUNDREDTHS),
        "temple": whole("temple", frame.temple, HUNDREDTHS),
        "price": frame.price,
        "cost": frame.cost,
        "owned_by": frame.owned_by,
    }


def frame_of(row: Row[Any]) -> Frame:
    """Give the frame in a row."""
    return Frame(
        code=row.code,
        maker=row.maker,
        model=row.model,
        colour=row.colour,
        eye_size=parted(row.eye_size, HUNDREDTHS),
        bridge=parted(row.bridge, HUNDREDTHS),
        temple=parted(row.temple, HUNDREDTHS),
        price=row.price,
        cost=row.cost,
        owned_by=row.owned_by,
        number=row.number,
    )


def lens_values(lens: Lens) -> dict[str, object]:
    """Give the columns of a lens, without its code, number and blanks."""
    return {
        "name": lens.name,
        "design": lens.design.value,
        "material": lens.material,
        "material_class": lens.material_class.value,
        "refractive_index": whole("index", lens.index, TEN_THOUSANDTHS),
        "abbe": whole("Abbe number", lens.abbe, HUNDREDTHS),
        "density": whole("density", lens.density, TEN_THOUSANDTHS),
        "price": lens.price,
        "cost": lens.cost,
        "corridor": whole("corridor", lens.corridor, HUNDREDTHS),
        "min_fitting_height": whole("minimum fitting height", lens.min_fitting_height, HUNDREDTHS),
        "min_centre": whole("smallest centre thickness", lens.min_centre, HUNDREDTHS),
        "min_edge": whole("smallest edge thickness", lens.min_edge, HUNDREDTHS),
        "design_part": lens.design_part,
        "material_part": lens.material_part,
    }


def blank_values(lens: Lens) -> list[dict[str, object]]:
    """Give a row for each diameter of a lens."""
    diameters = dict.fromkeys(whole("blank diameter", blank, HUNDREDTHS) for blank in lens.blank_diameters)
    return [{"lens_code": lens.code, "diameter": diameter} for diameter in diameters]


def lens_of(row: Row[Any], blanks: Sequence[int]) -> Lens:
    """Give the lens in a row, with its diameters."""
    return Lens(
        code=row.code,
        name=row.name,
        design=Design(row.design),
        material=row.material,
        material_class=MaterialClass(row.material_class),
        index=parted(row.refractive_index, TEN_THOUSANDTHS),
        abbe=parted(row.abbe, HUNDREDTHS),
        density=parted(row.density, TEN_THOUSANDTHS),
        price=row.price,
        cost=row.cost,
        corridor=parted(row.corridor, HUNDREDTHS),
        min_fitting_height=parted(row.min_fitting_height, HUNDREDTHS),
        blank_diameters=tuple(parted(blank, HUNDREDTHS) for blank in blanks),
        min_centre=parted(row.min_centre, HUNDREDTHS),
        min_edge=parted(row.min_edge, HUNDREDTHS),
        design_part=row.design_part,
        material_part=row.material_part,
        number=row.number,
    )


def extra_values(extra: Extra) -> dict[str, object]:
    """Give the columns of an extra, without its code and number."""
    return {"name": extra.name, "kind": extra.kind.value, "price": extra.price, "cost": extra.cost}


def extra_of(row: Row[Any]) -> Extra:
    """Give the extra in a row."""
    return Extra(row.code, row.name, ExtraKind(row.kind), row.price, row.cost, row.number)


def accessory_values(accessory: Accessory) -> dict[str, object]:
    """Give the columns of an accessory, without its code and number."""
    return {
        "name": accessory.name,
        "price": accessory.price,
        "cost": accessory.cost,
        "tax_category": accessory.tax_category.value,
        "reimbursement": accessory.reimbursement.value,
        "claim_code": accessory.claim_code,
    }


def accessory_of(row: Row[Any]) -> Accessory:
    """Give the accessory in a row."""
    return Accessory(
        row.code,
        row.name,
        row.price,
        row.cost,
        TaxCategory(row.tax_category),
        Reimbursement(row.reimbursement),
        row.claim_code,
        row.number,
    )


def offer_values(offer: Offer) -> dict[str, object]:
    """Give the columns of an offer, without its code, number and matches."""
    return {
        "name": offer.name,
        "kind": offer.kind.value,
        "percent": offer.percent,
        "price": offer.price,
        "sharing": offer.sharing.value,
        "automatic": int(offer.automatic),
        "from_pair": offer.from_pair,
        "starts": day_text(offer.starts),
        "ends": day_text(offer.ends),
    }


def match_values(offer: Offer) -> list[dict[str, object]]:
    """Give a row for each kind of line that an offer needs or reduces."""
    roles = (("needs", offer.needs), ("reduces", offer.reduces))
    return [
        {
            "offer_code": offer.code,
            "role": role,
            "position": place,
            "kind": match.kind.value,
            "design": match.design.value if match.design else None,
            "item_code": match.code,
        }
        for role, matches in roles
        for place, match in enumerate(matches, start=1)
    ]


def offer_of(row: Row[Any], matches: Sequence[Row[Any]]) -> Offer:
    """Give the offer in a row, with its matches in their order."""
    needs, reduces = (tuple(_match(each) for each in matches if each.role == role) for role in ("needs", "reduces"))
    return Offer(
        code=row.code,
        name=row.name,
        kind=OfferKind(row.kind),
        reduces=reduces,
        needs=needs,
        percent=row.percent,
        price=row.price,
        sharing=Sharing(row.sharing),
        automatic=bool(row.automatic),
        from_pair=row.from_pair,
        starts=read_day(row.starts),
        ends=read_day(row.ends),
        number=row.number,
    )


def _match(row: Row[Any]) -> Matches:
    return Matches(LineKind(row.kind), Design(row.design) if row.design else None, row.item_code)
