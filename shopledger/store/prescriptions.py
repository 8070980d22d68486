"""Prescriptions as written, with the warnings that were accepted; never changed once stored."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from sqlalchemy import Row

from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import AcceptedWarning
from shopledger.ledger.prescription import WrittenPrescription
from shopledger.optics.prescription import EyePrescription, Prescription
from shopledger.optics.sides import Side
from shopledger.store.powers import eye_of, written_eye
from shopledger.store.refusals import DamagedError, NumberUnknownError
from shopledger.store.scales import HUNDREDTHS, day_text, parted_power, read_day, whole_power
from shopledger.store.transaction import Transaction


@dataclass(frozen=True, slots=True)
class Prescriptions:
    """The prescriptions of the ledger."""

    transaction: Transaction

    def add(self, written: WrittenPrescription, accepted: Sequence[AcceptedWarning] = ()) -> WrittenPrescription:
        """Store a prescription; gives it back with its number."""
        number = self.transaction.next_number("prescription")
        self.transaction.add("prescription", {**_values(written), "number": number, **self.transaction.stamp})
        eyes = [_eye_values(number, side, written.powers.eye(side)) for side in Side]
        self.transaction.add("prescription_eye", *eyes)
        self.transaction.add("prescription_diagnosis", *_diagnosis_values(number, written))
        self.transaction.add("prescription_warning", *warning_values("prescription_number", number, accepted))
        return replace(written, number=number)

    def add_diagnoses(self, written: WrittenPrescription, codes: Sequence[str]) -> WrittenPrescription:
        """Add codes that the prescriber's document gave later; those that stand there already stay."""
        longer = replace(written, diagnoses=(*written.diagnoses, *codes))
        rows = _diagnosis_values(number_of(written), longer)
        self.transaction.add("prescription_diagnosis", *rows[len(written.diagnoses) :])
        return longer

    def get(self, number: int) -> WrittenPrescription:
        """Give the prescription with that number."""
        row = self.transaction.row("prescription", number=number)
        if row is None:
            raise NumberUnknownError("prescription", number)
        return self._whole(row)

    def newest(self, wearer_number: int, on: date | None = None) -> WrittenPrescription | None:
        """Give the wearer's newest prescription, or the newest written by that day; None if there is none."""
        rows = self.transaction.asked(
            "SELECT * FROM prescription WHERE wearer_number = :wearer AND written_on <= :day "
            "ORDER BY written_on DESC, number DESC LIMIT 1",
            wearer=wearer_number,
            day=day_text(on or date.max),
        )
        return self._whole(rows[0]) if rows else None

    def of_wearer(self, wearer_number: int) -> tuple[WrittenPrescription, ...]:
        """Give all the wearer's prescriptions, oldest first."""
        rows = self.transaction.rows("prescription", {"wearer_number": wearer_number}, order=("written_on", "number"))
        return tuple(self._whole(row) for row in rows)

    def accepted(self, number: int) -> tuple[AcceptedWarning, ...]:
        """Give the warnings that were accepted with a prescription."""
        rows = self.transaction.rows("prescription_warning", {"prescription_number": number}, order=("position",))
        return tuple(AcceptedWarning(row.code, row.sentence) for row in rows)

    def _whole(self, row: Row[Any]) -> WrittenPrescription:
        eyes = {eye.side: eye for eye in self.transaction.rows("prescription_eye", {"prescription_number": row.number})}
        return WrittenPrescription(
            wearer_number=row.wearer_number,
            prescriber_number=row.prescriber_number,
            powers=Prescription(_eye(eyes[Side.RIGHT.value]), _eye(eyes[Side.LEFT.value])),
            written_on=read_day(row.written_on),
            expires_on=read_day(row.expires_on),
            intermediate=parted_power(row.intermediate),
            document=row.document,
            number=row.number,
            diagnoses=self._diagnoses(row.number),
        )

    def _diagnoses(self, number: int) -> tuple[str, ...]:
        rows = self.transaction.rows("prescription_diagnosis", {"prescription_number": number}, order=("position",))
        return tuple(row.code for row in rows)


def warning_values(owner: str, number: int, accepted: Sequence[AcceptedWarning]) -> list[dict[str, object]]:
    """Give the rows of accepted warnings under whatever they were accepted with."""
    return [
        {owner: number, "position": place, "code": warning.code, "sentence": warning.sentence}
        for place, warning in enumerate(accepted, start=1)
    ]


def _values(written: WrittenPrescription) -> dict[str, object]:
    return {
        "wearer_number": written.wearer_number,
        "prescriber_number": written.prescriber_number,
        "written_on": day_text(written.written_on),
        "expires_on": day_text(written.expires_on),
        "intermediate": whole_power("intermediate", written.intermediate),
        "document": written.document,
    }


def _diagnosis_values(number: int, written: WrittenPrescription) -> list[dict[str, object]]:
    return [
        {"prescription_number": number, "position": place, "code": code}
        for place, code in enumerate(written.diagnoses, start=1)
    ]


def _eye_values(number: int, side: Side, eye: EyePrescription) -> dict[str, object]:
    return {"prescription_number": number, "side": side.value, **written_eye(side, eye)}


def _eye(row: Row[Any]) -> EyePrescription:
    eye = eye_of(row, HUNDREDTHS)
    if eye is None:
        message = f"prescription {row.prescription_number} has no power for the {row.side} eye"
        raise DamagedError(message)
    return eye
