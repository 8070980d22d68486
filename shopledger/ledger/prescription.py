"""A prescription as the prescriber wrote it, kept for years beside the powers in it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from shopledger.errors import RefusedError
from shopledger.ledger.diagnosis import read_diagnoses
from shopledger.ledger.text import clean_text
from shopledger.optics.prescription import Prescription


@dataclass(frozen=True, slots=True)
class WrittenPrescription:
    """What a prescriber wrote for a wearer: powers, dates, and where the paper is.

    The dates are as written: expiry is a matter of state law, so it is never worked out here.
    """

    wearer_number: int
    prescriber_number: int
    powers: Prescription
    written_on: date
    expires_on: date | None = None
    intermediate: float | None = None
    """What the prescriber adds to the distance sphere for a screen, when written. [D]"""
    document: str = ""
    """Where the paper or file is kept."""
    number: int | None = None
    diagnoses: tuple[str, ...] = ()
    """ICD-10-CM codes as the prescriber's document gives them; never worked out from the powers."""

    def __post_init__(self) -> None:
        """Refuse an expiry before the day of writing."""
        object.__setattr__(self, "document", clean_text("document", self.document, required=False))
        object.__setattr__(self, "diagnoses", read_diagnoses(self.diagnoses))
        if self.expires_on is not None and self.expires_on < self.written_on:
            raise RefusedError(
                "expiry",
                self.expires_on.isoformat(),
                f"it lies before the day of writing, {self.written_on.isoformat()}",
                "Look at both dates on the prescription.",
            )

    def expired_on(self, day: date) -> bool:
        """Tell whether the written expiry has passed on that day."""
        return self.expires_on is not None and day > self.expires_on
