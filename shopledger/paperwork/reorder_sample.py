"""An invented reorder record for printing the paper once: an oval frame, laid out by the program's own optics."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from shopledger.ledger.papers.reorder_record import (
    CutShape,
    EyeFigures,
    EyeShape,
    LensOption,
    LensProfile,
    LensThickness,
    PowerChange,
    PriceLine,
    RecordFinding,
    RecordPrice,
    ReorderRecord,
)
from shopledger.optics.body import LensBody, lens_body
from shopledger.optics.boxing import box
from shopledger.optics.centring import rule_of_thumb_blank, vertical_offset
from shopledger.optics.fitting import minimum_blank
from shopledger.optics.plain_shapes import plain_shape
from shopledger.optics.power import SphereCylinder
from shopledger.optics.profile import LensCut, edge_from_nose, lens_cut
from shopledger.optics.sides import Side
from shopledger.optics.trace import Trace
from shopledger.paperwork.samples import CUSTOMER, FRAME, HEAD, HOME, SHOP

_DBL: Final = 19.0
_PD: Final = 31.5
_HEIGHT: Final = 21.0
_BLANK: Final = 70.0
_CURVE: Final = 4.0
_THIN: Final = (1.66, 1.5, 1.35)
"""Index, least centre and density of the other material."""
_POWERS: Final = {Side.RIGHT: SphereCylinder(-3.25, -1.25, 90), Side.LEFT: SphereCylinder(-2.50, -1.00, 85)}


@dataclass(frozen=True, slots=True)
class _Laid:
    """One lens of the sample in its frame."""

    trace: Trace
    centre: tuple[float, float]
    power: SphereCylinder

    def body(self, index: float = 1.498, least: float = 2.0, density: float = 1.32) -> LensBody:
        """Give the lens in a material."""
        return lens_body(self.power, self.trace, self.centre, index, _CURVE, least, 1.0, density)


def _laid(side: Side) -> _Laid:
    trace = plain_shape(side, 50, 38, 52)
    return _Laid(trace, ((50 + _DBL) / 2 - _PD, vertical_offset(_HEIGHT, 38)), _POWERS[side])


def _figures(laid: _Laid) -> EyeFigures:
    boxed, needed = box(laid.trace), minimum_blank(laid.trace, *laid.centre)
    rule = rule_of_thumb_blank(boxed.ed, laid.centre[0])
    measured = (_PD, 30.0, _HEIGHT, *laid.centre, needed, rule, _BLANK)
    return EyeFigures(boxed.a, boxed.b, boxed.ed, boxed.circumference, *measured)


def _shape(laid: _Laid) -> EyeShape:
    points = tuple((float(x), float(y)) for x, y in laid.trace.points)
    place = (laid.trace.side.inward * laid.centre[0], laid.centre[1])
    return EyeShape(points, place, _BLANK, minimum_blank(laid.trace, *laid.centre), _HEIGHT)


def _cut(cut: LensCut) -> CutShape:
    return CutShape(tuple(cut.along.tolist()), tuple(cut.front.tolist()), tuple(cut.back.tolist()))


def _profile(laid: _Laid) -> LensProfile:
    body = laid.body()
    level, upright = (_cut(lens_cut(body, laid.trace, laid.centre, meridian)) for meridian in (0, 90))
    return LensProfile(level, upright, tuple(edge_from_nose(body, laid.trace).tolist()), body.centre_thickness)


def _thickness(body: LensBody) -> LensThickness:
    edge = (body.thinnest, body.thinnest_angle, body.thickest, body.thickest_angle)
    return LensThickness(body.centre_thickness, *edge, body.weight_g)


def sample_reorder() -> ReorderRecord:
    """Give a reorder record of an oval frame."""
    right, left = _laid(Side.RIGHT), _laid(Side.LEFT)
    return ReorderRecord(
        number="17",
        day="2029-03-14",
        shop=replace(SHOP, email=""),
        customer=CUSTOMER,
        customer_lines=HOME,
        wearer=CUSTOMER,
        earlier_pair="job 57, order 311 of 2026-02-27",
        prescriber="Dr. Imre Castellane",
        frame=FRAME,
        trace_origin="finch-50.txt, traced 2026-02-20",
        right_shape=_shape(right),
        left_shape=_shape(left),
        dbl=_DBL,
        right=_figures(right),
        left=_figures(left),
        before_day="2026-02-20",
        now_day="2029-02-12",
        right_powers=(
            PowerChange("sphere", "-2.50", "-3.25", "-0.75", notable=True),
            PowerChange("cylinder", "-1.25", "-1.25", "0.00"),
            PowerChange("axis", "090", "090", "0°"),
        ),
        left_powers=(
            PowerChange("sphere", "-2.25", "-2.50", "-0.25"),
            PowerChange("cylinder", "-1.00", "-1.00", "0.00"),
            PowerChange("axis", "080", "085", "+5°"),
        ),
        lens="Clear single vision · hard resin",
        use="distance",
        right_made="-3.25 -1.25 x 090",
        left_made="-2.50 -1.00 x 085",
        extras=("Anti-reflective coating",),
        base_curve=_CURVE,
        options=(
            LensOption(
                "Clear single vision", _thickness(right.body()), _thickness(left.body()), chosen=True, price=8000
            ),
            LensOption(
                "Thin single vision", _thickness(right.body(*_THIN)), _thickness(left.body(*_THIN)), price=18000
            ),
        ),
        findings=(RecordFinding("warning", "The right sphere changed by -0.75 D."),),
        ledger_head=HEAD,
        right_change="sphere 0.75 D toward minus",
        left_change="sphere 0.25 D toward minus, axis turned 5°, from 080 to 085",
        right_profile=_profile(right),
        left_profile=_profile(left),
        price=RecordPrice(
            (
                PriceLine("Clear single vision", 8000, 0, 8000),
                PriceLine("Anti-reflective coating", 12995, 2599, 10396),
                PriceLine("Shipping", 650, 0, 650),
            ),
            0,
            19046,
        ),
    )
