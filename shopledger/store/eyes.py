"""One eye's power, add and prism as a row holds them: as written in a prescription, or as worked out for a lens."""

from __future__ import annotations

from dataclasses import dataclass

from shopledger.optics.power import SphereCylinder
from shopledger.optics.prescription import EyePrescription
from shopledger.optics.prism import Base, Prism


@dataclass(frozen=True, slots=True)
class KeptEye:
    """The columns of one eye, with at most two prisms in the order written; nothing in any where no lens is made."""

    sphere: float | None = None
    cylinder: float | None = None
    axis: float | None = None
    add_power: float | None = None
    balance: bool | None = None
    prism_1: float | None = None
    base_1: Base | None = None
    prism_2: float | None = None
    base_2: Base | None = None

    @classmethod
    def of(cls, eye: EyePrescription | None) -> KeptEye:
        """Give an eye's columns."""
        if eye is None:
            return cls()
        power, prisms = eye.power, (part for prism in eye.prism for part in (prism.amount, prism.base))
        return cls(power.sphere, power.cylinder, power.axis, eye.add, eye.balance, *prisms)  # type: ignore[arg-type]  # amounts and bases in turns

    @property
    def eye(self) -> EyePrescription | None:
        """The eye in the columns, or None where they hold no power."""
        if self.sphere is None or self.cylinder is None:
            return None
        prisms = ((self.prism_1, self.base_1), (self.prism_2, self.base_2))
        return EyePrescription(
            power=SphereCylinder(self.sphere, self.cylinder, self.axis),
            add=self.add_power,
            prism=tuple(Prism(amount, base) for amount, base in prisms if amount is not None and base is not None),
            balance=bool(self.balance),
        )
