"""Each finding word for word: what the owner reads, with its severity, field, value, limit and source."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date

import pytest

from shopledger.optics.body import LensBody, lens_body
from shopledger.optics.checks import check_measurements, check_prescription
from shopledger.optics.findings import Finding, Severity
from shopledger.optics.measurements import EyeMeasurements, Measurements
from shopledger.optics.notation import read_eye
from shopledger.optics.pair_checks import check_bodies, check_pair
from shopledger.optics.power import SphereCylinder
from shopledger.optics.prescription import EyePrescription, LensUse, Prescription
from shopledger.optics.sides import Side
from shopledger.optics.sources import SOURCES
from shopledger.optics.trace import FrameTrace, Trace
from shopledger.optics.trace_checks import StatedFigures, check_frame_trace, check_trace
from tests.optics.strategies import rounded_shape

TODAY = date(2026, 5, 4)
SHAPE = rounded_shape(400, lift=0.03, skew=0.02)
FRAME = FrameTrace(rounded_shape(400), rounded_shape(400).mirrored(), 18)
POINTED = rounded_shape(400, exponent=2.0, skew=0.08)
CUT = FrameTrace(POINTED, POINTED.mirrored(), 18)
ROUND = (Trace(Side.RIGHT, (2500,) * 72), Trace(Side.LEFT, (2500,) * 72))
UNLIKE = FrameTrace(ROUND[0], Trace(Side.LEFT, (2514,) * 72), 20)
TWICE = FrameTrace(SHAPE, Trace(Side.LEFT, SHAPE.hundredths), 20)


def pair(right: str, left: str) -> Prescription:
    """Both eyes from text."""
    return Prescription(read_eye(right), read_eye(left))


def heights(height: float | None) -> Measurements:
    """A PD of 64 with one height for both eyes."""
    return Measurements.from_binocular(64, None, height, height)


def lens(sphere: float, base_curve: float) -> LensBody:
    """A lens in a 54 by 40 shape."""
    return lens_body(SphereCylinder(sphere), FRAME.right, (2, 0), 1.5, base_curve, 2, 1, 1.3)


def changed(by: dict[int, int]) -> Trace:
    """The shape with some radii changed by hundredths of a mm."""
    return replace(SHAPE, hundredths=tuple(each + by.get(at, 0) for at, each in enumerate(SHAPE.hundredths)))


PLANO = pair("pl", "pl")
ALIKE = pair("-2.00 DS add 2.00", "-2.00 DS add 2.00")
ODD_AXIS = Prescription(EyePrescription(SphereCylinder(-1.0, -0.5, 90.5)), read_eye("-1.00 DS"))

FOUND: tuple[tuple[Callable[[], tuple[Finding, ...]], Finding], ...] = (
    (
        lambda: check_prescription(pair("-1.12 DS", "-1.00 DS")),
        Finding(
            Severity.WARNING,
            "OFF-QUARTER",
            "right.sphere",
            "-1.12",
            "0.25 D",
            "common_practice",
            "The right sphere is -1.12; powers are written in steps of 0.25. Check the prescription.",
        ),
    ),
    (
        lambda: check_prescription(pair("-1.00 DS", "-1.00 -0.37 x 10")),
        Finding(
            Severity.WARNING,
            "OFF-QUARTER",
            "left.cylinder",
            "-0.37",
            "0.25 D",
            "common_practice",
            ("The left cylinder is -0.37; powers are written in steps of 0.25. Check the prescription."),
        ),
    ),
    (
        lambda: check_prescription(pair("-1.10 DS", "-1.00 DS")),
        Finding(
            Severity.ERROR,
            "OFF-EIGHTH",
            "right.sphere",
            "-1.10",
            "0.25 D",
            "common_practice",
            ("The right sphere is -1.10; powers are written in steps of 0.25. Check the prescription."),
        ),
    ),
    (
        lambda: check_prescription(
            Prescription(EyePrescription(SphereCylinder(-1.0)), EyePrescription(SphereCylinder(-2.605)))
        ),
        Finding(
            Severity.ERROR,
            "OFF-EIGHTH",
            "left.sphere",
            "-2.605",
            "0.25 D",
            "common_practice",
            "The left sphere is -2.605; powers are written in steps of 0.25. Check the prescription.",
        ),
    ),
    (
        lambda: check_prescription(pair("-1.00 DS add 4.25", "-1.00 DS add 4.25")),
        Finding(
            Severity.WARNING,
            "ADD-RANGE",
            "right.add",
            "+4.25",
            "0.50 to 4.00 D",
            "common_practice",
            "The right add is 4.25; usual is 0.50 to 4.00. Check the prescription.",
        ),
    ),
    (
        lambda: check_prescription(pair("-1.00 DS add 2.25", "-1.00 DS add 2.00")),
        Finding(
            Severity.WARNING,
            "ADD-DIFFERS",
            "add",
            "2.25 and 2.00",
            "equal",
            "common_practice",
            "The adds differ: right 2.25, left 2.00. Check the prescription.",
        ),
    ),
    (
        lambda: check_prescription(pair("-1.00 DS add 2.00", "-1.00 DS")),
        Finding(
            Severity.WARNING,
            "ADD-ONE-EYE",
            "left.add",
            "none",
            "both eyes",
            "common_practice",
            (
                "The left eye has no add but the other one has. If 2.00 is the near power, the add is 3.00. "
                "Check the prescription."
            ),
        ),
    ),
    (
        lambda: check_prescription(pair("-7.00 DS", "-6.75 DS")),
        Finding(
            Severity.NOTE,
            "HIGH-POWER",
            "right.power",
            "-7.00",
            "7.00 D",
            "nfos_11a",
            ("The right lens has -7.00 D: the vertex distance matters. Ask at which distance it was tested."),
        ),
    ),
    (
        lambda: check_prescription(pair("-1.00 DS", "-2.25 DS")),
        Finding(
            Severity.WARNING,
            "ANISOMETROPIA",
            "power",
            "1.25",
            "1.00 D",
            "mccarthy_2013",
            "The eyes differ by 1.25 D in one meridian. Check the prescription.",
        ),
    ),
    (
        lambda: check_prescription(pair("-1.00 DS", "-3.00 DS")),
        Finding(
            Severity.WARNING,
            "ANISOMETROPIA-STRONG",
            "power",
            "2.00",
            "2.00 D",
            "cet_article",
            (
                "The eyes differ by 2.00 D in one meridian. Confirm it, and think of image size and "
                "of prism when reading."
            ),
        ),
    ),
    (
        lambda: check_prescription(pair("-0.50 DS", "+0.25 DS")),
        Finding(
            Severity.WARNING,
            "SIGN-MISMATCH",
            "sphere",
            "-0.50 DS and +0.25 DS",
            "0.50 D apart",
            "common_practice",
            ("One eye is plus and the other minus (-0.50 DS and +0.25 DS). Check the signs with the prescription."),
        ),
    ),
    (
        lambda: check_prescription(pair("-1.00 -0.50 x 90", "-1.50 +0.50 x 180")),
        Finding(
            Severity.WARNING,
            "CYLINDER-FORMS",
            "cylinder",
            "-0.50 and +0.50",
            "one form",
            "common_practice",
            ("The cylinders are -0.50 and +0.50: one plus, one minus. Check the signs with the prescription."),
        ),
    ),
    (
        lambda: check_prescription(pair("balance", "-4.00 DS")),
        Finding(
            Severity.NOTE,
            "BALANCE-LENS",
            "right.balance",
            "balance",
            "-",
            "common_practice",
            "The right lens only balances the other. Match its look and weight.",
        ),
    ),
    (
        lambda: check_prescription(pair("balance", "balance")),
        Finding(
            Severity.WARNING,
            "BALANCE-BOTH",
            "balance",
            "right and left",
            "one eye",
            "common_practice",
            ("Both lenses are written as balance, so neither eye is corrected. Check the prescription."),
        ),
    ),
    (
        lambda: check_prescription(pair("-1.00 DS 1 BU", "-1.00 DS 1 BU")),
        Finding(
            Severity.WARNING,
            "PRISM-SAME-VERTICAL",
            "prism",
            "up",
            "up before one, down before other",
            "common_practice",
            "Both eyes have prism base up, which partly cancels. Check the bases.",
        ),
    ),
    (
        lambda: check_prescription(pair("-1.00 DS 1 BI", "-1.00 DS 1 BO")),
        Finding(
            Severity.WARNING,
            "PRISM-OPPOSED",
            "prism",
            "in and out",
            "in before both or out before both",
            "common_practice",
            "The right prism is base in and the left one base out. Check the bases.",
        ),
    ),
    (
        lambda: check_prescription(PLANO, written_on=date(2026, 5, 5), today=TODAY),
        Finding(
            Severity.ERROR,
            "DATE-FUTURE",
            "written_on",
            "2026-05-05",
            "2026-05-04",
            "common_practice",
            "It was written on 2026-05-05, which is after today. Correct the date.",
        ),
    ),
    (
        lambda: check_prescription(PLANO, written_on=TODAY, expires_on=date(2026, 5, 3)),
        Finding(
            Severity.ERROR,
            "DATE-ORDER",
            "expires_on",
            "2026-05-03",
            "2026-05-04",
            "common_practice",
            "It expires on 2026-05-03 but was written on 2026-05-04. Correct one of the dates.",
        ),
    ),
    (
        lambda: check_prescription(PLANO, expires_on=date(2026, 5, 3), today=TODAY),
        Finding(
            Severity.WARNING,
            "PRESCRIPTION-EXPIRED",
            "expires_on",
            "2026-05-03",
            "2026-05-04",
            "common_practice",
            "The prescription expired on 2026-05-03. Ask for a new one; local rules decide.",
        ),
    ),
    (
        lambda: check_prescription(pair("-10.00 DS", "-10.00 DS")),
        Finding(
            Severity.WARNING,
            "SPHERE-UNUSUAL",
            "left.sphere",
            "-10.00",
            "10.00 D",
            "common_practice",
            "The left sphere is -10.00 D; from 10 on it is seldom meant so. Check its point.",
        ),
    ),
    (
        lambda: check_prescription(pair("-1.00 +4.00 x 90", "-1.00 DS")),
        Finding(
            Severity.WARNING,
            "CYLINDER-UNUSUAL",
            "right.cylinder",
            "+4.00",
            "4.00 D",
            "common_practice",
            "The right cylinder is +4.00 D; from 4 on it is seldom meant so. Check its point.",
        ),
    ),
    (
        lambda: check_prescription(pair("pl 4.80 BI 3.60 BU", "pl")),
        Finding(
            Severity.WARNING,
            "PRISM-UNUSUAL",
            "right.prism",
            "6.00",
            "6.00 prism dioptres",
            "common_practice",
            "The right prism is 6.00 prism dioptres in all; from 6 on it is seldom meant so. Check its point.",
        ),
    ),
    (
        lambda: check_prescription(pair("+1.00 DS add 3.00", "+1.50 DS add 3.50")),
        Finding(
            Severity.WARNING,
            "ADD-NEAR-POWER",
            "add",
            "3.00 and 3.50",
            "2.00 for both",
            "common_practice",
            (
                "The adds, right 3.00 and left 3.50, differ as the spheres do: they may be near powers, and the add "
                "2.00. Check the prescription."
            ),
        ),
    ),
    (
        lambda: check_prescription(PLANO, written_on=date(2024, 3, 2), today=TODAY, old_after=24),
        Finding(
            Severity.WARNING,
            "PRESCRIPTION-OLD",
            "written_on",
            "2024-03-02",
            "24 months",
            "common_practice",
            (
                "The prescription was written 2024-03-02, 2 years old; this shop asks after 24 months. "
                "Ask for a new one; local rules decide."
            ),
        ),
    ),
    (
        lambda: check_prescription(PLANO, expires_on=date(2026, 5, 24), today=TODAY),
        Finding(
            Severity.NOTE,
            "EXPIRES-SOON",
            "expires_on",
            "2026-05-24",
            "30 days",
            "common_practice",
            "The prescription expires on 2026-05-24, in 20 days.",
        ),
    ),
    (
        lambda: check_prescription(pair("-2.25 DS", "-2.25 DS"), previous=pair("-1.00 DS", "-2.25 DS")),
        Finding(
            Severity.WARNING,
            "CHANGE-UNUSUAL",
            "right.power",
            "1.25",
            "1.00 D",
            "common_practice",
            "The right eye changes from -1.00 DS to -2.25 DS, by 1.25 D in one meridian. Confirm it.",
        ),
    ),
    (
        lambda: check_prescription(
            pair("-1.00 DS add 2.00", "-1.00 DS add 2.00"), previous=pair("-1.00 DS add 2.25", "-1.00 DS add 2.00")
        ),
        Finding(
            Severity.WARNING,
            "ADD-CHANGE",
            "right.add",
            "-0.25",
            "0.00 to +0.75 D",
            "common_practice",
            "The right add changes from 2.25 to 2.00. Confirm it.",
        ),
    ),
    (
        lambda: check_prescription(ODD_AXIS),
        Finding(
            Severity.ERROR,
            "AXIS-RANGE",
            "right.axis",
            "90.5",
            "1 to 180",
            "iso_8429",
            "The right axis is 90.5; it is a whole number from 1 to 180. Correct it.",
        ),
    ),
    (
        lambda: check_measurements(Measurements.from_binocular(44.5)),
        Finding(
            Severity.ERROR,
            "PD-RANGE",
            "pd",
            "44.5",
            "45 to 80 mm",
            "dodgson_2004",
            "The PD is 44.5 mm; adults have 45 to 80. Measure again, or say that it is a child.",
        ),
    ),
    (
        lambda: check_measurements(Measurements.from_binocular(53.5)),
        Finding(
            Severity.WARNING,
            "PD-UNUSUAL",
            "pd",
            "53.5",
            "54 to 74 mm",
            "common_practice",
            "The PD is 53.5 mm; usual is 54 to 74. Measure again.",
        ),
    ),
    (
        lambda: check_measurements(Measurements(EyeMeasurements(34.5), EyeMeasurements(30))),
        Finding(
            Severity.WARNING,
            "MONO-PD-DIFFERS",
            "mono_pd",
            "+4.5",
            "4 mm",
            "common_practice",
            "The monocular PDs differ by 4.5 mm. Measure again.",
        ),
    ),
    (
        lambda: check_measurements(Measurements(EyeMeasurements(21.5), EyeMeasurements(25))),
        Finding(
            Severity.ERROR,
            "MONO-PD-RANGE",
            "right.mono_pd",
            "21.5",
            "22 to 40 mm",
            "common_practice",
            "The right PD is 21.5 mm; adults have 22 to 40. Measure again.",
        ),
    ),
    (
        lambda: check_measurements(Measurements.from_binocular(63, 62)),
        Finding(
            Severity.WARNING,
            "NEAR-PD-UNUSUAL",
            "near_pd",
            "62.0",
            "2 to 5 mm less",
            "common_practice",
            "The near PD is 1.0 mm less than the distance PD; usual is 2 to 5. Measure again.",
        ),
    ),
    (
        lambda: check_measurements(Measurements.from_binocular(63, None, 20)),
        Finding(
            Severity.WARNING,
            "HEIGHT-ONE-EYE",
            "left.fitting_height",
            "none",
            "both eyes",
            "common_practice",
            "The left eye has no height but the other one has. Measure it.",
        ),
    ),
    (
        lambda: check_measurements(Measurements.from_binocular(63, None, 20, 22.5)),
        Finding(
            Severity.WARNING,
            "HEIGHT-DIFFERS",
            "fitting_height",
            "-2.5",
            "2 mm",
            "common_practice",
            "The heights differ: right 20.0, left 22.5 mm. Check that the frame sits level.",
        ),
    ),
    (
        lambda: check_pair(ALIKE, heights(None), FRAME, LensUse.MULTIFOCAL),
        Finding(
            Severity.ERROR,
            "HEIGHT-MISSING",
            "right.fitting_height",
            "none",
            "needed",
            "common_practice",
            "The right height is missing, and a multifocal cannot be made without it. Measure it.",
        ),
    ),
    (
        lambda: check_pair(ALIKE, heights(17.5), FRAME, LensUse.MULTIFOCAL, minimum_fitting_height=18),
        Finding(
            Severity.ERROR,
            "HEIGHT-LOW",
            "right.fitting_height",
            "17.5",
            "at least 18 mm",
            "maker",
            "The right height is 17.5 mm from the lowest point; this design needs 18. "
            "Choose a shorter corridor or a deeper frame.",
        ),
    ),
    (
        lambda: check_pair(ALIKE, heights(45), FRAME, LensUse.MULTIFOCAL),
        Finding(
            Severity.ERROR,
            "HEIGHT-OUTSIDE",
            "right.fitting_height",
            "45.0",
            "below 40.0 mm",
            "definition",
            "The right height is 45.0 mm from the lowest point, but the lens is only 40.0 mm high. Measure again.",
        ),
    ),
    (
        lambda: check_pair(ALIKE, heights(20), FRAME, LensUse.MULTIFOCAL, progressive=True),
        Finding(
            Severity.WARNING,
            "MINIMUM-HEIGHT-MISSING",
            "right.fitting_height",
            "20.0",
            "maker's minimum",
            "common_practice",
            "The design's minimum fitting height is not known. Look it up in the maker's chart.",
        ),
    ),
    (
        lambda: check_pair(ALIKE, heights(20), FRAME, LensUse.MULTIFOCAL, maximum_fitting_height=19),
        Finding(
            Severity.ERROR,
            "HEIGHT-HIGH",
            "right.fitting_height",
            "20.0",
            "at most 19 mm",
            "maker",
            (
                "The right height is 20.0 mm from the lowest point; this design goes up to 19. "
                "Measure again, or choose a shallower frame or another design."
            ),
        ),
    ),
    (
        lambda: check_pair(ALIKE, heights(20), FRAME, LensUse.READING),
        Finding(
            Severity.WARNING,
            "NEAR-PD-MISSING",
            "right.near_pd",
            "none",
            "needed for reading",
            "common_practice",
            ("The right near PD is not known, so a reading lens would be centred for distance. Measure it."),
        ),
    ),
    (
        lambda: check_pair(ALIKE, Measurements.from_binocular(58), FRAME, LensUse.DISTANCE),
        Finding(
            Severity.WARNING,
            "DECENTRATION-UNUSUAL",
            "right.decentration",
            "+7.0",
            "-1 to 6 mm inward",
            "common_practice",
            (
                "The right centre stands +7.0 mm inward of the middle of its lens; usual is -1 to 6. "
                "Check the PD and the frame's size."
            ),
        ),
    ),
    (
        lambda: check_pair(ALIKE, heights(20), FRAME, LensUse.DISTANCE, blanks=(55, 70)),
        Finding(
            Severity.ERROR,
            "BLANK-SMALL",
            "right.blank",
            "55",
            "at least 65.0 mm",
            "definition",
            ("The right blank is 55 mm but the shape needs 65.0 mm. Order a larger blank or choose a smaller frame."),
        ),
    ),
    (
        lambda: check_pair(
            ALIKE, Measurements.from_binocular(54, None, 19, 19), CUT, LensUse.MULTIFOCAL, minimum_fitting_height=18.9
        ),
        Finding(
            Severity.WARNING,
            "DEPTH-BELOW",
            "right.trace",
            "16.2",
            "at least 18.9 mm",
            "definition",
            (
                "Straight below the right fitting point the lens ends after 16.2 mm; this design "
                "needs 18.9. The reading zone is cut off: choose another frame or corridor."
            ),
        ),
    ),
    (
        lambda: check_pair(pair("-1.00 DS add 2.00", "-2.00 DS add 2.00"), heights(20), FRAME, LensUse.MULTIFOCAL),
        Finding(
            Severity.WARNING,
            "IMBALANCE",
            "power",
            "1.00",
            "1.0 prism dioptres",
            "mccarthy_2013",
            (
                "At 10 mm below the centres the eyes differ by 1.00 prism dioptres up and down. Tell "
                "the wearer, or ask the prescriber."
            ),
        ),
    ),
    (
        lambda: check_pair(pair("-1.00 DS add 2.00", "-2.50 DS add 2.00"), heights(20), FRAME, LensUse.MULTIFOCAL),
        Finding(
            Severity.WARNING,
            "IMBALANCE-STRONG",
            "power",
            "1.50",
            "1.5 prism dioptres",
            "common_practice",
            (
                "At 10 mm below the centres the eyes differ by 1.50 prism dioptres up and down. "
                "Think of slab-off or of a separate reading pair."
            ),
        ),
    ),
    (
        lambda: check_bodies(lens(-10, 2), lens(-10, 2)),
        Finding(
            Severity.WARNING,
            "EDGE-THICK",
            "right.edge_thickness",
            "12.5",
            "7 mm",
            "common_practice",
            ("The right lens is 12.5 mm thick at its edge at 160 degrees. Offer a higher index, or a smaller frame."),
        ),
    ),
    (
        lambda: check_bodies(lens(8, 9), lens(8, 9)),
        Finding(
            Severity.WARNING,
            "CENTRE-THICK",
            "right.centre_thickness",
            "8.2",
            "7 mm",
            "common_practice",
            "The right lens is 8.2 mm thick at its centre. Offer a higher index, or a smaller frame.",
        ),
    ),
    (
        lambda: check_bodies(lens(-10, 2), lens(-1, 5), thick=20),
        Finding(
            Severity.NOTE,
            "WEIGHT-DIFFERS",
            "weight",
            "+7.9",
            "4 g",
            "common_practice",
            ("One lens is 7.9 g heavier than the other. A frame may sit askew: choose a lighter material."),
        ),
    ),
    (
        lambda: check_trace(changed({100: 40})),
        Finding(
            Severity.ERROR,
            "TRACE-SPIKE",
            "right.trace",
            "20.77",
            "0.30 mm",
            "common_practice",
            (
                "In the right trace one radius stands out by 0.38 mm at 90.0 degrees. Clean the "
                "tracer's stylus and trace again."
            ),
        ),
    ),
    (
        lambda: check_trace(changed({at: at // 4 for at in range(400)})),
        Finding(
            Severity.ERROR,
            "TRACE-OPEN",
            "right.trace",
            "28.27",
            "0.33 mm",
            "common_practice",
            (
                "In the right trace the outline is open by 0.99 mm at 359.1 degrees. Clean the "
                "tracer's stylus and trace again."
            ),
        ),
    ),
    (
        lambda: check_trace(changed({at: round((200 - at) / 2) for at in range(100, 200)})),
        Finding(
            Severity.ERROR,
            "TRACE-JUMP",
            "right.trace",
            "20.39",
            "0.33 mm",
            "common_practice",
            (
                "In the right trace the outline jumps by 0.49 mm at 89.1 degrees. Clean the tracer's "
                "stylus and trace again."
            ),
        ),
    ),
    (
        lambda: check_trace(Trace(Side.LEFT, (800,) * 72)),
        Finding(
            Severity.WARNING,
            "A-UNUSUAL",
            "left.trace.a",
            "16.00",
            "30 to 70 mm",
            "common_practice",
            "The left boxed width is 16.0 mm; usual is 30 to 70 mm. Check that this is the frame.",
        ),
    ),
    (
        lambda: check_trace(Trace(Side.LEFT, (800,) * 72))[1:],
        Finding(
            Severity.WARNING,
            "B-UNUSUAL",
            "left.trace.b",
            "16.00",
            "18 to 65 mm",
            "common_practice",
            "The left boxed height is 16.0 mm; usual is 18 to 65 mm. Check that this is the frame.",
        ),
    ),
    (
        lambda: check_trace(Trace(Side.LEFT, (2500,) * 72), StatedFigures(a=51)),
        Finding(
            Severity.WARNING,
            "TRACE-STATED",
            "left.trace.a",
            "50.00",
            "0.1 mm",
            "common_practice",
            (
                "The left boxed width is stated as 51.00 mm, but the radii give 50.00 mm. Trace "
                "again, or correct what is stated."
            ),
        ),
    ),
    (
        lambda: check_frame_trace(UNLIKE),
        Finding(
            Severity.WARNING,
            "TRACE-PAIR",
            "trace.a",
            "-0.28",
            "0.2 mm",
            "common_practice",
            (
                "The right shape's a is 50.00 mm and the left one's 50.28 mm. Check that the frame "
                "is not bent, or trace again."
            ),
        ),
    ),
    (
        lambda: check_frame_trace(FrameTrace(*ROUND, 8)),
        Finding(
            Severity.WARNING,
            "DBL-UNUSUAL",
            "trace.dbl",
            "8.00",
            "10 to 30 mm",
            "common_practice",
            ("The distance between lenses is 8.0 mm; usual is 10 to 30 mm. Check that this is the frame."),
        ),
    ),
    (
        lambda: check_frame_trace(FrameTrace(*ROUND, 20), eye_size=45),
        Finding(
            Severity.WARNING,
            "TRACE-CATALOGUE",
            "right.trace.a",
            "50.00",
            "1.5 mm",
            "common_practice",
            (
                "The catalogue says eye size 45 mm, but the trace has 50.0 mm. Check that this trace "
                "belongs to this frame."
            ),
        ),
    ),
    (
        lambda: check_frame_trace(FrameTrace(*ROUND, 20), bridge=18),
        Finding(
            Severity.WARNING,
            "TRACE-CATALOGUE",
            "trace.dbl",
            "20.00",
            "1.5 mm",
            "common_practice",
            (
                "The catalogue says bridge 18 mm, but the trace has 20.0 mm. Check that this trace "
                "belongs to this frame."
            ),
        ),
    ),
    (
        lambda: check_frame_trace(TWICE),
        Finding(
            Severity.WARNING,
            "TRACE-MIRROR",
            "trace",
            "0.93",
            "0.3 mm",
            "common_practice",
            (
                "The left shape differs from the mirrored right one by up to 0.93 mm. Check that one "
                "side was not traced twice or swapped."
            ),
        ),
    ),
)
"""What is checked, and one thing that is said of it."""


@pytest.mark.parametrize(("check", "said"), FOUND, ids=lambda case: getattr(case, "code", ""))
def test_a_finding_is_said_in_these_words(check: Callable[[], tuple[Finding, ...]], said: Finding) -> None:
    """Severity, code, field, value, limit, source and sentence are these and no others."""
    assert said in check()
    assert said.source in SOURCES


def test_every_code_stands_in_the_table() -> None:
    """No finding can be said in words that nobody has read."""
    import inspect
    import re

    from shopledger.optics import checks, pair_checks, trace_breaks, trace_checks, unlikely

    modules = (checks, pair_checks, trace_breaks, trace_checks, unlikely)
    written = "".join(inspect.getsource(module) for module in modules)
    codes = set(re.findall(r'"([A-Z]+(?:-[A-Z]+)+)"', written)) | {
        "IMBALANCE",
        "ANISOMETROPIA",
        "EDGE-THICK",
        "CENTRE-THICK",
    }
    assert codes == {said.code for _, said in FOUND}
