"""Where the optical centre must stand in the frame, and how large a blank that takes."""

from __future__ import annotations

from shopledger.optics.placement import direction_of, from_point
from shopledger.optics.refusals import BlankTooSmallError, TraceError, within
from shopledger.optics.trace import Floats, Trace

USUAL_ALLOWANCE = 2.0
"""What is usually added to the blank for chips and the edge; a setting [mm]."""


def decentration(a: float, dbl: float, mono_pd: float) -> float:
    """Give how far the optical centre stands inward of the boxed centre.

    Parameters
    ----------
    a : float
        Boxed width of the lens. [mm]
    dbl : float
        Distance between lenses. [mm]
    mono_pd : float
        Monocular PD: distance or near, or half of a binocular one. [mm]

    Returns
    -------
    float
        Inward is plus, outward is minus. [mm]

    Raises
    ------
    OutOfRangeError
        If a measure is out of range.

    References
    ----------
    [dispensing_course]_ quiz on decentration
    """
    width = within("boxed width", a, 10, 120, "mm") + within("distance between lenses", dbl, 0, 60, "mm")
    return width / 2 - within("monocular PD", mono_pd, 10, 45, "mm")


def vertical_offset(fitting_height: float, b: float) -> float:
    """Give how far the fitting point stands above the boxed centre.

    Parameters
    ----------
    fitting_height : float
        From the lowest point of the lens. [mm]
    b : float
        Boxed height of the lens. [mm]

    Returns
    -------
    float
        Up is plus, down is minus. [mm]

    Raises
    ------
    OutOfRangeError
        If a measure is out of range.

    References
    ----------
    [dispensing_course]_ quiz on segment drop
    """
    return within("fitting height", fitting_height, 0, 80, "mm") - within("boxed height", b, 5, 90, "mm") / 2


def optical_centre_height(b: float, offset_up: float) -> float:
    """Give the height of the optical centre from the lowest point of the lens.

    Parameters
    ----------
    b : float
        Boxed height of the lens. [mm]
    offset_up : float
        How far it stands above the boxed centre. [mm]

    Returns
    -------
    float
        Height from the bottom of the box. [mm]

    Raises
    ------
    OutOfRangeError
        If a measure is out of range.

    References
    ----------
    [definition]_
    """
    return within("boxed height", b, 5, 90, "mm") / 2 + within("offset", offset_up, -45, 45, "mm")


def rule_of_thumb_blank(ed: float, decentration_per_lens: float, allowance: float = USUAL_ALLOWANCE) -> float:
    """Estimate the blank as the trade does without a trace; common practice, and only for a horizontal shift.

    Parameters
    ----------
    ed : float
        Effective diameter. [mm]
    decentration_per_lens : float
        Of one lens, either way; it counts twice. [mm]
    allowance : float
        Added for the edge. [mm]

    Returns
    -------
    float
        Diameter of the blank. [mm]

    Raises
    ------
    OutOfRangeError
        If a measure is out of range.

    Notes
    -----
    Some pages add the decentration once only, which is too small; with a vertical shift even this rule can be.

    References
    ----------
    [blank_article]_ practice exercise; [dispensing_course]_ quiz, without allowance
    """
    moved = abs(within("decentration", decentration_per_lens, -40, 40, "mm"))
    return within("effective diameter", ed, 10, 130, "mm") + 2 * moved + within("allowance", allowance, 0, 20, "mm")


def minimum_blank(trace: Trace, decentration_in: float, offset_up: float, allowance: float = USUAL_ALLOWANCE) -> float:
    """Give the smallest round blank that covers a shape, exactly, when its middle is the optical centre.

    Parameters
    ----------
    trace : Trace
        The shape. [mm]
    decentration_in : float
        Optical centre inward of the boxed centre. [mm]
    offset_up : float
        Optical centre above the boxed centre. [mm]
    allowance : float
        Added for the edge. [mm]

    Returns
    -------
    float
        Diameter of the blank. [mm]

    Raises
    ------
    OutOfRangeError
        If a measure is out of range.

    Notes
    -----
    Twice the longest way from the optical centre to a point of the shape. Never more than the effective diameter and
    twice the length of the shift.

    References
    ----------
    [definition]_
    """
    needed, _ = _reach(trace, decentration_in, offset_up)
    return 2 * needed + within("allowance", allowance, 0, 20, "mm")


