"""Lengths as text: as they were given, or to tenths where they were worked out, and never to the unsafe side."""

from __future__ import annotations

from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal

_HUNDREDTHS = Decimal("0.01")
_TENTHS = Decimal("0.1")
_NOISE = Decimal("0.000001")
"""What a sum of floats may be off: a length that needs no rounding up gets none."""


def as_given(distance: float) -> str:
    """Write a length that was measured or typed: 31.25 as `31.25`, 31.5 as `31.5`, 31 as `31.0`.

    Parameters
    ----------
    distance : float
        Any length. [mm]

    Returns
    -------
    str
        The length with as many decimals as it has, one at least and two at most.

    References
    ----------
    [common_practice]_ a PD given as one number is halved, so that quarters of a millimetre come of halves
    """
    whole, decimals = f"{_exact(distance).quantize(_HUNDREDTHS, ROUND_HALF_UP) + 0:f}".split(".")
    return f"{whole}.{decimals.rstrip('0') or '0'}"


def as_listed(distance: float) -> str:
    """Write a size that a catalogue states: 65 as `65`, 62.5 as `62.5`.

    Parameters
    ----------
    distance : float
        Any length. [mm]

    Returns
    -------
    str
        The length with as many decimals as it has, at most two.

    References
    ----------
    [common_practice]_
    """
    return as_given(distance).removesuffix(".0")


def worked_out(distance: float) -> str:
    """Write a length that was calculated: to tenths, halves away from zero.

    Parameters
    ----------
    distance : float
        Any length. [mm]

    Returns
    -------
    str
        One decimal; what rounds to nothing has no sign.

    References
    ----------
    [common_practice]_
    """
    return f"{_exact(distance).quantize(_TENTHS, ROUND_HALF_UP) + 0:f}"


def at_least(distance: float) -> float:
    """Round a length that is needed up to tenths, such as the smallest blank.

    Parameters
    ----------
    distance : float
        What is needed. [mm]

    Returns
    -------
    float
        Never less than that. [mm]

    References
    ----------
    [definition]_
    """
    return float(_exact(distance).quantize(_TENTHS, ROUND_CEILING))


def at_most(distance: float) -> float:
    """Round a length that is there to spare down to tenths.

    Parameters
    ----------
    distance : float
        What is to spare. [mm]

    Returns
    -------
    float
        Never more than that. [mm]

    References
    ----------
    [definition]_
    """
    return float(_exact(distance).quantize(_TENTHS, ROUND_FLOOR))


def _exact(distance: float) -> Decimal:
    """Give a length as it was typed, without what a sum of floats may have added."""
    return Decimal(str(distance)).quantize(_NOISE, ROUND_HALF_UP)
