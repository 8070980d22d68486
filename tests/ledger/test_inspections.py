"""Inspections, proofs of impact resistance and remakes as values: what they hold, refuse and come to."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from shopledger.errors import RefusedError
from shopledger.ledger.inspections import (
    BenchHistory,
    Checked,
    DemoCheck,
    ImpactProof,
    ImpactRecord,
    Inspection,
    LensFigures,
    MakersSheet,
    Omission,
    PairFigures,
    Remake,
    kept_until,
)
from shopledger.optics.inspection import Verdict
from shopledger.optics.power import SphereCylinder
from shopledger.optics.prescription import EyePrescription, Prescription
from shopledger.optics.refusals import OutOfRangeError
from shopledger.optics.tolerances import LensType

DAY = date(2026, 3, 9)
PLANO = EyePrescription(SphereCylinder(0.0))
PAIR = PairFigures(LensFigures(PLANO), LensFigures(PLANO))
GOOD = Verdict("sphere", "right", 0.0, 0.0, 0.0, 0.13, "D", "a rule", "ansi_z80_1", passed=True)
BAD = replace(GOOD, where="left", passed=False)
PASSED = Inspection(1, DAY, LensType.SINGLE_VISION, "ANSI Z80.1", "2015", PAIR, PAIR, (GOOD,), number=1)


def test_an_inspection_passes_when_everything_does() -> None:
    """One verdict, one point of the checklist or one mark that is not good fails it, and is named."""
    assert (PASSED.passed, PASSED.failures) == (True, ())
    for failed, named in (
        (replace(PASSED, verdicts=(GOOD, BAD)), ("left sphere",)),
        (replace(PASSED, off=(Checked.SEATING, Checked.TEMPLES)), ("temples", "lens seating")),
        (replace(PASSED, marks_seen=(False, True)), ("right engraved marks",)),
        (replace(PASSED, demo_lenses=DemoCheck.IN), ("demonstration lenses still in the frame",)),
    ):
        assert (failed.passed, failed.failures) == (False, named)


def test_marks_that_are_not_looked_for_do_not_fail() -> None:
    """A single vision lens has none."""
    assert replace(PASSED, marks_seen=(None, None)).passed


def test_an_inspection_of_nothing_is_refused() -> None:
    """Nothing judged is nothing passed."""
    with pytest.raises(RefusedError, match="Read both lenses"):
        replace(PASSED, verdicts=())


@pytest.mark.parametrize(("thickness", "curve"), [(0.4, None), (31.0, None), (None, -0.25), (None, 20.25)])
def test_no_lens_has_such_a_thickness_or_curve(thickness: float | None, curve: float | None) -> None:
    """Outside 0.5 to 30 mm, or 0 to 20 D, a digit was slipped (common practice, no source)."""
    with pytest.raises(OutOfRangeError):
        LensFigures(PLANO, centre_thickness=thickness, base_curve=curve)


def test_a_makers_sheet_is_known_by_a_whole_hash() -> None:
    """SHA-256 is 64 hexadecimal digits."""
    powers = Prescription(PLANO, PLANO)
    assert MakersSheet(powers, " a  sheet.pdf ", "ab" * 32).file_name == "a sheet.pdf"
    for digits in ("ab" * 31, "AB" * 32, "xy" * 32):
        with pytest.raises(RefusedError, match="64 hexadecimal"):
            MakersSheet(powers, "sheet.pdf", digits)


@pytest.mark.parametrize("said", ["the customer wishes it", "signed waiver", "the Wearer asked", "patient's wish"])
def test_a_customers_wish_is_no_exception(said: str) -> None:
    """21 CFR 801.410(c)(1): a physician or optometrist directs it in writing; FDA guidance of 2010, question 53."""
    with pytest.raises(RefusedError, match="only the prescriber may except a patient, in writing"):
        ImpactRecord(1, DAY, ImpactProof.EXCEPTION, said)
    assert ImpactRecord(1, DAY, ImpactProof.CERTIFICATE, said).reference == said


def test_a_proof_needs_a_reference() -> None:
    """Certificate or letter: without it nothing is proven."""
    for proof in ImpactProof:
        with pytest.raises(RefusedError, match=f"{proof.value} reference is empty"):
            ImpactRecord(1, DAY, proof, " ")


@pytest.mark.parametrize(
    ("shipped", "until"),
    [
        (date(2026, 3, 9), date(2029, 3, 9)),
        (date(2028, 2, 29), date(2031, 3, 1)),
        (date(2026, 12, 31), date(2029, 12, 31)),
    ],
)
def test_records_are_kept_three_years_from_shipping(shipped: date, until: date) -> None:
    """21 CFR 801.410(e): three years; counted from shipping, and never a day less."""
    assert kept_until(shipped) == until


def test_a_remake_has_a_reason_and_a_cost_that_is_not_negative() -> None:
    """A remake for nothing may cost nothing."""
    assert Remake(1, DAY, "  axis   off ", 0).reason == "axis off"
    with pytest.raises(RefusedError, match="reason is empty"):
        Remake(1, DAY, " ", 100)
    with pytest.raises(RefusedError, match=r"cost is -0\.01"):
        Remake(1, DAY, "axis off", -1)
    with pytest.raises(RefusedError, match="reason is empty"):
        Omission(1, "")


def test_the_newest_inspection_counts_and_none_before_a_remake() -> None:
    """Why a job may not leave yet, in words; empty where it may."""
    failed = replace(PASSED, verdicts=(BAD,), number=2)
    again = Remake(1, DAY, "axis off", 0, follows=2)
    for history, why in (
        (BenchHistory(1), "was not inspected"),
        (BenchHistory(1, (), (Remake(1, DAY, "dropped", 0),)), "was not inspected"),
        (BenchHistory(1, (PASSED,), (Remake(1, DAY, "dropped", 0),)), ""),
        (BenchHistory(1, (PASSED,)), ""),
        (BenchHistory(1, (PASSED, failed)), "failed its inspection (left sphere)"),
        (BenchHistory(1, (PASSED, failed), (again,)), "was not inspected since it was made again"),
        (BenchHistory(1, (failed, replace(PASSED, number=3)), (again,)), ""),
    ):
        assert history.lacking == why


def seen(number: int, demo_lenses: DemoCheck | None, day: date = DAY) -> Inspection:
    """Give an inspection at which the frame's demonstration lenses were seen so."""
    return replace(PASSED, number=number, demo_lenses=demo_lenses, day=day)


