"""What an attentive optician would ask about a whole pair: heights, blanks, centring and prism when reading."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from shopledger.optics.body import LensBody
from shopledger.optics.boxing import Boxed, box
from shopledger.optics.centring import USUAL_ALLOWANCE, decentration, vertical_offset
from shopledger.optics.findings import Finding, Severity, gravest_first
from shopledger.optics.fitting import blank_middle, depth_below, minimum_blank
from shopledger.optics.lengths import as_given, at_least
from shopledger.optics.measurements import EyeMeasurements, Measurements
from shopledger.optics.prescription import LensUse, Prescription
from shopledger.optics.prism import combine, imbalance_at
from shopledger.optics.segments import BlankMarks, usual_near_pd
from shopledger.optics.sides import Side
from shopledger.optics.trace import FrameTrace, Trace

READING_BELOW = 10.0
"""How far below the optical centre a wearer usually reads; common practice [mm]."""

THICK = 7.0
"""From which edge or centre thickness on to ask; common practice, a setting. [mm]"""

WEIGHT_GAP = 4.0
"""From which difference of weight between the lenses on to tell; common practice, a setting. [g]"""

_COMMON = "common_practice"
_IMBALANCE = 1.0
_IMBALANCE_STRONG = 1.5
_NO_PRISM = 1e-9
# The lowest point of a rounded shape lies a little under the rim straight below; only a real cut is asked about.
_ROUNDED_BELOW = 1.0
_USUAL_DECENTRATION = (-1.0, 6.0)


@dataclass(frozen=True, slots=True)
class Placement:
    """Where one lens's optical centre or fitting point stands from its boxed centre: inward and upward [mm]."""

    inward: float
    upward: float

    @property
    def centre(self) -> tuple[float, float]:
        """Both numbers, as the lens body wants them [mm]."""
        return self.inward, self.upward


@dataclass(frozen=True, slots=True)
class Places:
    """What stands where in one lens, each from the boxed centre: the optical centre for the use, and what is fitted.

    Of single vision all three are one. A lined multifocal has its optical centre at the distance PD and its segment's
    top at the near PD; a progressive is fitted by its cross, and free of prism in the middle of its blank.
    """

    optical: Placement
    fitting: Placement
    middle: Placement
    """The blank's."""


def layout_pd(eye: EyeMeasurements, use: LensUse) -> float:
    """Give the PD that a lens is laid out and inspected by: the near one for reading, where it was measured.

    Parameters
    ----------
    eye : EyeMeasurements
        PD and height of this eye. [mm]
    use : LensUse
        What the pair is for.

    Returns
    -------
    float
        Monocular PD. [mm]

    References
    ----------
    [common_practice]_
    """
    return eye.near_pd if use is LensUse.READING and eye.near_pd is not None else eye.mono_pd


def placement(trace: Trace, dbl: float, eye: EyeMeasurements, use: LensUse) -> Placement:
    """Give where a lens's centre goes: near PD for reading where known, mid-height where no height was measured.

    Parameters
    ----------
    trace : Trace
        The shape. [mm]
    dbl : float
        Distance between lenses. [mm]
    eye : EyeMeasurements
        PD and height of this eye. [mm]
    use : LensUse
        What the pair is for.

    Returns
    -------
    Placement
        Inward and upward from the boxed centre. [mm]

    Raises
    ------
    OutOfRangeError
        If a measure is out of range.

    References
    ----------
    [dispensing_course]_ quizzes; [common_practice]_ for near PD and for the height of single vision
    """
    boxed = box(trace)
    up = 0.0 if eye.fitting_height is None else vertical_offset(eye.fitting_height, boxed.b)
    return Placement(decentration(boxed.a, dbl, layout_pd(eye, use)), up)


def near_pd_of(eye: EyeMeasurements) -> float:
    """Give the near PD by which a segment is placed: as measured, or what is usual for such a distance PD.

    Parameters
    ----------
    eye : EyeMeasurements
        PD and height of this eye. [mm]

    Returns
    -------
    float
        Near PD of this eye. [mm]

    References
    ----------
    [common_practice]_ where it was not measured
    """
    return usual_near_pd(eye.mono_pd) if eye.near_pd is None else eye.near_pd


