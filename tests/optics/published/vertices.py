"""Vertex compensation as printed, and tilt worked out by hand [D, mm, degrees]."""

from __future__ import annotations

from tests.optics.published.printed import Printed

MOVED = (
    Printed(
        "vertex_cards",
        "+13.00 from 8 to 12 mm",
        (13.0, -4.0),
        12.357,
        3,
        "derived",
        "exact; the card's own rule of thumb gives 12.324",
    ),
    Printed("vertex_calculator", "+5.00, 10 mm", (5.0, 10.0), 5.26, 2),
    Printed("vertex_calculator", "+10.00, 20 mm", (10.0, 20.0), 12.5, 2),
    Printed("memory", "-10.00 at 12 mm to the cornea", (-10.0, 12.0), -8.93, 2, "memory"),
)
"""Power, and how far it moves toward the eye."""

TILTED_SPHERES = (
    Printed("position_of_wear", "-10.00 tilted 20, 1.5", (-10.0, 20.0, 1.5), -10.390, 3, "derived"),
    Printed("position_of_wear", "+6.00 tilted 10, 1.586", (6.0, 10.0, 1.586), 6.057, 3, "derived"),
)

TILTED_CYLINDERS = (
    Printed("position_of_wear", "-10.00 tilted 20, 1.5", (-10.0, 20.0, 1.5), -1.376, 3, "derived"),
    Printed("position_of_wear", "+6.00 tilted 10, 1.586", (6.0, 10.0, 1.586), 0.188, 3, "derived"),
)
"""Sphere, tilt, index; Martin's formulae by hand calculator."""
