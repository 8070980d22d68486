"""Centring by plain arithmetic: decentration, heights, and the trade's rule of thumb for the blank."""

from __future__ import annotations

from shopledger.optics.refusals import within

USUAL_ALLOWANCE = 2.0
"""What is usually added to the blank for chips and the edge; a setting. [mm]"""


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
        Whether the height is enough.

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
