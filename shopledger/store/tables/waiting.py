"""Papers that were issued and have not reached their place; a row goes once its paper is there."""

from __future__ import annotations

from shopledger.ledger.papers.issued import IssuedPaper
from shopledger.store import columns as kept
from shopledger.store.tables.base import Recorded, table


class WaitingPaperColumns(Recorded):
    """A paper of which only the number and the content are there."""

    number = kept.key()
    kind = kept.one_of(IssuedPaper, primary_key=True)


waiting_paper = table("waiting_paper", WaitingPaperColumns)
