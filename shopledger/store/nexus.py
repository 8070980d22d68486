"""The limits of states that the owner watches."""

from __future__ import annotations

from typing import Final

from shopledger.errors import RefusedError
from shopledger.ledger.nexus import NexusLimit
from shopledger.store.records import Record
from shopledger.store.tables.settings import nexus_limit
from shopledger.store.transaction import Area, Where

LIMIT: Final = Record(NexusLimit, nexus_limit)


class NexusLimits(Area):
    """The limits, none of which is ever changed."""

    def add(self, limit: NexusLimit) -> None:
        """Store a limit; another from the same day on is refused."""
        columns = nexus_limit.c
        same: Where = {columns.state: limit.state, columns.valid_from: limit.valid_from}
        if self.transaction.one(LIMIT, same) is not None:
            day = limit.valid_from.isoformat()
            raise RefusedError(
                "limit", f"{limit.state} from {day}", "there is one from that day on", "Choose a later day."
            )
        self.transaction.put(LIMIT, limit)

    def all(self) -> tuple[NexusLimit, ...]:
        """Give all that were set, by state and day."""
        return self.transaction.all(LIMIT, {}, (nexus_limit.c.state, nexus_limit.c.valid_from))
