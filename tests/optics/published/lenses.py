"""Surface and vertex powers, lens clocks, depths, edges, front curves and indices as printed [D, mm, -]."""

from __future__ import annotations

from tests.optics.published.printed import Printed

BACK_VERTEX = (
    Printed("vertex_power_page", "first", (10.25, -3.0, 4.0, 1.586), 7.52, 2),
    Printed("vertex_power_page", "second", (15.0, -6.0, 6.5, 1.523), 10.03, 2),
    Printed("nfos_11a", "3c", (3.0, -8.5, 2.2, 1.498), -5.49, 2),
    Printed("nfos_11a", "4c", (9.5, -3.25, 5.7, 1.498), 6.61, 2),
    Printed("nfos_11a", "5c", (9.5, -3.25, 3.3, 1.66), 6.43, 2),
)

FRONT_VERTEX = (
    Printed("nfos_11a", "3b", (3.0, -8.5, 2.2, 1.498), -5.4, 1),
    Printed("nfos_11a", "4b", (9.5, -3.25, 5.7, 1.498), 6.29, 2),
    Printed("nfos_11a", "5b", (9.5, -3.25, 3.3, 1.66), 6.27, 2),
)
"""Front, back, centre thickness, index."""

SURFACE_POWERS = (
    Printed("nfos_06", "06a, 85 mm", (85.0, 1.523), 6.15, 2),
    Printed("nfos_06", "06a, 150 mm", (150.0, 1.586), 3.91, 2),
)
"""Radius, index."""

NOMINAL = (
    Printed("nfos_06", "06c, meniscus 0.08 and 0.2222 m", (80.0, -222.2, 1.5), 4.0, 2),
    Printed("nfos_06", "06c, meniscus 0.12 and 0.075 m", (120.0, -75.0, 1.6), -3.0, 2),
    Printed("nfos_06", "06c, plano-convex 0.5 m", (500.0, float("inf"), 1.586), 1.17, 2),
    Printed("nfos_06", "06c, plano-concave 0.045 m", (float("inf"), -45.0, 1.523), -11.62, 2),
    Printed("nfos_06", "06c, biconcave 0.25 and 0.375 m", (-250.0, -375.0, 1.498), -3.32, 2),
)
"""Front radius, back radius by the sign of its power, index."""

LENS_CLOCK = (
    Printed("lens_clock_page", "example, clock for 1.523", (-10.0, 1.7, 1.523), -13.4, 1),
    Printed(
        "master_exam", "clock +6.00 on 1.66, clock for 1.530", (6.0, 1.66, 1.530), 7.47, 2, "read", "1.523 gives 7.57"
    ),
)
"""Sum of readings, index, index of the clock."""

DEPTHS = (Printed("eop_601", "own: 6.00 D at 1.530, 25 mm", (530 / 6, 25.0), 3.612, 3, "derived"),)
"""Radius, distance from the vertex."""

EDGES = (
    Printed(
        "eop_601",
        "printed example",
        (1 / 0.0104227, -1 / 0.0406946, 9.0, 3.0486),
        0.918096,
        5,
        "read",
        "sixth place by 2",
    ),
    Printed("definition", "own, a ray tracer agrees", (586 / 6.25, 586 / 8.25, 25.0, 2.0), 3.1505, 4, "derived"),
    Printed("definition", "own, a ray tracer agrees", (498 / 8.0, 498 / 4.0, 30.0, 5.0), 0.9626, 4, "derived"),
)
"""Front radius, back radius (plus is hollow toward the eye), distance, centre thickness."""

FRONT_CURVES = (
    Printed("vogel", "minus", ("-4.00 -1.00 x 180",), 3.75, 2, "derived", "formula read"),
    Printed("vogel", "plus", ("+2.00 -1.00 x 180",), 7.5, 2, "derived", "formula read"),
)