def places(trace: Trace, dbl: float, eye: EyeMeasurements, use: LensUse, marks: BlankMarks | None = None) -> Places:
    """Give where optical centre, fitting point and the middle of the blank come to stand.

    Parameters
    ----------
    trace : Trace
        The shape. [mm]
    dbl : float
        Distance between lenses. [mm]
    eye : EyeMeasurements
        PD and height of this eye. [mm]
    use : LensUse
        What the pair is for.
    marks : BlankMarks, optional
        What the maker says of a multifocal's blank; None for single vision. [mm]

    Returns
    -------
    Places
        Each inward and upward from the boxed centre.

    Raises
    ------
    OutOfRangeError
        If a measure is out of range.

    Notes
    -----
    What the maker does not say is assumed: that the fitting point is the middle of the blank, and that the distance
    centre of a lined multifocal stands as high as its segment's top.

    References
    ----------
    [dispensing_course]_ quizzes on decentration and segment drop; [common_practice]_ for the distance centre
    """
    distance = placement(trace, dbl, eye, use)
    if marks is None:
        return Places(distance, distance, distance)
    fitted = distance
    if marks.lined:
        fitted = Placement(decentration(box(trace).a, dbl, near_pd_of(eye)), distance.upward)
    middle = Placement(*blank_middle(*fitted.centre, marks.inward or 0.0, marks.upward or 0.0))
    optical = Placement(distance.inward, distance.upward + (marks.distance_up or 0.0)) if marks.lined else middle
    return Places(optical, fitted, middle)


def check_pair(
    prescription: Prescription,
    measurements: Measurements,
    frame_trace: FrameTrace,
    use: LensUse,
    *,
    progressive: bool = False,
    minimum_fitting_height: float | None = None,
    maximum_fitting_height: float | None = None,
    marks: tuple[BlankMarks | None, BlankMarks | None] = (None, None),
    blanks: tuple[float, float] | None = None,
    allowance: float = USUAL_ALLOWANCE,
    reading_below: float = READING_BELOW,
) -> tuple[Finding, ...]:
    """Ask whether a pair can be made so: heights, minimum height, blanks, centring, and prism when reading.

    Parameters
    ----------
    prescription : Prescription
        As written. [D]
    measurements : Measurements
        Both eyes. [mm]
    frame_trace : FrameTrace
        Both shapes. [mm]
    use : LensUse
        What the pair is for.
    progressive : bool
        Whether the multifocal is a progressive.
    minimum_fitting_height : float, optional
        What the maker states for the design. [mm]
    maximum_fitting_height : float, optional
        What the maker states for the design. [mm]
    marks : (2,) tuple of BlankMarks, optional
        What the maker says of the right and of the left multifocal's blank. [mm]
    blanks : (2,) tuple of float, optional
        Diameter of the right and the left uncut lens. [mm]
    allowance : float
        Added to the blank for the edge. [mm]
    reading_below : float
        Reading point under the optical centre. [mm]

    Returns
    -------
    (n,) tuple of Finding
        What was found, gravest first.

    Raises
    ------
    OutOfRangeError
        If a measure is out of range.

    References
    ----------
    [mccarthy_2013]_ on vertical imbalance; [common_practice]_ for the limits
    """
    found = [*check_near_pd(measurements, use, marks)]
    for at, side in enumerate(Side):
        eye, trace = measurements.eye(side), frame_trace.eye(side)
        boxed, where = box(trace), places(trace, frame_trace.dbl, eye, use, marks[at])
        found += _centring(side, placement(trace, frame_trace.dbl, eye, use))
        if use is LensUse.MULTIFOCAL:
            found += _height(side, eye.fitting_height, boxed, minimum_fitting_height, progressive=progressive)
            found += check_most_height(side, eye.fitting_height, maximum_fitting_height)
            found += _depth(trace, where.fitting, eye.fitting_height, minimum_fitting_height)
        if blanks is not None:
            found += _blank(trace, where.middle, blanks[at], allowance)
    if use is LensUse.MULTIFOCAL:
        found += _imbalance(prescription, reading_below)
    return gravest_first(found)


