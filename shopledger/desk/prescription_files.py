"""The prescriber's document as a file in the ledger: kept when it came later, named, and written out again."""

from __future__ import annotations

from pathlib import Path

from shopledger.desk.context import Desk
from shopledger.desk.kept_files import write_kept
from shopledger.desk.prescribing import standing_prescription
from shopledger.errors import RefusedError
from shopledger.ledger.audit import Deed, Subject
from shopledger.ledger.prescription import WrittenPrescription


def keep_document(desk: Desk, number: int, source: Path) -> WrittenPrescription:
    """Keep the document of a prescription that was recorded without it; one that is kept stays the only one."""
    with desk.writing() as work:
        written = standing_prescription(work, number)
        if written.file_sha256 is not None:
            hint = f"Look at it with 'shopledger prescription file {number}'."
            raise RefusedError("prescription", number, "a file is kept with it, and a kept one stays", hint)
        whole = work.prescriptions.add_file(written, work.kept_files.keep(source).sha256)
        work.audit.note(Deed.ADDED_DOCUMENT, Subject.PRESCRIPTION, number)
        return whole


def document_name(desk: Desk, written: WrittenPrescription) -> str:
    """Give the name that the kept document came with; empty where none is kept."""
    if written.file_sha256 is None:
        return ""
    with desk.reading() as work:
        return work.kept_files.get(written.file_sha256).name


def hand_out_document(desk: Desk, number: int, folder: Path) -> Path:
    """Write the kept document of a prescription into a folder, byte for byte; the look is noted."""
    with desk.noting(Deed.LOOKED_AT_DOCUMENT, Subject.PRESCRIPTION, number) as work:
        sha256 = standing_prescription(work, number).file_sha256
        if sha256 is None:
            hint = f"Keep one with 'shopledger prescription keep-file {number} FILE'."
            raise RefusedError("prescription", number, "no file is kept with it", hint)
        came_as, body = work.kept_files.get(sha256).name, work.kept_files.body(sha256)
    return write_kept(body, folder, f"prescription-{number:05d}", came_as)
