"""Recording a prescription: read as written, checked before it is stored."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path

from shopledger.desk.context import Desk
from shopledger.desk.refusals import accepted_warnings
from shopledger.errors import RefusedError
from shopledger.ledger.audit import Deed, Subject
from shopledger.ledger.diagnosis import RELEASE as DIAGNOSIS_RELEASE
from shopledger.ledger.diagnosis import read_diagnosis
from shopledger.ledger.erasing import refuse_of_erased
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import Pair
from shopledger.ledger.parties import Customer, Prescriber, Wearer
from shopledger.ledger.prescription import WrittenPrescription
from shopledger.ledger.prescription_dates import date_findings
from shopledger.optics.checks import check_prescription
from shopledger.optics.findings import Finding, Severity
from shopledger.optics.prescription import Prescription
from shopledger.store.work import UnitOfWork


@dataclass(frozen=True, slots=True)
class PrescriptionRequest:
    """A prescription as typed: who it is for, who wrote it, the powers and dates on the paper."""

    customer: str
    wearer: str
    prescriber: str
    powers: Prescription
    written_on: date
    expires_on: date | None = None
    intermediate: float | None = None
    document: str = ""
    accept: frozenset[str] = field(default_factory=frozenset)
    diagnoses: tuple[str, ...] = ()
    """ICD-10-CM codes, only as the prescriber's document gives them."""
    file: Path | None = None
    """The prescriber's document, of which a copy is kept in the ledger."""


@dataclass(frozen=True, slots=True)
class PrescriptionPlan:
    """What would be stored, for whom, and what was found on it."""

    written: WrittenPrescription
    wearer: Wearer
    prescriber: Prescriber
    previous: WrittenPrescription | None
    findings: tuple[Finding, ...]


def plan_prescription(desk: Desk, request: PrescriptionRequest) -> PrescriptionPlan:
    """Say what recording would store and what was found, without storing."""
    with desk.reading() as work:
        return _planned(work, desk, request)


def record_prescription(desk: Desk, request: PrescriptionRequest) -> PrescriptionPlan:
    """Store a prescription; errors and unaccepted warnings stop it."""
    with desk.writing() as work:
        plan = _planned(work, desk, request)
        accepted = accepted_warnings(plan.findings, request.accept)
        kept = None if request.file is None else work.kept_files.keep(request.file).sha256
        written = work.prescriptions.add(replace(plan.written, file_sha256=kept), accepted)
        return replace(plan, written=written)


def add_diagnoses(desk: Desk, number: int, codes: Sequence[str]) -> tuple[WrittenPrescription, tuple[Finding, ...]]:
    """Add what the prescriber's document says, when it comes after the prescription; gives what to look at."""
    with desk.writing() as work:
        written = standing_prescription(work, number)
        longer = work.prescriptions.add_diagnoses(written, codes)
        work.audit.note(Deed.ADDED_DIAGNOSES, Subject.PRESCRIPTION, number)
        return longer, _diagnosis_notes(longer)


def prescription_card(desk: Desk, number: int) -> tuple[WrittenPrescription, Wearer, Prescriber]:
    """Give a prescription with the people on it; the look is noted, since prescriptions are private."""
    with desk.noting(Deed.LOOKED_AT_PRESCRIPTION, Subject.PRESCRIPTION, number) as work:
        written = standing_prescription(work, number)
        return (
            written,
            work.customers.wearer(written.wearer_number),
            work.customers.prescriber(written.prescriber_number),
        )


@dataclass(frozen=True, slots=True)
class WearerCard:
    """What is known of a wearer's eyes: the prescriptions, newest first, and the pair that was made last."""

    wearer: Wearer
    written: tuple[WrittenPrescription, ...]
    prescribers: Mapping[int, str]
    """Who wrote them, by number."""
    findings: tuple[Finding, ...]
    """What is asked about the age of the newest today."""
    last: Pair | None
    """What was made last here for the wearer, if anything."""

    @property
    def newest(self) -> WrittenPrescription | None:
        """The newest prescription; None without one."""
        return self.written[0] if self.written else None


def wearer_card(desk: Desk, customer: Customer, name: str) -> WearerCard:
    """Give what is known of the eyes of a customer's wearer; the look is noted where there is anything to see."""
    with desk.writing() as work:
        wearer = work.customers.pick_wearer(number_of(customer), name)
        number = number_of(wearer)
        written = tuple(reversed(work.prescriptions.of_wearer(number)))
        if written:
            work.audit.note(Deed.LOOKED_AT_PRESCRIPTIONS, Subject.CUSTOMER, customer.number)
        found = work.orders.last_pair(number)
        return WearerCard(
            wearer,
            written,
            {each.prescriber_number: work.customers.prescriber(each.prescriber_number).name for each in written},
            date_findings(written[0], work.shop.settings(), desk.today) if written else (),
            found[1] if found else None,
        )


def standing_prescription(work: UnitOfWork, number: int) -> WrittenPrescription:
    """Give a prescription, or refuse one of which an erasure left the number and the day alone."""
    written = work.prescriptions.get(number)
    refuse_of_erased(f"prescription {number}", work.customers.wearer(written.wearer_number))
    return written


def _planned(work: UnitOfWork, desk: Desk, request: PrescriptionRequest) -> PrescriptionPlan:
    written_on = desk.past_day(request.written_on, "prescription day")
    customer = work.customers.pick(request.customer)
    wearer = work.customers.pick_wearer(number_of(customer), request.wearer)
    prescriber = work.customers.pick_prescriber(request.prescriber)
    if wearer.birth_date is not None and written_on < wearer.birth_date:
        raise RefusedError(
            "prescription day",
            written_on.isoformat(),
            f"{wearer.name} was born on {wearer.birth_date.isoformat()}",
            "Look at both dates.",
        )
    previous = work.prescriptions.newest(number_of(wearer))
    kept = None if request.file is None else work.kept_files.look(request.file)
    written = WrittenPrescription(
        number_of(wearer),
        number_of(prescriber),
        request.powers,
        written_on,
        request.expires_on,
        request.intermediate,
        request.document,
        diagnoses=request.diagnoses,
        file_sha256=kept.sha256 if kept else None,
    )
    findings = check_prescription(
        request.powers,
        written_on=written_on,
        expires_on=request.expires_on,
        today=desk.today,
        previous=previous.powers if previous else None,
        old_after=work.shop.settings().prescription_months,
    )
    return PrescriptionPlan(written, wearer, prescriber, previous, (*findings, *_diagnosis_notes(written)))


def _diagnosis_notes(written: WrittenPrescription) -> tuple[Finding, ...]:
    found = [read_diagnosis(code) for code in written.diagnoses]
    return tuple(
        Finding(Severity.NOTE, "DIAGNOSIS-LOOK", "diagnosis", each.code, "", DIAGNOSIS_RELEASE, each.note)
        for each in found
        if each.note
    )