@pytest.mark.parametrize(
    ("inspections", "remakes", "out"),
    [
        ((), (), False),
        ((seen(1, None),), (), False),
        ((seen(1, DemoCheck.NONE),), (), False),
        ((seen(1, DemoCheck.OUT),), (), True),
        ((seen(1, DemoCheck.IN), seen(2, DemoCheck.OUT)), (), True),
        ((seen(1, DemoCheck.OUT), seen(2, None)), (), True),
        ((seen(1, DemoCheck.OUT), seen(2, DemoCheck.IN)), (), False),
        ((seen(1, DemoCheck.OUT, DAY.replace(day=10)),), (), False),
        ((seen(1, DemoCheck.OUT),), (Remake(1, DAY, "scratched", 0, follows=1),), False),
        ((seen(1, DemoCheck.OUT),), (Remake(1, DAY.replace(day=10), "scratched", 0, follows=1),), True),
        ((seen(1, None), seen(2, DemoCheck.OUT)), (Remake(1, DAY, "scratched", 0, follows=1),), True),
    ],
)
def test_demonstration_lenses_are_out_where_the_bench_said_so(
    inspections: tuple[Inspection, ...], remakes: tuple[Remake, ...], out: object
) -> None:
    """By the day asked about, and not before the job was made again: nobody asked is nobody's word."""
    assert BenchHistory(1, inspections, remakes).demo_lenses_out(DAY) is out
