"""The table of prescriptions' files comes into an older ledger, and goes where it holds nothing."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path
from typing import Any, Final

import pytest
from alembic import command

from shopledger.ledger.audit import Deed, Subject
from shopledger.store.migrate import alembic_config
from shopledger.store.opening import open_ledger
from shopledger.store.revision import Upgrading
from tests.rows import rows
from tests.store.older import put_back
from tests.store.samples import NOW, OPERATOR, furnish
from tests.store.test_migrations import connected

BEFORE: Final = "20261127_privacy"


@pytest.fixture
def noted(ledger_address: str) -> str:
    """Give the address of a ledger with people, a prescription, two notes about it and no file."""
    with closing(open_ledger(ledger_address)) as ledger:
        furnish(ledger)
        for deed in (Deed.LOOKED_AT_PRESCRIPTION, Deed.ADDED_DIAGNOSES):
            with ledger.writing(OPERATOR, NOW) as work:
                work.audit.note(deed, Subject.PRESCRIPTION, 1)
    return ledger_address


def notes(address: str) -> list[Any]:
    """Give every note of a ledger, seal and all."""
    with closing(open_ledger(address, Upgrading(NOW))) as ledger, ledger.reading() as work:
        return [tuple(row) for row in rows(work, "audit_note", order=("number",))]


def test_an_older_ledger_takes_files_and_its_chain_holds(noted: str, tmp_path: Path) -> None:
    """Notes stay as they were, the new deeds are taken, a file is kept, and every proof holds."""
    before = notes(noted)
    put_back(noted, BEFORE)
    assert notes(noted) == before
    scan = tmp_path / "scan.pdf"
    scan.write_bytes(b"a scan")
    with closing(open_ledger(noted, Upgrading(NOW))) as ledger:
        with ledger.writing(OPERATOR, NOW) as work:
            work.prescriptions.add_file(work.prescriptions.get(1), work.kept_files.keep(scan).sha256)
            work.audit.note(Deed.ADDED_DOCUMENT, Subject.PRESCRIPTION, 1)
        with ledger.reading() as work:
            assert [proof.code for proof in work.proofs.all() if not proof.holds] == []
            assert work.kept_files.body(work.prescriptions.get(1).file_sha256 or "") == b"a scan"


@pytest.mark.parametrize("what", ["file", "note"])
def test_going_down_loses_neither_a_file_nor_its_note(noted: str, tmp_path: Path, what: str) -> None:
    """The earlier form has no place for them, so it is refused and nothing is changed."""
    scan = tmp_path / "scan.pdf"
    scan.write_bytes(b"a scan")
    with closing(open_ledger(noted)) as ledger, ledger.writing(OPERATOR, NOW) as work:
        if what == "file":
            work.prescriptions.add_file(work.prescriptions.get(1), work.kept_files.keep(scan).sha256)
        else:
            work.audit.note(Deed.LOOKED_AT_DOCUMENT, Subject.PRESCRIPTION, 1)
    before = notes(noted)
    refused = pytest.raises(RuntimeError, match="no place for the rows of prescription_file")
    with connected(noted, migrating=True) as connection, refused, connection.begin():
        command.downgrade(alembic_config(connection), BEFORE)
    assert notes(noted) == before
