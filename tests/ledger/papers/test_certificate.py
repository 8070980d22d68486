"""What an inspection record says: figures as each kind is written, the outcome, the proof, the time of keeping."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date

import pytest

from shopledger.errors import LedgerError
from shopledger.ledger.canonical import thawed
from shopledger.ledger.inspections import (
    BenchHistory,
    Checked,
    DemoCheck,
    ImpactProof,
    ImpactRecord,
    Inspection,
    LensFigures,
    MakersSheet,
    PairFigures,
)
from shopledger.ledger.orders import AcceptedWarning, Entered, Order, Pair
from shopledger.ledger.papers.certificate import DEMO_LENSES, FORM, InspectionCertificate, inspection_certificate
from shopledger.ledger.papers.order_facts import OrderNames
from shopledger.money.tax import TaxRounding
from shopledger.optics.inspection import Verdict
from shopledger.optics.measurements import EyeMeasurements
from shopledger.optics.notation import read_eye
from shopledger.optics.prescription import LensUse, Prescription
from shopledger.optics.tolerances import LensType
from tests.shelf import CUSTOMER, GRADUAL, HOME, SHOP, WREN

DAY = date(2026, 3, 9)
NAMES = OrderNames({1: CUSTOMER}, {WREN.code: WREN.description}, {GRADUAL.code: GRADUAL.name})
JOB = Pair(1, 1, WREN.code, GRADUAL.code, LensUse.MULTIFOCAL, job_number=57)
ORDER = Order(1, DAY, HOME, (JOB,), (), TaxRounding.PER_LINE, number=12)
WANTED = Prescription(read_eye("-2.50 -1.25 x 090 add 2.00"), read_eye("-2.25 DS add 2.00"))
ORDERED = PairFigures(
    LensFigures(WANTED.right, EyeMeasurements(31.5, None, 21)), LensFigures(WANTED.left, EyeMeasurements(31, None, 21))
)
READ = replace(ORDERED, right=replace(ORDERED.right, centre_thickness=1.62, base_curve=4.25))
SPHERE = Verdict("sphere", "right", -2.5, -2.56, -0.06, 0.16, "D", "a rule", "ansi_z80_1", passed=True)
ADD = Verdict("add", "left", 2.0, 2.12, 0.12, 0.125, "D", "a rule", "ansi_z80_1", passed=True)
AXIS = Verdict("axis", "right", 90, 94, 4, 3, "degrees", "a rule", "ansi_z80_1", passed=False)
ACROSS = Verdict(
    "horizontal imbalance",
    "pair",
    0,
    0.7,
    0.7,
    0.67,
    "prism dioptres",
    "a rule",
    "ansi_z80_1",
    passed=True,
    or_else="PD",
)
FOUND = Inspection(
    57, DAY, LensType.PROGRESSIVE, "ANSI Z80.1", "2015", ORDERED, READ, (SPHERE, ADD, AXIS, ACROSS), (Checked.HINGES,),
    (True, False), number=41, entered=Entered("Ilse", "2026-03-09T10:30:00+00:00"),
)  # fmt: skip


def certificate(
    inspection: Inspection = FOUND, *impact: ImpactRecord, shipped_on: date | None = None
) -> InspectionCertificate:
    """Give the record of an inspection."""
    history = BenchHistory(57, (inspection,), impact=impact)
    return inspection_certificate(ORDER, JOB, history, inspection, SHOP, NAMES, shipped_on)


def test_figures_are_written_as_their_kind_is() -> None:
    """Powers with sign and unit, axes whole, prism in its unit, an eighth with all its places."""
    rows = {row.quantity: (row.ordered, row.measured, row.difference, row.limit) for row in certificate().rows}
    assert rows == {
        "sphere": ("-2.50 D", "-2.56 D", "-0.06 D", "0.16 D"),
        "add": ("+2.00 D", "+2.12 D", "+0.12 D", "0.125 D"),
        "axis": ("90°", "94°", "4°", "3°"),
        "horizontal imbalance": ("0.00 Δ", "0.70 Δ", "0.70 Δ", "0.67 Δ"),
    }


def test_it_names_job_glasses_inspector_and_all_that_failed() -> None:
    """Verdicts, the frame's checklist and the engraved marks together make the outcome."""
    said = certificate()
    assert (said.inspection_number, said.job_number, said.order_number, said.day) == (41, 57, 12, "2026-03-09")
    assert (said.number, said.issued_on, said.replaces) == (0, "", None)
    assert (said.wearer, said.inspector, said.design) == (CUSTOMER, "Ilse", "progressive")
    assert said.glasses == f"{GRADUAL.name}, without prescription in {WREN.description}"
    assert (said.passed, said.failures) == (False, ("right axis", "hinges", "left engraved marks"))
    assert dict(said.checklist)["hinges"] is False
    assert [row.or_else for row in said.rows] == ["", "", "", "PD"]


