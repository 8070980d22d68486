"""The parts of an order to rows and back: pairs with both eyes, lines, charges."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sqlalchemy import Row

from shopledger.ledger.catalogue import Reimbursement, TaxCategory
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import Charge, DemoLenses, OrderLine, Pair
from shopledger.ledger.taxes import ImposedOn
from shopledger.optics.measurements import EyeMeasurements, Measurements
from shopledger.optics.prescription import LensUse, Prescription
from shopledger.optics.sides import Side
from shopledger.store.powers import eye_of, made_eye
from shopledger.store.scales import MILLIONTHS, THOUSANDTHS, parted, whole


def pair_values(order_number: int, pair: Pair) -> dict[str, object]:
    """Give the columns of a pair, without its extras and eyes."""
    return {
        "job_number": pair.job_number,
        "order_number": order_number,
        "position": pair.position,
        "wearer_number": pair.wearer_number,
        "frame_code": pair.frame_code,
        "lens_code": pair.lens_code,
        "lens_use": pair.use.value,
        "prescription_number": pair.prescription_number,
        "pd_given": pair.measurements.pd_given if pair.measurements else None,
        "note": pair.note,
    }


def extra_values(pair: Pair) -> list[dict[str, object]]:
    """Give a row for each extra on a pair."""
    return [
        {"job_number": pair.job_number, "position": place, "extra_code": code}
        for place, code in enumerate(pair.extras, start=1)
    ]


def eye_values(pair: Pair) -> list[dict[str, object]]:
    """Give a row for each eye of a pair: the power to make, and the measurements."""
    return [
        {
            "job_number": pair.job_number,
            "side": side.value,
            **made_eye(pair.made.eye(side) if pair.made else None, MILLIONTHS),
            **_measured(pair.measurements.eye(side) if pair.measurements else None, side),
        }
        for side in Side
    ]


def pair_of(row: Row[Any], extras: Sequence[Row[Any]], eyes: Sequence[Row[Any]]) -> Pair:
    """Give the pair in a row, with its extras and eyes."""
    by_side = {eye.side: eye for eye in eyes}
    right, left = by_side[Side.RIGHT.value], by_side[Side.LEFT.value]
    return Pair(
        position=row.position,
        wearer_number=row.wearer_number,
        frame_code=row.frame_code,
        lens_code=row.lens_code,
        use=LensUse(row.lens_use),
        extras=tuple(extra.extra_code for extra in sorted(extras, key=lambda extra: extra.position)),
        prescription_number=row.prescription_number,
        made=_made(right, left),
        measurements=_measurements(row.pd_given, right, left),
        note=row.note,
        job_number=row.job_number,
    )


def line_values(order_number: int, position: int, line: OrderLine) -> dict[str, object]:
    """Give the columns of a line, without its charges."""
    return {
        "order_number": order_number,
        "position": position,
        "kind": line.kind.value,
        "item_code": line.item_code,
        "description": line.description,
        "list_price": line.list_price,
        "reduction": line.reduction,
        "net": line.net,
        "tax_category": line.tax_category.value,
        "reimbursement": line.reimbursement.value,
        "reimbursement_reason": line.reimbursement_reason,
        "tax_rate": line.tax_rate,
        "tax": line.tax,
        "quantity": line.quantity,
        "pair": line.pair,
        "wearer_number": line.wearer_number,
        "offer_code": line.offer_code,
        "tax_imposed_on": line.tax_imposed_on.value,
        "tax_reason": line.tax_reason,
        "demo_lenses": line.demo_lenses.value if line.demo_lenses else None,
    }


def line_of(row: Row[Any], charges: Sequence[Row[Any]]) -> OrderLine:
    """Give the line in a row, with its charges."""
    return OrderLine(
        kind=LineKind(row.kind),
        item_code=row.item_code,
        description=row.description,
        list_price=row.list_price,
        reduction=row.reduction,
        net=row.net,
        tax_category=TaxCategory(row.tax_category),
        reimbursement=Reimbursement(row.reimbursement),
        reimbursement_reason=row.reimbursement_reason,
        tax_rate=row.tax_rate,
        tax=row.tax,
        quantity=row.quantity,
        pair=row.pair,
        wearer_number=row.wearer_number,
        offer_code=row.offer_code,
        tax_imposed_on=ImposedOn(row.tax_imposed_on),
        tax_reason=row.tax_reason,
        demo_lenses=DemoLenses(row.demo_lenses) if row.demo_lenses else None,
        charges=tuple(_charge(charge) for charge in charges),
    )


def charge_values(order_number: int, line: int, sold: OrderLine) -> list[dict[str, object]]:
    """Give a row for each charge of a line."""
    return [
        {
            "order_number": order_number,
            "line": line,
            "position": place,
            "description": charge.description,
            "side": charge.side.value if charge.side else None,
            "code": charge.code,
            "list_price": charge.list_price,
            "reduction": charge.reduction,
            "net": charge.net,
            "units": charge.units,
            "note": charge.note,
            "chosen": int(charge.chosen),
            "release": charge.release,
        }
        for place, charge in enumerate(sold.charges, start=1)
    ]


def _charge(row: Row[Any]) -> Charge:
    return Charge(
        description=row.description,
        side=Side(row.side) if row.side else None,
        code=row.code,
        list_price=row.list_price,
        reduction=row.reduction,
        net=row.net,
        units=row.units,
        note=row.note,
        chosen=bool(row.chosen),
        release=row.release,
    )


def _made(right: Row[Any], left: Row[Any]) -> Prescription | None:
    powers = eye_of(right, MILLIONTHS), eye_of(left, MILLIONTHS)
    return Prescription(powers[0], powers[1]) if powers[0] and powers[1] else None


def _measured(eye: EyeMeasurements | None, side: Side) -> dict[str, object]:
    return {
        name: whole(f"{side.value} {name.replace('_', ' ')}", getattr(eye, name) if eye else None, THOUSANDTHS)
        for name in ("mono_pd", "near_pd", "fitting_height")
    }


def _measurements(pd_given: str | None, right: Row[Any], left: Row[Any]) -> Measurements | None:
    if pd_given is None:
        return None
    return Measurements(_eye(right), _eye(left), "binocular" if pd_given == "binocular" else "monocular")


def _eye(row: Row[Any]) -> EyeMeasurements:
    return EyeMeasurements(
        parted(row.mono_pd, THOUSANDTHS), parted(row.near_pd, THOUSANDTHS), parted(row.fitting_height, THOUSANDTHS)
    )