def check_near_pd(
    measurements: Measurements, use: LensUse, marks: tuple[BlankMarks | None, BlankMarks | None] = (None, None)
) -> tuple[Finding, ...]:
    """Ask for the near PD by which reading lenses are centred and segments are placed.

    Parameters
    ----------
    measurements : Measurements
        Both eyes. [mm]
    use : LensUse
        What the pair is for.
    marks : (2,) tuple of BlankMarks, optional
        What the maker says of the right and of the left multifocal's blank. [mm]

    Returns
    -------
    (n,) tuple of Finding
        A warning for each eye whose near PD is needed and not known.

    References
    ----------
    [common_practice]_
    """
    found: list[Finding] = []
    for side, own in zip(Side, marks, strict=True):
        eye, lined = measurements.eye(side), own is not None and own.lined
        if eye.near_pd is not None or not (lined or use is LensUse.READING):
            continue
        told = "a reading lens would be centred for distance"
        if lined:
            told = f"the segment would be set in by a usual {eye.mono_pd - near_pd_of(eye):.1f} mm"
        limit = "needed for the segment" if lined else "needed for reading"
        sentence = f"The {side.value} near PD is not known, so {told}. Measure it."
        field = f"{side.value}.near_pd"
        found.append(Finding(Severity.WARNING, "NEAR-PD-MISSING", field, "none", limit, _COMMON, sentence))
    return tuple(found)


def check_most_height(
    side: Side, fitting_height: float | None, maximum_fitting_height: float | None
) -> tuple[Finding, ...]:
    """Refuse a height above what the maker allows.

    Parameters
    ----------
    side : Side
        Which eye.
    fitting_height : float, optional
        From the lowest point of the lens. [mm]
    maximum_fitting_height : float, optional
        What the maker states for the design. [mm]

    Returns
    -------
    (n,) tuple of Finding
        An error where it is too much.

    References
    ----------
    [common_practice]_ the maker's chart
    """
    if fitting_height is None or maximum_fitting_height is None or fitting_height <= maximum_fitting_height:
        return ()
    value, most = as_given(fitting_height), f"{maximum_fitting_height:g}"
    sentence = (
        f"The {side.value} height is {value} mm from the lowest point; this design goes up to {most}. "
        f"Measure again, or choose a shallower frame or another design."
    )
    field = f"{side.value}.fitting_height"
    return (Finding(Severity.ERROR, "HEIGHT-HIGH", field, value, f"at most {most} mm", "maker", sentence),)


def check_bodies(
    right: LensBody, left: LensBody, thick: float = THICK, weight_gap: float = WEIGHT_GAP
) -> tuple[Finding, ...]:
    """Ask about lenses that come out thick, or much heavier on one side.

    Parameters
    ----------
    right : LensBody
        Right lens. [mm, g]
    left : LensBody
        Left lens. [mm, g]
    thick : float
        From which thickness on to ask. [mm]
    weight_gap : float
        From which difference of weight on to ask. [g]

    Returns
    -------
    (n,) tuple of Finding
        What was found, gravest first.

    References
    ----------
    [common_practice]_ for the limits
    """
    found: list[Finding] = []
    for name, body in (("right", right), ("left", left)):
        found += _thickness(name, "edge", body.thickest, thick, f" at {body.thickest_angle:.0f} degrees")
        found += _thickness(name, "centre", body.centre_thickness, thick, "")
    gap = right.weight_g - left.weight_g
    if abs(gap) >= weight_gap:
        sentence = (
            f"One lens is {abs(gap):.1f} g heavier than the other. A frame may sit askew: choose a lighter material."
        )
        limit = f"{weight_gap:g} g"
        found.append(Finding(Severity.NOTE, "WEIGHT-DIFFERS", "weight", f"{gap:+.1f}", limit, _COMMON, sentence))
    return gravest_first(found)


def _thickness(name: str, part: str, value: float, thick: float, where: str) -> Iterator[Finding]:
    """Ask about one thickness."""
    if value >= thick:
        sentence = (
            f"The {name} lens is {value:.1f} mm thick at its {part}{where}. Offer a higher index, or a smaller frame."
        )
        code, field = f"{part.upper()}-THICK", f"{name}.{part}_thickness"
        yield Finding(Severity.WARNING, code, field, f"{value:.1f}", f"{thick:g} mm", _COMMON, sentence)


def _centring(side: Side, where: Placement) -> Iterator[Finding]:
    """Ask about a frame whose lenses stand far from the pupils."""
    low, high = _USUAL_DECENTRATION
    if not low <= where.inward <= high:
        limit = f"{low:g} to {high:g} mm inward"
        sentence = (
            f"The {side.value} centre stands {where.inward:+.1f} mm inward of the middle of its lens; usual is "
            f"{low:g} to {high:g}. Check the PD and the frame's size."
        )
        field = f"{side.value}.decentration"
        yield Finding(Severity.WARNING, "DECENTRATION-UNUSUAL", field, f"{where.inward:+.1f}", limit, _COMMON, sentence)