def test_lenses_stand_as_ordered_and_as_read() -> None:
    """What was not measured is a dash; PD and heights are in words, as one number where it was given so."""
    said = certificate()
    right, left = said.lenses
    assert (right.ordered, right.centre_thickness, right.base_curve) == (
        "-2.50 -1.25 x 090 add 2.00", "1.62 mm", "4.25 D",
    )  # fmt: skip
    assert (left.read, left.centre_thickness, left.marks_seen) == ("-2.25 DS add 2.00", "–", False)
    assert said.places == ("PD 31.5 + 31, heights from the lowest point of the lens 21 and 21 mm",) * 2
    assert (
        certificate(replace(FOUND, read=replace(READ, pd_given="binocular"))).places[1].startswith("PD 62.5, heights")
    )
    bare = PairFigures(LensFigures(WANTED.right), LensFigures(WANTED.left))
    assert certificate(replace(FOUND, ordered=bare, read=bare)).places == ("", "")


def test_free_form_lenses_name_the_makers_sheet() -> None:
    """With what it wants read, and the first digits of its hash; otherwise both are empty."""
    sheet = MakersSheet(WANTED, "even-57.pdf", "9f3c5a7be2d41c60" * 4)
    said = certificate(replace(FOUND, sheet=sheet))
    assert said.sheet == "even-57.pdf (SHA-256 9f3c5a7be2d41c60)"
    assert said.lenses[1].compensated == "-2.25 DS add 2.00"
    assert (certificate().sheet, certificate().lenses[1].compensated) == ("", "")


def test_what_the_inspector_said_yes_to_stands_on_it() -> None:
    """In the sentence that was asked; nothing where nothing was."""
    asked = AcceptedWarning("READINGS-SWAPPED", "right and left fit better swapped")
    assert certificate(replace(FOUND, accepted=(asked,))).accepted == ("right and left fit better swapped",)
    assert certificate().accepted == ()


def test_the_proof_and_the_time_of_keeping_stand_on_it() -> None:
    """The last day is known once the job has left (21 CFR 801.410: three years)."""
    proof = ImpactRecord(57, DAY, ImpactProof.CERTIFICATE, "C-2207")
    said = certificate(FOUND, proof, shipped_on=date(2026, 3, 10))
    assert [(line.proof, line.reference, line.day) for line in said.impact] == [("certificate", "C-2207", "2026-03-09")]
    assert (said.kept_until, certificate().kept_until) == ("2029-03-10", "")


def test_what_was_frozen_comes_back_equal() -> None:
    """Through JSON that is the same each time; sheet, proof, spelling and what was accepted included."""
    sheet = MakersSheet(WANTED, "even-57.pdf", "9f3c" * 16)
    asked = AcceptedWarning("READINGS-SWAPPED", "right and left fit better swapped")
    proof = ImpactRecord(57, DAY, ImpactProof.EXCEPTION, "letter of 2026-02-20")
    said = certificate(replace(FOUND, sheet=sheet, accepted=(asked,)), proof, shipped_on=DAY)
    whole = replace(said, number=3, issued_on="2026-03-10", replaces=2, spellings=(("Ødís", "Odis"),), paper="a4")
    assert thawed(InspectionCertificate, whole.canonical(), "certificate") == whole
    assert thawed(InspectionCertificate, whole.canonical(), "certificate").canonical() == whole.canonical()


def test_a_record_of_a_later_form_is_refused() -> None:
    """Only a newer version knows what it says."""
    later = json.loads(certificate().canonical()) | {"form": FORM + 1}
    with pytest.raises(LedgerError, match="only a newer shopledger can read"):
        thawed(InspectionCertificate, json.dumps(later), "certificate")


def test_lengths_stand_as_they_were_typed() -> None:
    """31.25 stays 31.25 and 21.125 stays so, in the words and in the rows, for both eyes and for one."""
    typed = replace(
        ORDERED,
        right=LensFigures(WANTED.right, EyeMeasurements(31.25, None, 21.125), near_pd=29.75),
        left=LensFigures(WANTED.left, EyeMeasurements(31.375, None, 20.5), near_pd=29.875),
    )
    place = Verdict("place", "right", 31.25, 31.375, 0.125, 1, "mm", "a rule", "ansi_z80_1", passed=True)
    said = certificate(replace(FOUND, read=typed, verdicts=(place, ADD)))
    heights = "heights from the lowest point of the lens 21.125 and 20.5 mm"
    assert said.places[1] == (
        f"PD 31.25 + 31.375, near PD 29.75 + 29.88, right segment in 1.5, left segment in 1.5, {heights}"
    )
    assert (said.rows[0].ordered, said.rows[0].measured, said.rows[0].difference) == (
        "31.25 mm", "31.375 mm", "0.125 mm",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("seen", "stands"), [(None, None), (DemoCheck.NONE, None), (DemoCheck.OUT, True), (DemoCheck.IN, False)]
)
def test_demonstration_lenses_stand_on_it_where_somebody_saw_them(seen: DemoCheck | None, stands: object) -> None:
    """An inspection at which nobody was asked has a checklist without them, as those of before have."""
    assert dict(certificate(replace(FOUND, demo_lenses=seen)).checklist).get(DEMO_LENSES) is stands


def test_what_was_frozen_in_the_first_form_keeps_its_text() -> None:
    """Its canonical text, and with it its hash, is what it was; what is new about form 2 is how its head is printed."""
    first = json.dumps(
        {**json.loads(certificate().canonical()), "form": 1}, ensure_ascii=False, separators=(",", ":"), sort_keys=True
    )
    assert thawed(InspectionCertificate, first, "inspection record").canonical() == first
