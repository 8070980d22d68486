"""Tolerances as printed in summaries of the standard [D, degrees]."""

from __future__ import annotations

from tests.optics.published.printed import Printed

BANDS = (
    Printed("standards_page", "-3.00, low", (-3.0, -1), -3.13, 2),
    Printed("standards_page", "-3.00, high", (-3.0, 1), -2.87, 2),
)
"""Ordered sphere, and which end of what passes."""

AXIS_EQUATION = (
    Printed("z80_white_paper", "cylinder 0.25", (0.25,), 14, 0),
    Printed("z80_white_paper", "cylinder 0.50", (0.5,), 7, 0),
    Printed("z80_white_paper", "cylinder 0.75", (0.75,), 5, 0, "derived"),
)
"""Cylinder; the axis error that makes 0.12 D, which the table rounds."""

ROWS = (
    ("sphere", "single vision", 6.5, 0.13),
    ("sphere", "single vision", 10.0, 0.20),
    ("sphere", "progressive", 8.0, 0.16),
    ("sphere", "progressive", 10.0, 0.20),
    ("cylinder", "single vision", 2.0, 0.13),
    ("cylinder", "multifocal", 2.25, 0.15),
    ("cylinder", "single vision", 5.0, 0.20),
    ("cylinder", "progressive", 2.0, 0.16),
    ("cylinder", "progressive", 3.5, 0.18),
    ("cylinder", "progressive", 4.0, 0.20),
    ("axis", "single vision", 0.25, 14),
    ("axis", "progressive", 0.5, 7),
    ("axis", "multifocal", 0.75, 5),
    ("axis", "single vision", 1.0, 3),
    ("axis", "single vision", 1.5, 3),
    ("axis", "single vision", 1.75, 2),
    ("add", "multifocal", 4.0, 0.125),
    ("add", "progressive", 4.25, 0.18),
    ("vertical imbalance", "single vision", 0, 0.33),
    ("horizontal imbalance", "progressive", 0, 0.67),
    ("PD", "multifocal", 0, 2.5),
    ("monocular PD", "progressive", 0, 1.0),
    ("base curve", "single vision", 0, 0.75),
    ("centre thickness", "progressive", 0, 0.3),
    ("segment size", "multifocal", 0, 0.5),
    ("segment size difference", "multifocal", 0, 0.7),
    ("segment place", "multifocal", 0, 2.5),
    ("tilt", "multifocal", 0, 2.0),
    ("height", "multifocal", 0, 1.0),
    ("centre height", "single vision", 0, 1.0),
    ("prism at reference point", "single vision", 0, 0.33),
    ("reference point", "progressive", 0, 1.0),
    ("vertical imbalance", "progressive", 0, 0.33),
    ("horizontal imbalance", "single vision", 0, 0.67),
    ("centre height", "progressive", 0, 1.0),
    ("height", "progressive", 0, 1.0),
    ("height difference", "multifocal", 0, 1.0),
)
"""Quantity, design, strength, limit; read in summaries of the editions of 2015 and 1999."""

UNCERTAIN_ROWS = (
    ("height difference", "progressive", 0, 1.0),
    ("tilt", "progressive", 0, 2.0),
    ("warpage", "single vision", 0, 1.0),
)
"""The same; values from memory, which the rules say too."""

OWN_ROWS = (("segment place of one eye", "multifocal", 0, 1.25),)
"""The same; common practice, no source: half of what both segments together may be off."""
