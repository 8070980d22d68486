"""Laying a lens into a traced frame: where its optical centre stands, which blank, how thick it comes out.

All figures are those of `shopledger.optics`; here they are only put together for one catalogue lens. Prescribed prism
is surfaced into the lens: it changes thickness and weight, but not the blank's diameter, since the reference point
stays in the blank's middle.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from shopledger.ledger.catalogue import Lens, use_of_lens
from shopledger.ledger.settings import Settings
from shopledger.optics.base_curve import pair_base_curve
from shopledger.optics.body import LensBody, lens_body
from shopledger.optics.boxing import Boxed, box
from shopledger.optics.centring import rule_of_thumb_blank
from shopledger.optics.fitting import minimum_blank
from shopledger.optics.measurements import EyeMeasurements, Measurements
from shopledger.optics.pair_checks import Placement, Places, places
from shopledger.optics.prescription import EyePrescription, LensUse, Prescription
from shopledger.optics.prism import combine
from shopledger.optics.refusals import ImpossibleLensError
from shopledger.optics.segments import BlankMarks
from shopledger.optics.sides import Side
from shopledger.optics.trace import FrameTrace, Trace


@dataclass(frozen=True, slots=True)
class EyeLayout:
    """One lens in its frame. Distances in mm; inward and upward are positive, from the boxed centre."""

    side: Side
    lens: Lens
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

    fitting: Placement | None = None
    """Where the segment's top or the fitting cross of a multifocal stands."""
    middle: Placement | None = None
    """Where the middle of the blank stands, where that is not the optical centre."""

    @property
    def lined(self) -> bool:
        """Whether it is a segment that is fitted, by the near PD."""
        return self.lens.lined

    @property
    def assumed(self) -> bool:
        """Whether the catalogue does not say where the fitting point stands on its blank."""
        return self.lens.marks is not None and not self.lens.marks.placed

    @property
    def fitted(self) -> Placement:
        """Where that stands by which the lens is set before the eye."""
        return self.fitting or Placement(*self.centre)

    @property
    def level(self) -> Placement:
        """Where the wearer looks through into the distance, at the height that is measured: of a segment, its top."""
        return Placement(self.decentration_in if self.lined else self.fitted.inward, self.fitted.upward)

    @property
    def blank_middle(self) -> Placement:
        """Where the middle of the blank stands."""
        return self.middle or Placement(*self.centre)

    @property
    def centre(self) -> tuple[float, float]:
        """Where the optical centre stands from the boxed centre: inward, upward [mm]."""
        return self.decentration_in, self.offset_up


@dataclass(frozen=True, slots=True)
class PairLayout:
    """The lenses of a pair in one frame: of one catalogue lens, or each its own."""

    lens: Lens
    base_curve: float
    right: EyeLayout
    left: EyeLayout
    sides: tuple[Side, ...] = tuple(Side)
    """The eyes for which a lens is made."""

    @property
    def eyes(self) -> tuple[EyeLayout, ...]:
        """Those that are made, right first."""
        return tuple(self.eye(side) for side in self.sides)

    def eye(self, side: Side) -> EyeLayout:
        """Give the layout of one eye."""
        return self.right if side is Side.RIGHT else self.left

    @property
    def makeable(self) -> bool:
        """Whether each lens can be made."""
        return all(eye.body is not None for eye in self.eyes)

    @property
    def thickest(self) -> float | None:
        """The thickest edge, in mm."""
        bodies = [eye.body for eye in self.eyes if eye.body is not None]
        return max(body.thickest for body in bodies) if self.makeable else None

    @property
    def thinnest(self) -> float | None:
        """The thinnest edge, in mm."""
        bodies = [eye.body for eye in self.eyes if eye.body is not None]
        return min(body.thinnest for body in bodies) if self.makeable else None

    @property
    def centre(self) -> float | None:
        """The thickest centre, in mm."""
        bodies = [eye.body for eye in self.eyes if eye.body is not None]
        return max(body.centre_thickness for body in bodies) if self.makeable else None

    @property
    def weight(self) -> float | None:
        """All lenses that are made together, in grams."""
        bodies = [eye.body for eye in self.eyes if eye.body is not None]
        return sum(body.weight_g for body in bodies) if self.makeable else None


@dataclass(frozen=True, slots=True)
class _Place:
    """What of one eye's lens stands where in its shape, and which blank that takes."""

    trace: Trace
    boxed: Boxed
    where: Places
    blank_needed: float
    blank_by_rule: float


def lay_out(
    lenses: Mapping[Side, Lens],
    made: Prescription,
    shape: FrameTrace,
    measurements: Measurements,
    use: LensUse,
    settings: Settings,
    sides: tuple[Side, ...] = tuple(Side),
) -> PairLayout:
    """Lay each eye's lens into the frame; a lens that cannot be made says why instead of its thickness."""
    curve = pair_base_curve(made.right.power, made.left.power)

    def laid(side: Side) -> EyeLayout:
        lens = lenses[side]
        for_lens = use_of_lens(lens, use)
        place = _place(shape.eye(side), shape.dbl, measurements.eye(side), for_lens, settings, lens.marks)
        return _eye(lens, made.eye(side), place, curve)

    right, left = map(laid, Side)
    return PairLayout(lenses[sides[0]], curve, right, left, sides)


def lay_out_each(
    lenses: Sequence[Lens],
    made: Prescription,
    shape: FrameTrace,
    measurements: Measurements,
    use: LensUse,
    settings: Settings,
) -> tuple[PairLayout, ...]:
    """Lay several catalogue lenses into the same frame, so that they can be compared."""
    curve = pair_base_curve(made.right.power, made.left.power)
    # Lenses whose fitting point stands alike on the blank stand alike in the shape.
    found: dict[BlankMarks | None, list[_Place]] = {}
    for marks in dict.fromkeys(lens.marks for lens in lenses):
        found[marks] = [
            _place(shape.eye(side), shape.dbl, measurements.eye(side), use, settings, marks) for side in Side
        ]
    laid = ((lens, [_eye(lens, made.eye(at.trace.side), at, curve) for at in found[lens.marks]]) for lens in lenses)
    return tuple(PairLayout(lens, curve, right, left) for lens, (right, left) in laid)


def _place(
    trace: Trace, dbl: float, measured: EyeMeasurements, use: LensUse, settings: Settings, marks: BlankMarks | None
) -> _Place:
    boxed = box(trace)
    where = places(trace, dbl, measured, use, marks)
    return _Place(
        trace,
        boxed,
        where,
        minimum_blank(trace, *where.middle.centre, settings.blank_allowance),
        rule_of_thumb_blank(boxed.ed, where.middle.inward, settings.blank_allowance),
    )


def _eye(lens: Lens, power: EyePrescription, place: _Place, curve: float) -> EyeLayout:
    body, refusal = None, ""
    try:
        body = lens_body(
            power.power,
            place.trace,
            place.where.optical.centre,
            lens.index,
            curve,
            lens.min_centre,
            lens.min_edge,
            lens.density,
            prism=combine(power.prism),
        )
    except ImpossibleLensError as error:
        refusal = str(error)
    return EyeLayout(
        side=place.trace.side,
        lens=lens,
        power=power,
        boxed=place.boxed,
        decentration_in=place.where.optical.inward,
        offset_up=place.where.optical.upward,
        blank_needed=place.blank_needed,
        blank_by_rule=place.blank_by_rule,
        blank=next((diameter for diameter in lens.blank_diameters if diameter >= place.blank_needed), None),
        body=body,
        refusal=refusal,
        fitting=place.where.fitting if lens.marks else None,
        middle=place.where.middle if lens.marks else None,
    )
