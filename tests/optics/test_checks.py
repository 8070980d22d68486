"""What is asked about prescriptions and measurements, and what is not."""

from __future__ import annotations

from datetime import date

import pytest

from shopledger.optics.age import age_in_words
from shopledger.optics.checks import check_measurements, check_prescription, meridional_difference
from shopledger.optics.findings import Finding, Severity
from shopledger.optics.measurements import EyeMeasurements, Measurements
from shopledger.optics.notation import read_eye, read_power
from shopledger.optics.power import SphereCylinder
from shopledger.optics.prescription import EyePrescription, Prescription
from shopledger.optics.sources import SOURCES

TODAY = date(2026, 5, 4)
NEAR = ("warning", "ADD-NEAR-POWER", "add")
DIFFERS = ("warning", "ADD-DIFFERS", "add")
BALANCED = ("note", "BALANCE-LENS", "right.balance")
HIGH = [("note", "HIGH-POWER", f"{side}.power") for side in ("right", "left")]


def pair(right: str, left: str) -> Prescription:
    """Both eyes from text."""
    return Prescription(read_eye(right), read_eye(left))


def summary(found: tuple[Finding, ...]) -> list[tuple[str, str, str]]:
    """Severity, code and field of each finding."""
    assert all(each.source in SOURCES and each.sentence.endswith(".") for each in found)
    return [(each.severity.value, each.code, each.field) for each in found]


def test_an_ordinary_prescription_raises_nothing() -> None:
    """Quarter steps, one form, equal adds and eyes alike are not asked about."""
    ordinary = pair("-2.50 -1.25 x 090 add 2.00 0.5 BU", "-2.25 -0.75 x 085 add 2.00 0.5 BD")
    assert check_prescription(ordinary, date(2026, 1, 2), date(2028, 1, 2), TODAY, ordinary) == ()


