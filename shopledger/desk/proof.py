"""Proving that the books are what they were."""

from __future__ import annotations

from shopledger.desk.context import Desk
from shopledger.ledger.journal import Head


def prove_books(desk: Desk) -> Head:
    """Work the whole chain of entries out again; gives its head, or refuses at the first entry that does not fit."""
    with desk.reading() as work:
        return work.journal.verify()
