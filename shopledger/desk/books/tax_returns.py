"""What is due to each state, over a month or any days."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopledger.errors import RefusedError
from shopledger.ledger.identifiers import read_state

if TYPE_CHECKING:
    from datetime import date

    from shopledger.desk.context import Desk
    from shopledger.ledger.books.tax_return import TaxReturn


def tax_due(desk: Desk, first: date, last: date, state: str = "") -> tuple[TaxReturn, ...]:
    """Give the figures of a return for each state in which something happened, or for the one named."""
    if last < first:
        raise RefusedError(
            "last day", last.isoformat(), f"the first is {first.isoformat()}", "Type a day on or after it."
        )
    with desk.reading() as work:
        return work.tax_returns.between(first, last, read_state(state) if state else "")
