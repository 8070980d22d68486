"""Prescriptions as written, with the warnings that were accepted; never changed once stored."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from typing import Final

from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import AcceptedWarning
from shopledger.ledger.prescription import WrittenPrescription
from shopledger.ledger.text import is_mark
from shopledger.optics.prescription import EyePrescription, Prescription
from shopledger.optics.sides import Side
from shopledger.store.eyes import KeptEye
from shopledger.store.records import Record
from shopledger.store.refusals import DamagedError, NumberUnknownError
from shopledger.store.scales import day_text
from shopledger.store.tables import prescriptions as tables
from shopledger.store.transaction import Area, Where

_NEWEST: Final = """
SELECT number FROM prescription WHERE wearer_number = :wearer AND written_on <= :day
ORDER BY written_on DESC, number DESC LIMIT 1
"""

_FILE: Final = tables.prescription_file.c
PRESCRIPTION: Final = Record(
    WrittenPrescription,
    tables.prescription,
    {"file_sha256": _FILE.sha256},
    parts=("powers", "diagnoses"),
    source=tables.prescription.outerjoin(
        tables.prescription_file, _FILE.prescription_number == tables.prescription.c.number
    ),
)
EYE: Final = Record(KeptEye, tables.prescription_eye, also=("prescription_number", "side"))
WARNING: Final = Record(AcceptedWarning, tables.prescription_warning, also=("prescription_number",))


class Prescriptions(Area):
    """The prescriptions of the ledger."""

    def add(self, written: WrittenPrescription, accepted: Sequence[AcceptedWarning] = ()) -> WrittenPrescription:
        """Store a prescription; gives it back with its number."""
        posted = self.transaction.post(PRESCRIPTION, written)
        own = {"prescription_number": posted.number}
        eyes = (EYE.row(KeptEye.of(written.powers.eye(side)), **own, side=side) for side in Side)
        self.transaction.add(tables.prescription_eye, *eyes)
        self._add_diagnoses(number_of(posted), written.diagnoses)
        self.transaction.put(WARNING, *accepted, **own)
        if written.file_sha256 is not None:
            self._add_file(number_of(posted), written.file_sha256)
        return posted

    def add_diagnoses(self, written: WrittenPrescription, codes: Sequence[str]) -> WrittenPrescription:
        """Add codes that the prescriber's document gave later; those that stand there already stay."""
        self._add_diagnoses(number_of(written), codes, after=len(written.diagnoses))
        return replace(written, diagnoses=(*written.diagnoses, *codes))

    def add_file(self, written: WrittenPrescription, sha256: str) -> WrittenPrescription:
        """Add the prescriber's document that came later, by the hash under which it is kept."""
        self._add_file(number_of(written), sha256)
        return replace(written, file_sha256=sha256)

    def get(self, number: int) -> WrittenPrescription:
        """Give the prescription with that number."""
        found = self._whole({tables.prescription.c.number: number})
        if not found:
            raise NumberUnknownError("prescription", number)
        return found[0]

    def newest(self, wearer_number: int, on: date | None = None) -> WrittenPrescription | None:
        """Give the wearer's newest prescription, or the newest written by that day; None if there is none."""
        rows = self.transaction.asked(_NEWEST, wearer=wearer_number, day=day_text(on or date.max))
        return self.get(rows[0].number) if rows else None

    def of_wearer(self, wearer_number: int) -> tuple[WrittenPrescription, ...]:
        """Give all the wearer's prescriptions, oldest first."""
        return self._whole({tables.prescription.c.wearer_number: wearer_number})

    def accepted(self, number: int) -> tuple[AcceptedWarning, ...]:
        """Give the warnings that were accepted with a prescription."""
        warning = tables.prescription_warning.c
        return self.transaction.all(WARNING, {warning.prescription_number: number}, (warning.position,))

    def _whole(self, where: Where) -> tuple[WrittenPrescription, ...]:
        """Give prescriptions, oldest first, each table asked once for them all."""
        written, eye, diagnosis = tables.prescription.c, tables.prescription_eye.c, tables.prescription_diagnosis.c
        order = (written.written_on, written.number)
        heads = list(self.transaction.unfinished(PRESCRIPTION, (written.number,), where, order))
        numbers = [number for (number,), _ in heads]
        if not numbers:
            return ()
        told = (eye.prescription_number, eye.side)
        both = self.transaction.unfinished(EYE, told, {eye.prescription_number: numbers})
        eyes = {(number, side): made().eye for (number, side), made in both}
        owner = diagnosis.prescription_number
        diagnoses = self.transaction.lists(diagnosis.code, owner, {owner: numbers}, (diagnosis.position,))
        return tuple(
            made(
                powers=Prescription(*(_eye(eyes.get((number, side)), number, side) for side in Side)),
                diagnoses=tuple(code for code in diagnoses[number] if not is_mark(code)),
            )
            for (number,), made in heads
        )

    def _add_file(self, number: int, sha256: str) -> None:
        self.transaction.add(tables.prescription_file, {"prescription_number": number, "sha256": sha256})

    def _add_diagnoses(self, number: int, codes: Sequence[str], after: int = 0) -> None:
        self.transaction.add(
            tables.prescription_diagnosis,
            *(
                {"prescription_number": number, "position": place, "code": code}
                for place, code in enumerate(codes, start=after + 1)
            ),
        )


def _eye(eye: EyePrescription | None, number: int, side: Side) -> EyePrescription:
    if eye is None:
        message = f"prescription {number} has no power for the {side.value} eye"
        raise DamagedError(message)
    return eye
