"""Shapes for frames that were never traced: a circle, an ellipse, or a rounded box with a known effective diameter."""

from __future__ import annotations

import math

from shopledger.optics.refusals import within
from shopledger.optics.sides import Side
from shopledger.optics.trace import Trace

_COUNT = 720
_ROUNDEST = 1e-6
# From here on the corners are sharper than any lens can be edged.
_SQUAREST = 0.48


def plain_shape(side: Side, a: float, b: float, ed: float | None = None) -> Trace:
    r"""Give a shape with a wanted box and, where it is known, a wanted effective diameter.

    Parameters
    ----------
    side : Side
        The eye.
    a : float
        Boxed width. [mm]
    b : float
        Boxed height; the same as the width makes a circle. [mm]
    ed : float, optional
        Effective diameter; an ellipse where it is left out. [mm]

    Returns
    -------
    Trace
        The shape with 720 radii from the boxed centre. [mm]

    Raises
    ------
    OutOfRangeError
        If a size is out of range, or no rounded box of this width and height has this effective diameter.

    Notes
    -----
    A curve between ellipse and box, with half the width and half the height as :math:`a` and :math:`b`:

    .. math:: \left|\frac{x}{a}\right|^n + \left|\frac{y}{b}\right|^n = 1

    Its longest radius is :math:`(a^q + b^q)^{1/q}` with :math:`q = 2n / (n - 2)`, from which n is found by halving.
    Only a trace knows the true shape: this one has the right size, and its corners where the box has them.

    References
    ----------
    [definition]_
    """
    wide = within("boxed width", a, 10, 120, "mm") / 2
    tall = within("boxed height", b, 10, 90, "mm") / 2
    exponent = 2.0 if ed is None else _exponent(wide, tall, ed)
    angles_rad = (2 * math.pi * place / _COUNT for place in range(_COUNT))
    radii = (
        (abs(math.cos(each) / wide) ** exponent + abs(math.sin(each) / tall) ** exponent) ** (-1 / exponent)
        for each in angles_rad
    )
    return Trace(side, tuple(round(radius * 100) for radius in radii))


def _exponent(wide: float, tall: float, ed: float) -> float:
    """Give the exponent whose longest radius is half the effective diameter."""
    low, high = _ROUNDEST, _SQUAREST
    least, most = 2 * max(wide, tall), 2 * _longest(wide, tall, high)
    hint = "It is at least the longer side of the box, and less than its diagonal."
    wanted = within("effective diameter", ed, least, math.floor(most * 100) / 100, "mm", hint) / 2
    while high - low > _ROUNDEST:
        middle = (low + high) / 2
        low, high = (middle, high) if _longest(wide, tall, middle) < wanted else (low, middle)
    return 2 / (1 - 2 * low)


def _longest(wide: float, tall: float, share: float) -> float:
    """Give the longest radius; `share` is 1/q, from 0 for an ellipse to a half for a box."""
    longer, shorter = max(wide, tall), min(wide, tall)
    return float(longer * (1 + (shorter / longer) ** (1 / share)) ** share)
