"""What is asked about the age of a prescription on a day."""

from __future__ import annotations

from datetime import date
from typing import Final

from shopledger.ledger.prescription import WrittenPrescription
from shopledger.ledger.settings import Settings
from shopledger.optics.checks import check_prescription
from shopledger.optics.findings import Finding

DATES: Final = frozenset({"PRESCRIPTION-EXPIRED", "EXPIRES-SOON", "PRESCRIPTION-OLD"})
"""Codes of the findings that depend on the day; the rest were settled when the prescription was recorded."""


def date_findings(written: WrittenPrescription, settings: Settings, day: date) -> tuple[Finding, ...]:
    """Give what is asked about a prescription's age on a day: the expiry as written first, else the owner's limit."""
    found = check_prescription(
        written.powers,
        written_on=written.written_on,
        expires_on=written.expires_on,
        today=day,
        old_after=settings.prescription_months,
    )
    return tuple(finding for finding in found if finding.code in DATES)
