"""Customers who are one, as the ledger keeps it."""

from __future__ import annotations

from typing import Final

from shopledger.ledger.joins import Join, Joined
from shopledger.store.records import Record
from shopledger.store.tables.parties import customer_join
from shopledger.store.transaction import Area

JOIN: Final = Record(Join, customer_join, counter="customer join")
_MIXED: Final = """
SELECT MIN(sold.number) AS number FROM shop_order sold
JOIN order_line line ON line.order_number = sold.number JOIN wearer ON wearer.number = line.wearer_number
WHERE (sold.customer_number IN :ours AND wearer.customer_number IN :theirs)
   OR (sold.customer_number IN :theirs AND wearer.customer_number IN :ours)
"""


class Joins(Area):
    """Which customers are one."""

    def add(self, join: Join) -> Join:
        """Store that customers were joined, or parted again."""
        return self.transaction.post(JOIN, join)

    def all(self) -> Joined:
        """Give which customers are one now."""
        return Joined(self.transaction.all(JOIN, order=(customer_join.c.number,)))

    def group(self, number: int) -> list[int]:
        """Give all numbers of a customer, the one that leads first."""
        return self.all().group(number)

    def mixed(self, ours: list[int], theirs: list[int]) -> int | None:
        """Give an order of the one for a wearer of the other, if there is any."""
        found = self.transaction.asked(_MIXED, ours=ours, theirs=theirs)[0].number
        return None if found is None else int(found)