@pytest.mark.parametrize(
    ("right", "left", "expected"),
    [
        ("-1.12 DS", "-1.00 DS", [("warning", "OFF-QUARTER", "right.sphere")]),
        ("-1.00 -0.37 x 10", "-1.00 DS", [("warning", "OFF-QUARTER", "right.cylinder")]),
        ("-1.00 DS", "-1.10 DS", [("error", "OFF-EIGHTH", "left.sphere")]),
        (
            "-1.00 DS add 0.25",
            "-1.00 DS add 0.25",
            [("warning", "ADD-RANGE", f"{side}.add") for side in ("right", "left")],
        ),
        (
            "-1.00 DS add 4.25",
            "-1.00 DS add 4.00",
            [("warning", "ADD-RANGE", "right.add"), ("warning", "ADD-DIFFERS", "add")],
        ),
        ("-1.00 DS add 2.00", "-1.00 DS", [("warning", "ADD-ONE-EYE", "left.add")]),
        ("-1.00 DS", "-1.00 DS add 2.00", [("warning", "ADD-ONE-EYE", "right.add")]),
        ("-7.00 DS", "-6.75 DS", [("note", "HIGH-POWER", "right.power")]),
        ("-1.00 DS", "-2.00 DS", []),
        ("-1.00 DS", "-2.25 DS", [("warning", "ANISOMETROPIA", "power")]),
        ("-1.00 DS", "-3.00 DS", [("warning", "ANISOMETROPIA-STRONG", "power")]),
        ("-1.00 -1.50 x 90", "-1.00 DS", [("warning", "ANISOMETROPIA", "power")]),
        ("-0.25 DS", "+0.25 DS", []),
        ("-0.25 DS", "-1.00 DS", []),
        ("plano", "-0.75 DS", []),
        ("plano", "+0.75 DS", []),
        ("-1.00 DS add 0.50", "-1.00 DS add 0.50", []),
        ("-1.00 -0.50 x 1", "-1.00 -0.50 x 180", []),
        ("-1.00 DS 1 BI", "-1.00 DS 1 BI", []),
        ("-1.00 DS 1 BO", "-1.00 DS", []),
        ("-1.00 DS 1 BU", "-1.00 DS 1 BD", []),
        ("-1.00 -1.00 x 45", "-1.00 -1.00 x 135", []),
        ("-1.00 -1.25 x 45", "-1.00 -1.25 x 135", [("warning", "ANISOMETROPIA", "power")]),
        ("-0.50 DS", "+0.25 DS", [("warning", "SIGN-MISMATCH", "sphere")]),
        ("-1.00 -0.50 x 90", "-1.50 +0.50 x 180", [("warning", "CYLINDER-FORMS", "cylinder")]),
        ("-9.75 DS", "-9.75 DS", [("note", "HIGH-POWER", f"{side}.power") for side in ("right", "left")]),
        ("+10.00 DS", "+9.75 DS", [("warning", "SPHERE-UNUSUAL", "right.sphere"), *HIGH]),
        ("balance -12.00", "-9.75 DS", [("warning", "SPHERE-UNUSUAL", "right.sphere"), *HIGH, BALANCED]),
        ("-1.00 -3.75 x 90", "-1.00 -3.75 x 90", []),
        ("-1.00 -4.00 x 90", "-1.00 -3.75 x 90", [("warning", "CYLINDER-UNUSUAL", "right.cylinder")]),
        (
            "-1.00 DS",
            "+1.00 +4.00 x 90",
            [
                ("warning", "CYLINDER-UNUSUAL", "left.cylinder"),
                ("warning", "SIGN-MISMATCH", "sphere"),
                ("warning", "ANISOMETROPIA-STRONG", "power"),
            ],
        ),
        ("-1.00 DS 5.75 BI", "-1.00 DS 5.75 BI", []),
        ("-1.00 DS 6.00 BI", "-1.00 DS", [("warning", "PRISM-UNUSUAL", "right.prism")]),
        ("-1.00 DS", "-1.00 DS 4.00 BI 4.50 BU", [("warning", "PRISM-UNUSUAL", "left.prism")]),
        ("-1.00 DS 3.00 BI 5.00 BU", "-1.00 DS", []),
        ("+1.00 DS add 3.00", "+1.50 DS add 3.50", [DIFFERS, NEAR]),
        ("-1.00 DS add 1.00", "-0.50 DS add 1.50", [DIFFERS, NEAR]),
        ("+1.00 DS add 3.00", "+1.50 DS add 3.25", [DIFFERS]),
        ("+1.00 DS add 2.00", "+1.50 DS add 2.00", []),
        ("+1.00 DS add 1.25", "+1.50 DS add 1.75", [DIFFERS]),
        ("balance", "-4.00 DS", [("note", "BALANCE-LENS", "right.balance")]),
        ("-4.00 DS", "balance", [("note", "BALANCE-LENS", "left.balance")]),
        ("balance", "balance", [("warning", "BALANCE-BOTH", "balance")]),
        ("-1.00 DS 1 BU", "-1.00 DS 1 BU", [("warning", "PRISM-SAME-VERTICAL", "prism")]),
        ("-1.00 DS 1 BD", "-1.00 DS 1 BD", [("warning", "PRISM-SAME-VERTICAL", "prism")]),
        ("-1.00 DS 1 BI", "-1.00 DS 1 BO", [("warning", "PRISM-OPPOSED", "prism")]),
        ("-1.00 DS 1 BO", "-1.00 DS 1 BI", [("warning", "PRISM-OPPOSED", "prism")]),
    ],
)
def test_each_oddity_of_a_prescription_is_asked_about_once(
    right: str, left: str, expected: list[tuple[str, str, str]]
) -> None:
    """Every rule speaks at its limit and is silent before it."""
    assert summary(check_prescription(pair(right, left))) == expected


def test_a_calculated_axis_is_no_written_one() -> None:
    """An axis off the whole degree is an error in a prescription."""
    eye = EyePrescription(SphereCylinder(-1, -0.5, 90.5))
    assert ("error", "AXIS-RANGE", "right.axis") in summary(check_prescription(Prescription(eye, eye)))
    low = EyePrescription(SphereCylinder(-1, -0.5, 0.5))
    assert ("error", "AXIS-RANGE", "left.axis") in summary(check_prescription(Prescription(low, low)))


@pytest.mark.parametrize(
    ("written", "expires", "expected"),
    [
        (date(2026, 5, 5), None, [("error", "DATE-FUTURE", "written_on")]),
        (
            date(2026, 5, 4),
            date(2026, 5, 3),
            [("error", "DATE-ORDER", "expires_on"), ("warning", "PRESCRIPTION-EXPIRED", "expires_on")],
        ),
        (date(2024, 5, 3), date(2026, 5, 3), [("warning", "PRESCRIPTION-EXPIRED", "expires_on")]),
        (date(2024, 5, 4), date(2026, 5, 4), [("note", "EXPIRES-SOON", "expires_on")]),
        (None, date(2026, 6, 3), [("note", "EXPIRES-SOON", "expires_on")]),
        (None, date(2026, 6, 4), []),
        (date(2026, 5, 4), date(2026, 5, 4), [("note", "EXPIRES-SOON", "expires_on")]),
    ],
)
def test_dates_are_judged_against_today(
    written: date | None, expires: date | None, expected: list[tuple[str, str, str]]
) -> None:
    """The day of expiry itself is still good; thirty days before it is told."""
    assert summary(check_prescription(pair("pl", "pl"), written, expires, TODAY)) == expected


