"""Transpositions, spherical equivalents, near powers, crossed cylinders and power vectors as printed [D, degrees]."""

from __future__ import annotations

from tests.optics.published.printed import Printed

TRANSPOSITIONS = (
    ("transposition_page", "first example", "+2.50 -1.50 x 170", "+1.00 +1.50 x 080"),
    ("transposition_page", "second example", "-1.75 -1.25 x 060", "-3.00 +1.25 x 150"),
    ("spectacle_skills", "example", "+1.00 +0.50 x 070", "+1.50 -0.50 x 160"),
    ("comt_quiz", "question 44547", "+1.00 +3.00 x 090", "+4.00 -3.00 x 180"),
    ("nao_vol_3", "first answer", "-1.00 -0.50 x 037", "-1.50 +0.50 x 127"),
    ("nao_vol_3", "second answer", "+2.00 -2.00 x 060", "plano +2.00 x 150"),
)
"""Source, place, one form, the other; all read."""

EQUIVALENTS = (
    Printed("noce_guide", "2.3 first", ("-2.00 -1.00 x 180",), -2.5, 2),
    Printed("noce_guide", "2.3 second", ("+1.50 -0.50 x 090",), 1.25, 2),
    Printed("noce_guide", "2.3 fourth", ("plano -1.50 x 180",), -0.75, 2),
    Printed("abo_guide", "3.1", ("+3.00 -1.50 x 090",), 2.25, 2),
)

NEAR = (("opt_1156", "unit 1", "-0.50 -0.25 x 180", 2.0, "+1.50 -0.25 x 180"),)
"""Source, place, distance power, add, near power; read."""

CROSSED_SPHERES = (
    Printed("crossed_thread", "corrected answer", ("plano +2.00 x 120", "plano -2.25 x 030"), 2.00, 2),
    Printed(
        "crossed_thread",
        "second pair",
        ("plano +2.00 x 120", "plano -2.25 x 080"),
        1.25,
        1,
        "read",
        "one place is sure",
    ),
    Printed("thibos_1997", "two at 135 and 180", ("plano -0.50 x 135", "plano -0.50 x 180"), -0.15, 2, "derived"),
)

CROSSED_CYLINDERS = (
    Printed("crossed_thread", "corrected answer", ("plano +2.00 x 120", "plano -2.25 x 030"), -4.25, 2),
    Printed(
        "crossed_thread",
        "second pair",
        ("plano +2.00 x 120", "plano -2.25 x 080"),
        -2.74,
        2,
        "read",
        "page cuts to 2.73",
    ),
    Printed("thibos_1997", "two at 135 and 180", ("plano -0.50 x 135", "plano -0.50 x 180"), -0.71, 2, "derived"),
)

VECTORS = (
    ("-2.00 -1.00 x 180", (-2.5, 0.5, 0.0)),
    ("-2.00 -1.00 x 090", (-2.5, -0.5, 0.0)),
    ("+6.00 -3.00 x 140", (4.5, 0.260, -1.477)),
)
"""Power, then mean, straight and oblique part to three places; derived, since no printed example was found."""
