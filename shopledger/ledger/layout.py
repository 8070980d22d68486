"""Laying a lens into a traced frame: where its optical centre stands, which blank, how thick it comes out.

All figures are those of `shopledger.optics`; here they are only put together for one catalogue lens.
"""

from __future__ import annotations

from dataclasses import dataclass

from shopledger.ledger.catalogue import Lens
from shopledger.ledger.settings import Settings
from shopledger.optics.base_curve import pair_base_curve
from shopledger.optics.body import LensBody, lens_body
from shopledger.optics.boxing import Boxed, box
from shopledger.optics.fitting import minimum_blank, rule_of_thumb_blank
from shopledger.optics.measurements import EyeMeasurements, Measurements
from shopledger.optics.pair_checks import placement
from shopledger.optics.prescription import EyePrescription, LensUse, Prescription
from shopledger.optics.refusals import ImpossibleLensError
from shopledger.optics.sides import Side
from shopledger.optics.trace import FrameTrace


@dataclass(frozen=True, slots=True)
class EyeLayout:
    """One lens in its frame. Distances in mm; inward and upward are positive, from the boxed centre."""

    side: Side
    power: EyePrescription
    boxed: Boxed
    decentration_in: float
    offset_up: float
    blank_needed: float
    """Smallest blank that covers the shape exactly, allowance included."""
    blank_by_rule: float
    """The rule of thumb beside it (common practice)."""
    blank: float | None
    """The smallest of the maker's diameters that covers; None where none does or none is known."""
    body: LensBody | None
    """None where the lens cannot be made; `refusal` says why."""
    refusal: str = ""


@dataclass(frozen=True, slots=True)
class PairLayout:
    """Both lenses of one catalogue lens in one frame."""

    lens: Lens
    base_curve: float
    right: EyeLayout
    left: EyeLayout

    @property
    def eyes(self) -> tuple[EyeLayout, EyeLayout]:
        """Right, then left."""
        return self.right, self.left

    @property
    def makeable(self) -> bool:
        """Whether both lenses can be made."""
        return all(eye.body is not None for eye in self.eyes)

    @property
    def thickest(self) -> float | None:
        """The thickest edge of the two, in mm."""
        bodies = [eye.body for eye in self.eyes if eye.body is not None]
        return max(body.thickest for body in bodies) if self.makeable else None

    @property
    def weight(self) -> float | None:
        """Both lenses together, in grams."""
        bodies = [eye.body for eye in self.eyes if eye.body is not None]
        return sum(body.weight_g for body in bodies) if self.makeable else None


def lay_out(
    lens: Lens, made: Prescription, shape: FrameTrace, measurements: Measurements, use: LensUse, settings: Settings
) -> PairLayout:
    """Lay both lenses into the frame; a lens that cannot be made says why instead of its thickness."""
    curve = pair_base_curve(made.right.power, made.left.power)
    right, left = (
        _eye(lens, made.eye(side), side, shape, measurements.eye(side), use, settings, curve)
        for side in (Side.RIGHT, Side.LEFT)
    )
    return PairLayout(lens, curve, right, left)


def _eye(
    lens: Lens,
    power: EyePrescription,
    side: Side,
    shape: FrameTrace,
    measured: EyeMeasurements,
    use: LensUse,
    settings: Settings,
    curve: float,
) -> EyeLayout:
    trace = shape.eye(side)
    boxed = box(trace)
    where = placement(trace, shape.dbl, measured, use)
    needed = minimum_blank(trace, *where.centre, settings.blank_allowance)
    body, refusal = None, ""
    try:
        body = lens_body(
            power.power, trace, where.centre, lens.index, curve, lens.min_centre, lens.min_edge, lens.density
        )
    except ImpossibleLensError as error:
        refusal = str(error)
    return EyeLayout(
        side=side,
        power=power,
        boxed=boxed,
        decentration_in=where.inward,
        offset_up=where.upward,
        blank_needed=needed,
        blank_by_rule=rule_of_thumb_blank(boxed.ed, where.inward, settings.blank_allowance),
        blank=next((diameter for diameter in lens.blank_diameters if diameter >= needed), None),
        body=body,
        refusal=refusal,
    )