def blank_covers(
    trace: Trace, decentration_in: float, offset_up: float, blank: float, allowance: float = USUAL_ALLOWANCE
) -> bool:
    """Tell whether a round blank covers a shape when its middle is the optical centre.

    Parameters
    ----------
    trace : Trace
        The shape. [mm]
    decentration_in : float
        Optical centre inward of the boxed centre. [mm]
    offset_up : float
        Optical centre above the boxed centre. [mm]
    blank : float
        Diameter of the blank. [mm]
    allowance : float
        Added for the edge. [mm]

    Returns
    -------
    bool
        Whether it is large enough. [-]

    Raises
    ------
    OutOfRangeError
        If a measure is out of range.

    References
    ----------
    [definition]_
    """
    return within("blank", blank, 10, 150, "mm") >= minimum_blank(trace, decentration_in, offset_up, allowance)


def require_blank(
    trace: Trace, decentration_in: float, offset_up: float, blank: float, allowance: float = USUAL_ALLOWANCE
) -> None:
    """Refuse a blank that does not cover the shape.

    Parameters
    ----------
    trace : Trace
        The shape. [mm]
    decentration_in : float
        Optical centre inward of the boxed centre. [mm]
    offset_up : float
        Optical centre above the boxed centre. [mm]
    blank : float
        Diameter of the blank. [mm]
    allowance : float
        Added for the edge. [mm]

    Returns
    -------
    None
        Nothing, where it covers. [-]

    Raises
    ------
    BlankTooSmallError
        If it does not cover; it says how large it must be and where it falls short.
    OutOfRangeError
        If a measure is out of range.

    References
    ----------
    [definition]_
    """
    if not blank_covers(trace, decentration_in, offset_up, blank, allowance):
        reach, angle = _reach(trace, decentration_in, offset_up)
        raise BlankTooSmallError(blank, 2 * reach + allowance, angle)


def usual_corridor(fitting_height: float, below: float = 4.0) -> float:
    """Give the longest corridor that usually fits a height; common practice, the maker's own minimum height decides.

    Parameters
    ----------
    fitting_height : float
        From the lowest point of the lens. [mm]
    below : float
        Reading zone under the corridor, 4 to 5. [mm]

    Returns
    -------
    float
        Corridor length. [mm]

    Raises
    ------
    OutOfRangeError
        If a measure is out of range.

    References
    ----------
    [customization_2015]_ corridor and height
    """
    return within("fitting height", fitting_height, 5, 50, "mm") - within("reading zone", below, 0, 10, "mm")


def progressive_fits(fitting_height: float, minimum_fitting_height: float) -> bool:
    """Tell whether a progressive's whole reading zone stays in the lens.

    Parameters
    ----------
    fitting_height : float
        From the lowest point of the lens. [mm]
    minimum_fitting_height : float
        What the maker states for the design. [mm]

    Returns
    -------
    bool
        Whether the height is enough. [-]

    Raises
    ------
    OutOfRangeError
        If a measure is out of range.

    References
    ----------
    [common_practice]_ the maker's minimum height
    """
    return within("fitting height", fitting_height, 5, 50, "mm") >= within(
        "minimum fitting height", minimum_fitting_height, 5, 40, "mm"
    )


def depth_below(trace: Trace, decentration_in: float, offset_up: float) -> float:
    """Give how much lens there is straight below a point, which may be less than its fitting height.

    Parameters
    ----------
    trace : Trace
        The shape. [mm]
    decentration_in : float
        Point inward of the boxed centre. [mm]
    offset_up : float
        Point above the boxed centre. [mm]

    Returns
    -------
    float
        From the point straight down to the edge; below zero where the point is not in the shape. [mm]

    Raises
    ------
    TraceError
        If the point does not stand within the width of the shape.
    OutOfRangeError
        If a measure is out of range.

    References
    ----------
    [definition]_
    """
    x, y = from_point(trace, decentration_in, offset_up)
    next_x, next_y = _rolled(x), _rolled(y)
    over = (x <= 0) != (next_x <= 0)
    if not over.any():
        raise TraceError("the point does not stand within its width", "Check the PD, and the frame that was chosen.")
    crossing = y[over] - x[over] * (next_y[over] - y[over]) / (next_x[over] - x[over])
    return -float(crossing.min())


def _rolled(values: Floats) -> Floats:
    """Give each value's follower round the shape."""
    rolled: Floats = values.take(range(1, len(values) + 1), mode="wrap")
    return rolled


def _reach(trace: Trace, decentration_in: float, offset_up: float) -> tuple[float, float]:
    """Give the longest way from the optical centre to the shape, and its direction in degrees."""
    x, y = from_point(trace, decentration_in, offset_up)
    squares = x * x + y * y
    far = int(squares.argmax())
    angle = direction_of(float(x[far]), float(y[far]))
    return float(squares[far]) ** 0.5, angle