def test_without_today_no_date_is_judged_against_it() -> None:
    """Only the order of the two dates can be judged then."""
    assert check_prescription(pair("pl", "pl"), date(2030, 1, 1), date(2031, 1, 1)) == ()


def test_each_eye_is_compared_with_its_own_last_prescription() -> None:
    """A change on one side is told of this side, and a balance lens on the other does not hide it."""
    before = pair("-1.00 DS", "-2.00 DS")
    assert summary(check_prescription(pair("-1.00 DS", "-1.75 DS"), previous=before)) == []
    changed = check_prescription(pair("balance", "-4.00 DS"), previous=before)
    assert summary(changed) == [("warning", "CHANGE-UNUSUAL", "left.power"), ("note", "BALANCE-LENS", "right.balance")]
    other = check_prescription(pair("-4.00 DS", "balance"), previous=before)
    assert summary(other) == [("warning", "CHANGE-UNUSUAL", "right.power"), ("note", "BALANCE-LENS", "left.balance")]


@pytest.mark.parametrize(
    ("before", "now", "expected"),
    [
        ("-1.00 DS", "-2.00 DS", []),
        (
            "-1.00 DS",
            "-2.25 DS",
            [("warning", "CHANGE-UNUSUAL", "right.power"), ("warning", "CHANGE-UNUSUAL", "left.power")],
        ),
        (
            "-1.00 -2.00 x 10",
            "-1.00 -2.00 x 80",
            [("warning", "CHANGE-UNUSUAL", f"{s}.power") for s in ("right", "left")],
        ),
        ("-1.00 DS add 1.00", "-1.00 DS add 1.75", []),
        ("-1.00 DS add 1.00", "-1.00 DS add 2.00", [("warning", "ADD-CHANGE", f"{s}.add") for s in ("right", "left")]),
        ("-1.00 DS add 2.00", "-1.00 DS add 1.75", [("warning", "ADD-CHANGE", f"{s}.add") for s in ("right", "left")]),
        ("-1.00 DS", "-1.00 DS add 2.00", []),
        ("balance", "-5.00 DS", []),
    ],
)
def test_a_change_beyond_the_usual_is_asked_about(before: str, now: str, expected: list[tuple[str, str, str]]) -> None:
    """More than a dioptre in any meridian, an add that falls or leaps; common practice, no source."""
    assert summary(check_prescription(pair(now, now), previous=pair(before, before))) == expected


def test_transposing_is_no_difference() -> None:
    """The same power in the other form differs by nothing."""
    power = read_power("+1.00 -2.50 x 035")
    assert meridional_difference(power, power.transposed()) == 0


@pytest.mark.parametrize(
    ("measured", "child", "expected"),
    [
        (Measurements.from_binocular(63, 60, 20, 20), False, []),
        (Measurements.from_binocular(54), False, []),
        (Measurements.from_binocular(74), False, []),
        (Measurements.from_binocular(45), False, [("warning", "PD-UNUSUAL", "pd")]),
        (Measurements.from_binocular(80), False, [("warning", "PD-UNUSUAL", "pd")]),
        (Measurements(EyeMeasurements(22), EyeMeasurements(25)), False, [("warning", "PD-UNUSUAL", "pd")]),
        (Measurements.from_binocular(63, 61), False, []),
        (Measurements.from_binocular(63, 58), False, []),
        (Measurements.from_binocular(63, 61.5), False, [("warning", "NEAR-PD-UNUSUAL", "near_pd")]),
        (Measurements.from_binocular(63, 57.6), False, [("warning", "NEAR-PD-UNUSUAL", "near_pd")]),
        (Measurements.from_binocular(63, None, 20, 22), False, []),
        (Measurements.from_binocular(53.5), False, [("warning", "PD-UNUSUAL", "pd")]),
        (Measurements.from_binocular(74.5), False, [("warning", "PD-UNUSUAL", "pd")]),
        (Measurements.from_binocular(44.5), True, []),
        (Measurements.from_binocular(43), False, [("error", "PD-RANGE", "pd")]),
        (
            Measurements(EyeMeasurements(21.5), EyeMeasurements(21.5)),
            False,
            [
                ("error", "PD-RANGE", "pd"),
                ("error", "MONO-PD-RANGE", "right.mono_pd"),
                ("error", "MONO-PD-RANGE", "left.mono_pd"),
            ],
        ),
        (Measurements(EyeMeasurements(34), EyeMeasurements(30)), False, []),
        (Measurements(EyeMeasurements(34.5), EyeMeasurements(30)), False, [("warning", "MONO-PD-DIFFERS", "mono_pd")]),
        (Measurements.from_binocular(63, 62), False, [("warning", "NEAR-PD-UNUSUAL", "near_pd")]),
        (Measurements.from_binocular(63, 57), False, [("warning", "NEAR-PD-UNUSUAL", "near_pd")]),
        (Measurements.from_binocular(63, None, 20), False, [("warning", "HEIGHT-ONE-EYE", "left.fitting_height")]),
        (
            Measurements.from_binocular(63, None, None, 20),
            False,
            [("warning", "HEIGHT-ONE-EYE", "right.fitting_height")],
        ),
        (Measurements.from_binocular(63, None, 20, 22.5), False, [("warning", "HEIGHT-DIFFERS", "fitting_height")]),
    ],
)
def test_each_oddity_of_measurements_is_asked_about_once(
    measured: Measurements, child: bool, expected: list[tuple[str, str, str]]
) -> None:
    """Adults from 45 to 80, seldom outside 54 to 74; children from 40; [dodgson_2004] and common practice."""
    assert summary(check_measurements(measured, child=child)) == expected


