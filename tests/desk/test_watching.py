"""What a computer knows of a ledger beside it: a lost head is told, and a quick proof begins at the last whole one."""

from __future__ import annotations

import shutil
from contextlib import closing
from pathlib import Path

import pytest

from shopledger.desk.books.closing import prove_books, prove_newest, take_as_it_is
from shopledger.desk.context import Desk, open_desk
from shopledger.desk.people import add_customer
from shopledger.desk.watching import other_past
from shopledger.ledger.parties import Address
from shopledger.ledger.twice import CUSTOMER_TWICE
from shopledger.store.places import ledger_path
from tests.desk.books import on_both
from tests.forging import forge


def opened(url: str, desk: Desk) -> Desk:
    """Open the ledger as a command does."""
    return open_desk(url, desk.operator, desk.now, desk.today)


def write(desk: Desk, name: str) -> None:
    """Write something, as one command."""
    again = opened(desk.ledger.url, desk)
    add_customer(again, name, Address("4 Linden Way", "Norwell", "OH", "43002"), accept=frozenset({CUSTOMER_TWICE}))
    again.close()


def codes(desk: Desk) -> list[str]:
    """Give what a quick proof finds."""
    return [failed.code for failed in prove_newest(desk).failed]


def test_an_older_file_in_the_ledgers_place_is_told(desk: Desk, tmp_path: Path) -> None:
    """At the next command and at each after it, until the owner says that it is meant to be so."""
    path = ledger_path(desk.ledger.url)
    assert path is not None
    write(desk, "Ottoline Quillgate")
    desk.ledger.close()
    older = tmp_path / "older.db"
    shutil.copy(path, older)
    write(desk, "Corin Pellstead")
    with closing(opened(desk.ledger.url, desk)) as now:
        assert now.warning == ""
    shutil.copy(older, path)
    for _ in range(2):
        with closing(opened(desk.ledger.url, desk)) as now:
            assert "last saw this ledger at head" in now.warning
        write(desk, "Imke Sedgemere")
    with closing(opened(desk.ledger.url, desk)) as now:
        take_as_it_is(now, prove_books(now))
    with closing(opened(desk.ledger.url, desk)) as now:
        assert now.warning == ""


@on_both
def test_another_past_is_told(desk: Desk) -> None:
    """A chain that was made anew from outside has another hash at the head that was seen."""
    write(desk, "Ottoline Quillgate")
    assert other_past(desk.ledger) == ""
    forge(desk, "UPDATE seal SET hash = '" + "0" * 64 + "' WHERE number = (SELECT MAX(number) FROM seal)")
    assert "carries another one there (0000000000000000)" in other_past(desk.ledger)


@on_both
def test_a_quick_proof_looks_at_what_was_written_since_the_last_whole_one(desk: Desk) -> None:
    """A change of before is for the whole proof to find; one of since, and a row that went, are found at once."""
    assert prove_books(desk).holds
    write(desk, "Corin Pellstead")
    assert codes(desk) == []
    forge(desk, "UPDATE customer SET phone = '555-0199' WHERE number = (SELECT MAX(number) FROM customer)")
    assert codes(desk) == ["RECORDS"]


@pytest.mark.parametrize(
    ("statement", "code"),
    [
        ("DELETE FROM prescription_warning; DELETE FROM tax_rate", "COUNTS"),
        ("UPDATE seal SET note = 'x' WHERE number = (SELECT MAX(number) FROM seal)", "SEALS"),
        ("DELETE FROM seal", "SEALS"),
    ],
)
def test_a_quick_proof_counts_and_follows_the_chain(desk: Desk, statement: str, code: str) -> None:
    """Rows that are gone are missed by number, and a seal must follow on the one that all was proven on."""
    assert prove_books(desk).holds
    write(desk, "Corin Pellstead")
    for each in statement.split(";"):
        forge(desk, each)
    assert code in codes(desk)


def test_without_a_whole_proof_all_is_proven(desk: Desk) -> None:
    """The first quick proof on a computer is a whole one, and the next begins there."""
    assert "DOCUMENTS" in {proof.code for proof in prove_newest(desk).proofs}
    assert {proof.code for proof in prove_newest(desk).proofs} == {"SEALS", "RECORDS", "COUNTS"}
