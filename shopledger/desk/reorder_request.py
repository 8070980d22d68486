"""What the owner asks for when a customer writes for new lenses."""

from __future__ import annotations

from dataclasses import dataclass, field

from shopledger.optics.measurements import Measurements
from shopledger.optics.prescription import LensUse


@dataclass(frozen=True, slots=True)
class ReorderRequest:
    """What the owner says when a customer writes for new lenses; empty means as on the last pair."""

    customer: str
    wearer: str
    frame: str = ""
    lens: str = ""
    use: LensUse | None = None
    prescription: int | None = None
    extras: tuple[str, ...] | None = None
    measurements: Measurements | None = None
    right_code: str = ""
    left_code: str = ""
    """Claim code chosen by the owner for a lens, where the published bands leave a gap or overlap."""
    accept: frozenset[str] = field(default_factory=frozenset)