def test_an_error_stops_and_a_question_does_not() -> None:
    """Only errors stop."""
    found = check_prescription(pair("-1.10 DS", "-1.12 DS"))
    assert [each.stops for each in found] == [True, False]
    assert [each.severity for each in found] == [Severity.ERROR, Severity.WARNING]


@pytest.mark.parametrize(
    ("before", "now", "asked"),
    [
        ("+1.00 DS add 2.00", "+1.25 DS add 3.25", True),
        ("+1.00 DS add 2.00", "+1.25 DS add 2.25", False),
        ("-2.00 DS add 2.50", "-1.75 DS add 0.75", True),
        ("plano add 2.00", "plano add 2.00", False),
        ("+1.00 DS add 1.00", "+1.00 DS add 2.00", True),
        ("+1.00 DS", "+1.00 DS add 2.00", False),
    ],
)
def test_an_add_that_is_sphere_and_add_of_before_is_asked_about(before: str, now: str, asked: bool) -> None:
    """The near power may stand where the add belongs; common practice, no source."""
    found = summary(check_prescription(pair(now, now), previous=pair(before, before)))
    near = [("warning", "ADD-NEAR-POWER", f"{side}.add") for side in ("right", "left")]
    assert [each for each in found if each[1] == "ADD-NEAR-POWER"] == (near if asked else [])


@pytest.mark.parametrize(
    ("right", "said"),
    [
        ("+1.00 DS add 4.50", "If 4.50 is the near power, the add is 3.50."),
        ("+0.25 DS add 4.50", ""),
        ("plano add 4.50", ""),
    ],
)
def test_an_add_beyond_the_usual_names_the_add_that_may_be_meant(right: str, said: str) -> None:
    """Where a usual add stands above the sphere."""
    (sentence,) = (each.sentence for each in check_prescription(pair(right, "plano")) if each.code == "ADD-RANGE")
    assert ("near power" in sentence, said in sentence) == (bool(said), True)


@pytest.mark.parametrize(
    ("written", "expires", "today", "old"),
    [
        (date(2024, 5, 4), None, date(2026, 5, 4), False),
        (date(2024, 5, 3), None, date(2026, 5, 4), True),
        (date(2024, 5, 3), date(2026, 12, 31), date(2026, 5, 4), False),
        (date(2024, 2, 29), None, date(2026, 3, 1), False),
        (date(2024, 2, 29), None, date(2026, 3, 2), True),
    ],
)
def test_a_prescription_is_old_after_the_owner_s_months(
    written: date, expires: date | None, today: date, old: bool
) -> None:
    """The last day is still good, and an expiry as written goes first; without a limit no age is asked about."""
    found = check_prescription(pair("pl", "pl"), written, expires, today, old_after=24)
    assert [each.code for each in found] == (["PRESCRIPTION-OLD"] if old else [])
    assert check_prescription(pair("pl", "pl"), written, expires, today) == ()


@pytest.mark.parametrize(
    ("written", "said"),
    [
        (date(2026, 5, 5), "written 2026-05-05"),
        (date(2026, 5, 4), "written 2026-05-04, of today"),
        (date(2026, 5, 3), "written 2026-05-03, 1 day old"),
        (date(2026, 4, 4), "written 2026-04-04, 30 days old"),
        (date(2026, 4, 3), "written 2026-04-03, 1 month old"),
        (date(2025, 3, 5), "written 2025-03-05, 13 months old"),
        (date(2024, 5, 5), "written 2024-05-05, 23 months old"),
        (date(2024, 5, 4), "written 2024-05-04, 2 years old"),
        (date(2022, 5, 5), "written 2022-05-05, 3 years old"),
    ],
)
def test_an_age_is_said_in_the_unit_that_fits(written: date, said: str) -> None:
    """Days for a month, months for two years, then years that are over."""
    assert age_in_words(written, TODAY) == said
