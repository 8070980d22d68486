"""One eye's power, add and prism as columns, in hundredths as written or in millionths as worked out."""

from __future__ import annotations

from typing import Any

from sqlalchemy import Row

from shopledger.optics.power import SphereCylinder
from shopledger.optics.prescription import EyePrescription
from shopledger.optics.prism import Base, Prism
from shopledger.optics.sides import Side
from shopledger.store.scales import HUNDREDTHS, parted, parted_power, rounded, whole, whole_power


def written_eye(side: Side, eye: EyePrescription) -> dict[str, object]:
    """Give the columns of an eye as written: a value with more decimals than are kept is refused."""
    numbers = {
        name: whole_power(f"{side.value} {name.removesuffix('_power')}", value)
        if name in _POWERS
        else whole(f"{side.value} {name}", value, HUNDREDTHS)
        for name, value in _numbers(eye).items()
    }
    return _values(eye, numbers)


def made_eye(eye: EyePrescription | None, places: int) -> dict[str, object]:
    """Give the columns of an eye as worked out, rounded far below what can be ground; all None where none is made."""
    if eye is None:
        return dict.fromkeys((*_NAMES, "balance", "base_1", "base_2"))
    return _values(eye, {name: rounded(value, places) for name, value in _numbers(eye).items()})


def eye_of(row: Row[Any], places: int) -> EyePrescription | None:
    """Give the eye in a row, or None where the row holds no power."""
    if row.sphere is None:
        return None
    power = SphereCylinder(_power(row.sphere, places), _power(row.cylinder, places), parted(row.axis, places))
    prisms = ((row.prism_1, row.base_1), (row.prism_2, row.base_2))
    return EyePrescription(
        power=power,
        add=None if row.add_power is None else _power(row.add_power, places),
        prism=tuple(Prism(parted(amount, places), Base(base)) for amount, base in prisms if amount is not None),
        balance=bool(row.balance),
    )


_POWERS = frozenset({"sphere", "cylinder", "add_power"})
_NAMES = ("sphere", "cylinder", "axis", "add_power", "prism_1", "prism_2")


def _numbers(eye: EyePrescription) -> dict[str, float | None]:
    amounts = [prism.amount for prism in eye.prism]
    first, second = (*amounts, None, None)[:2]
    power = eye.power
    return dict(zip(_NAMES, (power.sphere, power.cylinder, power.axis, eye.add, first, second), strict=True))


def _power(stored: int, places: int) -> float:
    """Give a power back: written ones keep their eighths, worked out ones are finer anyway."""
    return parted_power(stored) if places == HUNDREDTHS else parted(stored, places)


def _values(eye: EyePrescription, numbers: dict[str, int | None]) -> dict[str, object]:
    bases = [prism.base.value for prism in eye.prism]
    first, second = (*bases, None, None)[:2]
    return {**numbers, "balance": int(eye.balance), "base_1": first, "base_2": second}
