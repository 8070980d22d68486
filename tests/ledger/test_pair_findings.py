"""What is asked about a pair: dates on the day, missing measurements, fit in the shape or before it is traced."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from shopledger.ledger.catalogue import Design, Lens
from shopledger.ledger.orders import Pair
from shopledger.ledger.pair_findings import pair_findings
from shopledger.ledger.parties import Relationship, Wearer
from shopledger.ledger.prescription import WrittenPrescription
from shopledger.ledger.settings import Settings
from shopledger.ledger.traces import StoredTrace, TraceOrigin
from shopledger.optics.findings import Finding, Severity
from shopledger.optics.measurements import EyeMeasurements, Measurements
from shopledger.optics.notation import read_eye
from shopledger.optics.prescription import LensUse, Prescription
from shopledger.optics.sides import Side
from shopledger.optics.trace import FrameTrace, Trace
from tests.shelf import LINED, MARKED, SINGLE, WREN

DAY = date(2026, 3, 2)
WEARER = Wearer("Odalys Fernhollow", 1, number=1)
POWERS = Prescription(read_eye("-2.50 DS add 2.00"), read_eye("-2.25 DS add 2.00"))
WRITTEN = WrittenPrescription(1, 1, POWERS, DAY, number=1)
MEASURED = Measurements(EyeMeasurements(31.5, 30.0, 26), EyeMeasurements(31.0, 29.5, 26))
PAIR = Pair(1, 1, WREN.code, SINGLE.code, LensUse.DISTANCE, prescription_number=1, made=POWERS, measurements=MEASURED)
ROUND = StoredTrace(
    WREN.code,
    FrameTrace(Trace(Side.RIGHT, (2500,) * 72), Trace(Side.LEFT, (2500,) * 72), 18),
    TraceOrigin("round.txt", "0" * 64, DAY),
)
"""Two circles of 50 mm, 18 mm apart: with these PDs the centres stand 2.5 and 3 mm inward."""
MULTIFOCAL = replace(PAIR, lens_code=MARKED.code, use=LensUse.MULTIFOCAL)


def found(
    pair: Pair = PAIR,
    lens: Lens = SINGLE,
    written: WrittenPrescription | None = WRITTEN,
    trace: StoredTrace | None = ROUND,
    **more: Any,  # noqa: ANN401 - wearer, settings or day
) -> tuple[Finding, ...]:
    """Give what is found on a pair."""
    usual: dict[str, Any] = {"wearer": WEARER, "settings": Settings(), "day": DAY}
    return pair_findings(pair, dict.fromkeys(Side, lens), written=written, trace=trace, **(usual | more))


def codes(findings: tuple[Finding, ...]) -> list[tuple[str, str]]:
    """Give code and field of each finding."""
    return [(finding.code, finding.field) for finding in findings]


def heights(right: float | None, left: float | None) -> Measurements:
    """Give the measurements with these heights."""
    return Measurements(replace(MEASURED.right, fitting_height=right), replace(MEASURED.left, fitting_height=left))


def test_a_usual_pair_in_a_traced_frame_raises_no_question() -> None:
    """Single vision, or a progressive that is high enough."""
    assert found() == ()
    assert found(MULTIFOCAL, MARKED) == ()


def test_a_pair_without_a_prescription_has_nothing_to_check() -> None:
    """There are no lens values; not even a PD is needed."""
    assert found(replace(PAIR, made=None, measurements=None), written=None, trace=None) == ()
    assert found(replace(PAIR, made=None)) == ()


def test_a_missing_pd_is_an_error_with_or_without_a_trace() -> None:
    """Nothing can be centred; without measurements nothing else is asked about the shape."""
    unmeasured = replace(PAIR, measurements=None)
    (missing,) = found(unmeasured)
    assert (missing.severity, missing.code) == (Severity.ERROR, "PD-MISSING")
    assert missing.sentence == "No PD is given. Measure it and give it with the pair."
    assert codes(found(unmeasured, trace=None)) == [("PD-MISSING", "PD"), ("TRACE-MISSING", "trace")]


@pytest.mark.parametrize(
    ("expires", "code"),
    [
        (date(2026, 3, 1), "PRESCRIPTION-EXPIRED"),
        (date(2026, 3, 2), "EXPIRES-SOON"),
        (date(2026, 4, 1), "EXPIRES-SOON"),
        (date(2026, 4, 2), None),
        (None, None),
    ],
)
def test_the_prescription_s_expiry_is_judged_on_the_day(expires: date | None, code: str | None) -> None:
    """Expired after its last day; within 30 days it is told; without one nothing is made up."""
    written = replace(WRITTEN, written_on=date(2026, 1, 1), expires_on=expires)
    assert [finding.code for finding in found(written=written)] == ([code] if code else [])


def test_a_prescription_is_old_by_the_owner_s_months_alone() -> None:
    """24 months and a day with a limit of 24; an expiry as written goes first, and without a limit nothing is asked."""
    limit = Settings(prescription_months=24)
    old = replace(WRITTEN, written_on=date(2024, 3, 1))
    assert codes(found(written=old, settings=limit)) == [("PRESCRIPTION-OLD", "written_on")]
    assert found(written=old) == ()
    assert found(written=replace(old, written_on=date(2024, 3, 2)), settings=limit) == ()
    assert found(written=replace(old, expires_on=date(2027, 3, 1)), settings=limit) == ()


def test_what_was_settled_when_the_prescription_was_recorded_is_not_asked_again() -> None:
    """Adds that differ were accepted then; only the dates change with the day."""
    powers = Prescription(read_eye("-2.50 DS add 2.00"), read_eye("-2.25 DS add 2.25"))
    assert found(written=replace(WRITTEN, powers=powers)) == ()


def test_an_untraced_frame_is_told() -> None:
    """A note, since it may be traced before cutting."""
    (note,) = found(trace=None)
    assert (note.severity, note.code) == (Severity.NOTE, "TRACE-MISSING")
    assert note.sentence.startswith("Frame WREN-52 has no trace yet")


@pytest.mark.parametrize("trace", [None, ROUND])
def test_a_multifocal_without_heights_is_an_error_for_each_eye(trace: StoredTrace | None) -> None:
    """Traced or not."""
    errors = [each for each in found(replace(MULTIFOCAL, measurements=heights(None, None)), MARKED, trace=trace)
              if each.severity is Severity.ERROR]  # fmt: skip
    assert codes(tuple(errors)) == [
        ("HEIGHT-MISSING", "right.fitting_height"),
        ("HEIGHT-MISSING", "left.fitting_height"),
    ]


@pytest.mark.parametrize("trace", [None, ROUND])
@pytest.mark.parametrize(("height", "low"), [(16.9, True), (17.0, False)])
def test_a_height_below_the_maker_s_is_an_error(trace: StoredTrace | None, height: float, low: bool) -> None:
    """The catalogue says 17 mm: that will do, and less will not; traced or not."""
    measured = replace(MULTIFOCAL, measurements=heights(height, height))
    errors = [each.code for each in found(measured, MARKED, trace=trace) if each.severity is Severity.ERROR]
    assert errors == (["HEIGHT-LOW", "HEIGHT-LOW"] if low else [])


def test_a_low_height_names_lens_and_limit_before_the_trace() -> None:
    """The sentence says what the lens needs and both ways on."""
    findings = found(replace(MULTIFOCAL, measurements=heights(15, 20)), MARKED, trace=None)
    low = next(each for each in findings if each.code == "HEIGHT-LOW")
    assert low.sentence == (
        "The right fitting height is 15 mm from the lowest point; Even progressive needs 17 mm. "
        "Choose a shorter corridor or a deeper frame."
    )


def test_heights_do_not_matter_for_single_vision() -> None:
    """Without them the centre stands in the middle."""
    assert found(replace(PAIR, measurements=heights(None, None))) == ()


def test_only_a_progressive_asks_for_the_maker_s_minimum() -> None:
    """A bifocal has none."""
    unknown = replace(MARKED, min_fitting_height=None)
    assert [each.code for each in found(MULTIFOCAL, unknown)] == ["MINIMUM-HEIGHT-MISSING"] * 2
    assert found(MULTIFOCAL, replace(unknown, design=Design.BIFOCAL, design_part=0, distance_up=4)) == ()


def test_what_is_assumed_of_a_blank_is_told() -> None:
    """A note where the catalogue does not say where cross or segment stand; nothing where it does."""
    (cross,) = found(MULTIFOCAL, replace(MARKED, fitting_up=None))
    assert (cross.severity, cross.code) == (Severity.NOTE, "BLANK-MARKS-MISSING")
    assert "where the fitting cross stands on the blank, so it is taken for the blank's middle" in cross.sentence
    bare = replace(LINED, fitting_in=None, distance_up=None)
    (segment,) = (each for each in found(MULTIFOCAL, bare) if each.severity is Severity.NOTE)
    assert "segment's top" in segment.sentence
    assert "nor how high the distance centre stands" in segment.sentence
    assert found(MULTIFOCAL, replace(LINED, max_fitting_height=None)) == ()


def test_a_segment_without_near_pd_is_asked_about() -> None:
    """With a trace and without one, for each eye."""
    unmeasured = replace(
        MULTIFOCAL, measurements=Measurements(EyeMeasurements(31.5, None, 20), EyeMeasurements(31, None, 20))
    )
    for trace in (ROUND, None):
        asked = [each.field for each in found(unmeasured, LINED, trace=trace) if each.code == "NEAR-PD-MISSING"]
        assert asked == ["right.near_pd", "left.near_pd"]


def test_the_maker_s_largest_height_holds_without_a_trace_too() -> None:
    """26 is the most of this bifocal."""
    high = replace(MULTIFOCAL, measurements=heights(26.5, 26))
    for trace in (ROUND, None):
        assert ("HEIGHT-HIGH", "right.fitting_height") in codes(found(high, LINED, trace=trace))


def test_the_largest_blank_decides() -> None:
    """Moved 3 mm inward and 1 mm up a 50 mm circle needs 2 (25 + 3.162) + 2 = 58.3 mm at the most, and 58 at least."""
    assert found(lens=replace(SINGLE, blank_diameters=(50, 59))) == ()
    small = found(lens=replace(SINGLE, blank_diameters=(50, 55)))
    assert codes(small) == [("BLANK-SMALL", "right.blank"), ("BLANK-SMALL", "left.blank")]
    assert small[0].value == "55"
    assert found(lens=replace(SINGLE, blank_diameters=())) == ()


def test_the_shop_s_allowance_makes_a_blank_too_small() -> None:
    """With 5 mm to grind the 59 mm of before are not enough for either eye."""
    small = found(lens=replace(SINGLE, blank_diameters=(59,)), settings=Settings(blank_allowance=5.0))
    assert codes(small) == [("BLANK-SMALL", "right.blank"), ("BLANK-SMALL", "left.blank")]


def test_the_gravest_comes_first_and_nothing_twice() -> None:
    """An error before a warning before a note."""
    expired = replace(WRITTEN, written_on=date(2026, 1, 1), expires_on=date(2026, 3, 1))
    findings = found(replace(MULTIFOCAL, measurements=heights(None, None)), MARKED, expired, None)
    assert [each.code for each in findings] == [
        "HEIGHT-MISSING",
        "HEIGHT-MISSING",
        "PRESCRIPTION-EXPIRED",
        "TRACE-MISSING",
    ]
    assert len(set(findings)) == len(findings)


@pytest.mark.parametrize(
    ("born", "refused"),
    [
        (None, True),
        (date(2010, 3, 1), True),
        (date(2010, 3, 2), True),
        (date(2010, 3, 3), False),
        (date(2010, 12, 31), False),
        (date(2020, 2, 29), False),
    ],
)
def test_a_child_s_small_pd_is_usual_until_the_sixteenth_birthday(born: date | None, refused: bool) -> None:
    """44 mm is refused for a grown-up, as is anybody whose birth date is not known; a child may have it."""
    child = Wearer("Wren Fernhollow", 1, Relationship.CHILD, born, number=2)
    measured = replace(PAIR, measurements=Measurements.from_binocular(44))
    errors = [each.code for each in found(measured, trace=None, wearer=child) if each.severity is Severity.ERROR]
    assert errors == (["PD-RANGE"] if refused else [])
