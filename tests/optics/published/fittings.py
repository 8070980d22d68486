"""Decentration, segment drop, blanks and corridors as printed [mm]."""

from __future__ import annotations

from tests.optics.published.printed import Printed

DECENTRATIONS = (
    Printed("dispensing_course", "quiz 1", (54, 16, 62), 4, 0),
    Printed("dispensing_course", "quiz 2", (42, 14, 50), 3, 0),
    Printed("dispensing_course", "quiz 3", (50, 16, 66), 0, 0),
    Printed("dispensing_course", "quiz 4", (58, 22, 64), 8, 0),
)
"""Boxed width, distance between lenses, binocular PD."""

DROPS = (
    Printed("dispensing_course", "quiz 9", (23, 52), -3, 0),
    Printed("dispensing_course", "quiz 10", (24, 48), 0, 0),
    Printed("dispensing_course", "quiz 11", (28, 50), 3, 0),
    Printed("dispensing_course", "quiz 12", (19, 46), -4, 0),
    Printed("blank_article", "drop", (22, 50), -3, 0),
    Printed("blank_article", "raise", (28, 50), 3, 0),
)
"""Height, boxed height."""

BLANKS = (
    Printed("dispensing_course", "quiz 5", (58, 18, 68, 60, 0), 68, 0),
    Printed("dispensing_course", "quiz 6", (52, 20, 60, 54, 0), 66, 0),
    Printed("dispensing_course", "quiz 7", (56, 16, 64, 59, 0), 67, 0),
    Printed("dispensing_course", "quiz 8", (48, 14, 50, 50, 0), 62, 0),
    Printed("blank_article", "exercise with 2 mm", (60, 20, 69, 63, 2), 76, 0),
    Printed("blank_article", "no decentration", (48, 16, 64, 44, 0), 44, 0, "read", "only the sum of 64 is printed"),
    Printed("blank_thread", "1 mm allowance", (52, 18, 60, 56, 1), 67, 0, "read", "only the sum of 70 is printed"),
    Printed("nao_vol_3", "54 round moved 3 mm", (54, 16, 64, 54, 0), 60, 0, "read", "frame chosen for 3 mm"),
)
"""Boxed width, distance between lenses, binocular PD, effective diameter, allowance."""

CORRIDORS = (Printed("customization_2015", "height 18", (18,), 14, 0),)
"""Fitting height."""
