"""By what a multifocal is set before the eye, as the papers for the bench and the lab say and draw it."""

from __future__ import annotations

from dataclasses import dataclass

from shopledger.ledger.catalogue import Lens
from shopledger.ledger.layout import EyeLayout
from shopledger.optics.measurements import EyeMeasurements
from shopledger.optics.pair_checks import near_pd_of
from shopledger.optics.segments import segment_inset


@dataclass(frozen=True, slots=True)
class FittingPoint:
    """The middle of a segment's top, or a fitting cross; lengths in mm, None where they are not known."""

    lined: bool
    inward: float | None = None
    """From the boxed centre, as the next one; None without a layout."""
    upward: float | None = None
    near_pd: float | None = None
    """By which a segment is placed."""
    near_measured: bool = True
    """Whether that near PD was measured; otherwise it is a usual one."""
    inset: float | None = None
    """Of a segment: how far inward of the optical centre for distance."""
    shape: str = ""
    width: float | None = None
    intermediate_depth: float | None = None
    blank_known: bool = True
    """Whether the catalogue says where it stands on the blank."""


def fitting_point(lens: Lens, measured: EyeMeasurements | None, laid: EyeLayout | None) -> FittingPoint | None:
    """Give by what a lens is set before the eye; None for single vision."""
    marks = lens.marks
    if marks is None:
        return None
    place = laid.fitted if laid else None
    near = near_pd_of(measured) if measured and marks.lined else None
    return FittingPoint(
        lined=marks.lined,
        inward=_exact(place.inward if place else None),
        upward=_exact(place.upward if place else None),
        near_pd=_exact(near),
        near_measured=measured is None or measured.near_pd is not None,
        inset=_exact(segment_inset(measured.mono_pd, near) if measured and near is not None else None),
        shape=lens.segment_shape.value if lens.segment_shape else "",
        width=lens.segment_width,
        intermediate_depth=lens.intermediate_depth,
        blank_known=marks.placed,
    )


def _exact(length: float | None) -> float | None:
    """Round what was worked out; nothing is ever minus nothing."""
    return None if length is None else round(length, 3) + 0.0
