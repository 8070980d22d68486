"""What each drawing at true size carries, on paper and in a file, so that no lens is cut to a mistaken or scaled print.

Each lens has its letter, the nose stands between them, and a bar of known length is there to be measured. Places are in
mm, x to the right and y up.
"""

from __future__ import annotations

from typing import Final, TypeAlias

Point: TypeAlias = tuple[float, float]

BAR: Final = 100.0
"""Length of the bar. [mm]"""
TICK: Final = 10.0
"""From one tick of the bar to the next. [mm]"""
_OUTWARD: Final = 0.27
_UPWARD: Final = 0.16
_NOSE_WIDTH: Final = 6.0
_NOSE_SHARE: Final = 0.45
"""How much of the way between the lenses the nose takes, so that it stays clear of both."""
_NOSE: Final = ((-0.5, 0.0), (-0.34, 0.42), (-0.2, 0.82), (0.0, 1.0), (0.2, 0.82), (0.34, 0.42), (0.5, 0.0))
"""The nose seen from the front, in parts of its width."""


def letter_place(a: float, b: float, temple: int) -> Point:
    """Give where a lens's letter stands from its boxed centre: in its upper outer part, clear of centre and segment.

    `temple` is +1 where the temple is to the right.
    """
    return temple * _OUTWARD * a, _UPWARD * b


def nose(dbl: float) -> tuple[Point, ...]:
    """Give the line of the nose from the middle of the bridge, as wide as the lenses beside it let it be."""
    width = min(_NOSE_WIDTH, _NOSE_SHARE * dbl)
    return tuple((width * across, width * up) for across, up in _NOSE)
