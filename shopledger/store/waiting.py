"""Papers that were issued and are not known to lie anywhere yet."""

from __future__ import annotations

from typing import Final

from shopledger.ledger.orders import Entered
from shopledger.ledger.papers.issued import WaitingPaper
from shopledger.store.records import Fields, Record
from shopledger.store.tables.waiting import waiting_paper
from shopledger.store.transaction import Area, Where

WAITING: Final = Record(
    WaitingPaper, waiting_paper, {"entered": Fields(Entered, waiting_paper, {"at": waiting_paper.c.recorded_at})}
)


class WaitingPapers(Area):
    """The ledger's papers that are stored and have not reached their place."""

    def add(self, paper: WaitingPaper) -> None:
        """Note, in the transaction that issues a paper, that it is not there yet."""
        self.transaction.put(WAITING, paper)

    def remove(self, paper: WaitingPaper) -> None:
        """Note that a paper reached its place, or that none is needed any more."""
        mine: Where = {waiting_paper.c.kind: paper.kind, waiting_paper.c.number: paper.number}
        self.transaction.remove(waiting_paper, mine)

    def all(self) -> tuple[WaitingPaper, ...]:
        """Give every paper that waits, by kind and number."""
        return self.transaction.all(WAITING, order=(waiting_paper.c.kind, waiting_paper.c.number))