def _height(
    side: Side, height: float | None, boxed: Boxed, minimum: float | None, *, progressive: bool
) -> Iterator[Finding]:
    """Judge a multifocal's height against the lens and against the design."""
    field = f"{side.value}.fitting_height"
    if height is None:
        sentence = f"The {side.value} height is missing, and a multifocal cannot be made without it. Measure it."
        yield Finding(Severity.ERROR, "HEIGHT-MISSING", field, "none", "needed", _COMMON, sentence)
        return
    value = as_given(height)
    if height >= boxed.b:
        sentence = (
            f"The {side.value} height is {value} mm from the lowest point, but the lens is only {boxed.b:.1f} mm high. "
            f"Measure again."
        )
        yield Finding(Severity.ERROR, "HEIGHT-OUTSIDE", field, value, f"below {boxed.b:.1f} mm", "definition", sentence)
    if minimum is not None and height < minimum:
        sentence = (
            f"The {side.value} height is {value} mm from the lowest point; this design needs {minimum:g}. "
            f"Choose a shorter corridor or a deeper frame."
        )
        yield Finding(Severity.ERROR, "HEIGHT-LOW", field, value, f"at least {minimum:g} mm", "maker", sentence)
    if progressive and minimum is None:
        sentence = "The design's minimum fitting height is not known. Look it up in the maker's chart."
        yield Finding(Severity.WARNING, "MINIMUM-HEIGHT-MISSING", field, value, "maker's minimum", _COMMON, sentence)


def _depth(trace: Trace, where: Placement, height: float | None, minimum: float | None) -> Iterator[Finding]:
    """Ask about a shape that is cut away below the fitting point, though its height is enough."""
    if height is None or minimum is None or height < minimum or abs(where.inward) >= box(trace).a / 2:
        return
    depth = depth_below(trace, where.inward, where.upward)
    if depth < minimum - _ROUNDED_BELOW:
        side = trace.side.value
        sentence = (
            f"Straight below the {side} fitting point the lens ends after {depth:.1f} mm; "
            f"this design needs {minimum:g}. The reading zone is cut off: choose another frame or corridor."
        )
        limit = f"at least {minimum:g} mm"
        yield Finding(Severity.WARNING, "DEPTH-BELOW", f"{side}.trace", f"{depth:.1f}", limit, "definition", sentence)


def _blank(trace: Trace, where: Placement, blank: float, allowance: float) -> Iterator[Finding]:
    """Judge a blank against the exact need."""
    needed = minimum_blank(trace, where.inward, where.upward, allowance)
    if blank < needed:
        side, least = trace.side.value, at_least(needed)
        sentence = (
            f"The {side} blank is {blank:g} mm but the shape needs {least:.1f} mm. "
            f"Order a larger blank or choose a smaller frame."
        )
        limit = f"at least {least:.1f} mm"
        yield Finding(Severity.ERROR, "BLANK-SMALL", f"{side}.blank", f"{blank:g}", limit, "definition", sentence)


def _imbalance(prescription: Prescription, reading_below: float) -> Iterator[Finding]:
    """Ask about prism that differs up and down when reading through a multifocal.

    Prescribed prism is no part of it: it stands the same at every height of a lens, where the eyes want it. What the
    two powers add to it away from the reference points is what the wearer has to bear.
    """
    if prescription.right.balance or prescription.left.balance:
        return
    apart = round(abs(imbalance_at(prescription.right.power, prescription.left.power, reading_below).upward), 9)
    if apart < _IMBALANCE:
        return
    strong = apart >= _IMBALANCE_STRONG
    code = "IMBALANCE-STRONG" if strong else "IMBALANCE"
    advice = "Think of slab-off or of a separate reading pair." if strong else "Tell the wearer, or ask the prescriber."
    sentence = (
        f"At {reading_below:g} mm below the centres the eyes differ by {apart:.2f} prism dioptres up and down. "
        f"{_beside(prescription)}{advice}"
    )
    limit = f"{_IMBALANCE_STRONG if strong else _IMBALANCE:.1f} prism dioptres"
    source = _COMMON if strong else "mccarthy_2013"
    yield Finding(Severity.WARNING, code, "power", f"{apart:.2f}", limit, source, sentence)


def _beside(prescription: Prescription) -> str:
    """Say that a prescribed difference up and down was left out, where there is one."""
    prescribed = combine(prescription.right.prism).upward - combine(prescription.left.prism).upward
    if abs(prescribed) < _NO_PRISM:
        return ""
    return f"That is beside the {abs(prescribed):.2f} prescribed, which they want at every height. "
