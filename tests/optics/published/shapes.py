"""Figures of superellipses 54 by 40 mm from exact mathematics: gamma function and 4 million points."""

from __future__ import annotations

EXACT = (
    # exponent, effective diameter, area
    (2.5, 54.2627, 1825.7051),
    (3.0, 55.3937, 1907.9699),
    (4.0, 57.6725, 2002.4007),
)
"""Derived by exact mathematics, not by the code under test. [mm, square mm]"""

PERIMETER_3 = 159.0444
"""Length of the superellipse of exponent 3, derived. [mm]"""

DIRECTION_3 = 22.12
"""Direction of its longest radius, derived. [degrees]"""
