"""A prescription as the prescriber wrote it, kept for years, and what changed from one to the next."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from shopledger.errors import RefusedError
from shopledger.ledger.diagnosis import read_diagnoses
from shopledger.ledger.text import clean_text
from shopledger.optics.notation import write_dioptres, write_prisms
from shopledger.optics.power import SphereCylinder
from shopledger.optics.prescription import EyePrescription, Prescription


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
    """Where the paper is kept."""
    number: int | None = None
    diagnoses: tuple[str, ...] = ()
    """ICD-10-CM codes as the prescriber's document gives them; never worked out from the powers."""
    file_sha256: str | None = None
    """The hash of the document's file, where one is kept in the ledger."""

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


SAME = "as before"


def changes_in_words(before: EyePrescription, now: EyePrescription) -> str:
    """Say what changed for one eye; both powers are compared with their cylinder in minus form."""
    old, new = before.power.as_minus_cylinder(), now.power.as_minus_cylinder()
    words = [
        *_sphere(old.sphere, new.sphere),
        *_cylinder(old, new),
        *_add(before.add, now.add),
        *_prism(before, now),
        *_balance(before, now),
    ]
    return ", ".join(words) or SAME


def axis_turn(before: float | None, now: float | None) -> float | None:
    """Give by how many degrees an axis turned, the shorter way round and counter-clockwise plus; None without one."""
    if before is None or now is None:
        return None
    return (now - before + 90) % 180 - 90


def _sphere(old: float, new: float) -> Iterator[str]:
    if old != new:
        yield f"sphere {abs(new - old):.2f} D toward {'minus' if new < old else 'plus'}"


def _cylinder(old: SphereCylinder, new: SphereCylinder) -> Iterator[str]:
    if not old.cylinder and not new.cylinder:
        return
    if not old.cylinder:
        yield f"cylinder new, {write_dioptres(new.cylinder)} x {new.axis:03.0f}"
    elif not new.cylinder:
        yield f"cylinder gone, it was {write_dioptres(old.cylinder)} x {old.axis:03.0f}"
    else:
        yield from _stronger("cylinder", abs(old.cylinder), abs(new.cylinder))
        if turned := axis_turn(old.axis, new.axis):
            yield f"axis turned {abs(turned):.0f}°, from {old.axis:03.0f} to {new.axis:03.0f}"


def _add(old: float | None, new: float | None) -> Iterator[str]:
    if old is None and new is not None:
        yield f"add new, {write_dioptres(new)}"
    elif old is not None and new is None:
        yield f"no add any more, it was {write_dioptres(old)}"
    elif old is not None and new is not None:
        yield from _stronger("add", old, new)


def _stronger(name: str, old: float, new: float) -> Iterator[str]:
    if old != new:
        yield f"{name} {abs(new - old):.2f} D {'stronger' if new > old else 'weaker'}"


def _prism(before: EyePrescription, now: EyePrescription) -> Iterator[str]:
    old, new = (write_prisms(eye.prism) for eye in (before, now))
    if old == new:
        return
    if not old:
        yield f"prism new, {new}"
    elif not new:
        yield f"prism gone, it was {old}"
    else:
        yield f"prism {new}, it was {old}"


def _balance(before: EyePrescription, now: EyePrescription) -> Iterator[str]:
    if before.balance is not now.balance:
        yield "a balance lens now" if now.balance else "no balance lens any more"
