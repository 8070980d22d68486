"""Prism by Prentice's rule, with oblique cylinders, and resultants, as printed [prism dioptres, mm, degrees]."""

from __future__ import annotations

from tests.optics.published.printed import Printed

PRENTICE = (
    Printed("nfos_13a", "2 mm below the centre of +8.50", (8.5, 2), 1.7, 1),
    Printed("nfos_13a", "5 mm, -3.25", (-3.25, 5), -1.6, 1, "read", "1.625 rounded down; half a place covers it"),
    Printed("nfos_13a", "8 mm below, 90 meridian of +5.00 -1.50 x 090", (5.0, 8), 4.0, 1),
    Printed("optics_quiz", "10 mm of +5.00", (5.0, 10), 5, 0),
    Printed("opt_1156", "image jump of a flat top, add 3.00, 5 mm", (3.0, 5), 1.5, 1),
    Printed("jalie_2022", "p. 108, 4 mm of 5.00 in the 90 meridian", (5.0, 4), 2, 0),
)
"""Power along the meridian and distance from the optical centre."""

ASTIGMATIC_UPWARD = (
    Printed("jalie_2024", "p. 133, vertical", ("+6.00 -3.00 x 140", "right", 2.5, -11.0), 5.03, 2),
    # The printed sign rule measures the left axis from the nose, so the same numbers hold for x 040 of a left lens.
    Printed("jalie_2024", "p. 133, mirrored", ("+6.00 -3.00 x 040", "left", 2.5, -11.0), 5.03, 2, "derived"),
    Printed("jalie_2022", "p. 108, point J", ("+3.00 +2.00 x 060", "right", 3.85, 6.67), -2, 1),
)

ASTIGMATIC_INWARD = (
    Printed(
        "jalie_2024", "p. 133, horizontal, base out", ("+6.00 -3.00 x 140", "right", 2.5, -11.0), -2.81, 2, cut=True
    ),
    Printed("jalie_2024", "p. 133, mirrored", ("+6.00 -3.00 x 040", "left", 2.5, -11.0), -2.81, 2, "derived", cut=True),
)
"""Power, eye, inward and upward from the optical centre."""

RESULTANT_AMOUNTS = (
    Printed("nfos_12", "1.5 up and 2 in", ("1.5 BU", "2 BI"), 2.5, 1),
    Printed("abo_guide", "3 up and 4 out", ("3 BU", "4 BO"), 5, 0, "derived"),
)

RESULTANT_ANGLES = (
    Printed("nfos_12", "1.5 up and 2 in, right eye", ("1.5 BU", "2 BI"), 37, 0),
    Printed("abo_guide", "3 up and 4 in", ("3 BU", "4 BI"), 36.9, 1, "read", "angle from the horizontal"),
)

IMBALANCES = (
    Printed(
        "opt_1156",
        "unit 1, reading level 8 mm",
        ("-3.00 -2.00 x 180", "-2.75 -2.50 x 090", 8.0),
        -1.8,
        1,
        "read",
        "size",
    ),
    Printed("mccarthy_2013", "10 mm below", ("+1.00 DS", "+3.00 DS", 10.0), -2, 0, "read", "size printed, sign ours"),
)
"""Right, left, distance under the centres; the sign says whether the right eye has more base up."""
