"""Usual front curves: common practice without a standard behind it; the maker's chart decides."""

from __future__ import annotations

from shopledger.optics.power import SphereCylinder
from shopledger.optics.refusals import within

FLATTEST = 0.5
"""The flattest front that is commonly stocked; common practice, a setting [D]."""

STEEPEST = 10.0
"""The steepest front that is commonly stocked; common practice, a setting [D]."""


def vogel_base_curve(power: SphereCylinder) -> float:
    """Give the front curve that Vogel's rule suggests; common practice.

    Parameters
    ----------
    power : SphereCylinder
        Power of the lens. [D]

    Returns
    -------
    float
        Front curve, not rounded and not limited. [D]

    Notes
    -----
    Plus lenses: spherical equivalent and 6; minus lenses: half of it and 6.

    References
    ----------
    [vogel]_
    """
    mean = power.spherical_equivalent
    return mean + 6 if mean >= 0 else mean / 2 + 6


def usual_base_curve(power: SphereCylinder, flattest: float = FLATTEST, steepest: float = STEEPEST) -> float:
    """Give Vogel's curve, kept between the flattest and the steepest that are stocked; common practice.

    Parameters
    ----------
    power : SphereCylinder
        Power of the lens. [D]
    flattest : float
        Flattest front in stock. [D]
    steepest : float
        Steepest front in stock. [D]

    Returns
    -------
    float
        Front curve, not rounded. [D]

    Raises
    ------
    OutOfRangeError
        If a limit is out of range.

    References
    ----------
    [vogel]_; [common_practice]_ for the limits
    """
    low = within("flattest curve", flattest, 0, 20, "D")
    return min(max(vogel_base_curve(power), low), within("steepest curve", steepest, low, 20, "D"))


def pair_base_curve(right: SphereCylinder, left: SphereCylinder) -> float:
    """Give one front curve for both lenses of a pair, so that they look alike; common practice.

    Parameters
    ----------
    right : SphereCylinder
        Right lens. [D]
    left : SphereCylinder
        Left lens. [D]

    Returns
    -------
    float
        The flatter of both for a minus pair, else the steeper; not rounded. [D]

    References
    ----------
    [base_curve_cards]_ pair rule
    """
    both = (usual_base_curve(right), usual_base_curve(left))
    minus = right.spherical_equivalent < 0 and left.spherical_equivalent < 0
    return min(both) if minus else max(both)
