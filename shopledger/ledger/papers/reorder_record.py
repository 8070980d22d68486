"""What a reorder record says: words, and numbers rounded only when they are set.

Points and places are in mm from a lens's boxed centre **as seen from the front**: x grows to the right of the paper,
y grows upward. The wearer's right lens stands on the left of the paper, so its nose side is at positive x, and that of
the left lens at negative x. Absent texts are empty; absent numbers are None.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from shopledger.ledger.papers.shop_lines import ShopLines
from shopledger.ledger.papers.strips import Strip
from shopledger.money.amount import Cents

Point: TypeAlias = tuple[float, float]
Severity: TypeAlias = Literal["error", "warning", "note"]


@dataclass(frozen=True, slots=True)
class EyeShape:
    """One lens as it is drawn at 1:1."""

    outline: tuple[Point, ...]
    """The shape, in order around, not closed by a repeated point. [mm]"""
    optical_centre: Point
    """Where the optical centre stands. [mm]"""
    blank: float | None
    """Diameter of the chosen blank, drawn around its middle; None draws none. [mm]"""
    least_blank: float | None = None
    """Diameter of the smallest blank that would do, drawn the same way; None draws none. [mm]"""
    height: float | None = None
    """From the lowest point of the shape to the optical centre, where it was measured. [mm]"""
    blank_middle: Point | None = None
    """Where the middle of the blank stands; None where that is the optical centre. [mm]"""

    @property
    def blank_centre(self) -> Point:
        """Give the middle of the blank's circles, in millimetres."""
        return self.optical_centre if self.blank_middle is None else self.blank_middle


@dataclass(frozen=True, slots=True)
class EyeFigures:
    """The measured and worked-out numbers of one lens."""

    a: float
    """Boxed width. [mm]"""
    b: float
    """Boxed height. [mm]"""
    ed: float
    """Effective diameter. [mm]"""
    circumference: float
    """Length around the shape. [mm]"""
    mono_pd: float | None
    """Monocular distance PD. [mm]"""
    near_pd: float | None
    """Monocular near PD. [mm]"""
    fitting_height: float | None
    """From the boxed bottom to the pupil. [mm]"""
    decentration_in: float
    """From the boxed centre toward the nose; negative is outward. [mm]"""
    offset_up: float
    """From the boxed centre upward; negative is downward. [mm]"""
    blank_needed: float
    """Smallest blank that covers the shape exactly, allowance included. [mm]"""
    blank_by_rule: float
    """The rule of thumb. [mm]"""
    blank: float | None
    """Diameter of the chosen blank; None where none covers the shape. [mm]"""


@dataclass(frozen=True, slots=True)
class PowerChange:
    """One quantity of a prescription, before and now, each as it is written."""

    quantity: str
    """A key of `[quantities]` in the wording: sphere, cylinder, axis, add, prism, equivalent."""
    before: str
    now: str
    change: str
    notable: bool = False
    """Whether the change is one to ask about; it is set in strong type."""


@dataclass(frozen=True, slots=True)
class LensThickness:
    """How one lens comes out. Directions are as seen from the front, 0 at the right of the paper, counter-clockwise."""

    centre: float
    """Centre thickness. [mm]"""
    thinnest: float
    """Thinnest edge. [mm]"""
    thinnest_at: float
    """Its direction from the boxed centre. [degrees]"""
    thickest: float
    """Thickest edge. [mm]"""
    thickest_at: float
    """Its direction. [degrees]"""
    weight: float
    """Weight of the edged lens. [g]"""


@dataclass(frozen=True, slots=True)
class LensOption:
    """The chosen lens or another of the same design; an eye that cannot be made is None, and `refusal` says why."""

    name: str
    right: LensThickness | None
    left: LensThickness | None
    chosen: bool = False
    refusal: str = ""
    price: Cents = 0
    """Today's price of a pair."""


@dataclass(frozen=True, slots=True)
class CutShape:
    """The chosen lens cut through its optical centre: places from it, and the depth of both sides there.

    Places run to the right of the paper as seen from the front, or up; depths run from the front's vertex to the eye.
    All are in mm.
    """

    along: tuple[float, ...]
    front: tuple[float, ...]
    back: tuple[float, ...]

    @property
    def ends(self) -> tuple[float, float]:
        """The thickness in mm where the cut begins and where it ends."""
        return self.back[0] - self.front[0], self.back[-1] - self.front[-1]


@dataclass(frozen=True, slots=True)
class LensProfile:
    """How thick the chosen lens is: in two cuts, and round its edge."""

    level: CutShape
    upright: CutShape
    edge: tuple[float, ...]
    """Edge thickness at equal directions from the boxed centre, from the nose over the top to the temple. [mm]"""
    centre: float
    """Thickness at the optical centre. [mm]"""


@dataclass(frozen=True, slots=True)
class PriceLine:
    """One line of what the new lenses cost today."""

    description: str
    list_price: Cents
    reduction: Cents
    net: Cents


@dataclass(frozen=True, slots=True)
class RecordPrice:
    """What the new lenses cost today, with the tax on it and the sum."""

    lines: tuple[PriceLine, ...]
    tax: Cents
    total: Cents


@dataclass(frozen=True, slots=True)
class RecordFinding:
    """One finding of a check, as the owner reads it."""

    severity: Severity
    sentence: str


@dataclass(frozen=True, slots=True)
class ReorderRecord:
    """Everything on a reorder record. Days are ISO text."""

    number: str
    """The record's own number or the draft order's, as it is said aloud."""
    day: str
    shop: ShopLines
    customer: str
    customer_lines: tuple[str, ...]
    wearer: str
    earlier_pair: str
    """Which pair the frame was sold with, such as `job 57 of Feb 27, 2023`; empty when it is not known."""
    prescriber: str
    frame: str
    """Maker, model, colour and size in words."""
    trace_origin: str
    """Where the shape came from: file, day, device."""
    right_shape: EyeShape
    left_shape: EyeShape
    dbl: float
    """Distance between the lenses, drawn true between the two shapes. [mm]"""
    right: EyeFigures
    left: EyeFigures
    before_day: str
    """Day of the earlier prescription; empty when there is none."""
    now_day: str
    right_powers: tuple[PowerChange, ...]
    left_powers: tuple[PowerChange, ...]
    lens: str
    use: str
    """What the pair is made for: distance, reading, screen, or all distances."""
    right_made: str
    """The power to make, in one line; empty where that eye gets no lens."""
    left_made: str
    extras: tuple[str, ...]
    base_curve: float | None
    """Front curve that the thickness was worked out with. [D]"""
    options: tuple[LensOption, ...]
    """The chosen lens first, then the alternatives."""
    findings: tuple[RecordFinding, ...]
    """Gravest first."""
    ledger_head: str = ""
    right_change: str = ""
    """What changed for the right eye, in words; empty without an earlier prescription."""
    left_change: str = ""
    right_profile: LensProfile | None = None
    """None where the lens cannot be made."""
    left_profile: LensProfile | None = None
    price: RecordPrice | None = None
    strips: tuple[Strip, ...] = ()
    """What nobody may miss."""
