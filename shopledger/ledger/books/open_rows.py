"""What is not finished on a period's last day: where its cut-off runs, by what was known of each thing up to then."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import Enum
from typing import Final

from shopledger.ledger.books.journal import Account
from shopledger.money.amount import Cents


class OpenKind(Enum):
    """What waits for what. An order stands in one list at most."""

    SOLD = "ordered, not shipped, not paid"
    PAID = "paid, not shipped"
    SHIPPED = "shipped, not paid"
    OVERPAID = "shipped, paid too much"
    BILL = "bill open"
    DEPOSIT = "deposit held"
    DRAFT = "draft unfinished"

    @property
    def account(self) -> Account | None:
        """The account on which what is left of it stands; none for a draft, and an order stands on its own two."""
        return _ACCOUNTS.get(self)


_ACCOUNTS: Final = {OpenKind.BILL: Account.ACCOUNTS_PAYABLE, OpenKind.DEPOSIT: Account.CUSTOMER_DEPOSITS}
ORDERS: Final = (OpenKind.SOLD, OpenKind.PAID, OpenKind.SHIPPED, OpenKind.OVERPAID)
"""The lists of orders."""


@dataclass(frozen=True, slots=True)
class OpenRow:
    """One thing that is open: what it comes to, what was paid of it, and what is left.

    An order comes to what was charged, less what was refunded and written off. What of that `counted` is what left; the
    rest counts as sold later, when it leaves.
    """

    kind: OpenKind
    number: int
    day: date
    who: str
    about: str
    whole: Cents
    paid: Cents
    counted: Cents = 0
    later_net: Cents = 0
    """What of an order counts as sold later, before sales tax."""

    @property
    def later(self) -> Cents:
        """What of an order counts as sold later, with its sales tax."""
        return self.whole - self.counted if self.kind in ORDERS else 0

    @property
    def owed(self) -> Cents:
        """What of an order left and is not paid."""
        return max(self.counted - self.paid, 0) if self.kind in ORDERS else 0

    @property
    def ahead(self) -> Cents:
        """What of an order is paid and did not leave."""
        return max(self.paid - self.counted, 0) if self.kind in ORDERS else 0

    @property
    def left(self) -> Cents:
        """What is left of it: to be paid by a customer or to a supplier, or held for a customer."""
        return self.whole - self.paid
