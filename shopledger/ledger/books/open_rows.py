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

    SOLD = "sold, not shipped, not paid"
    PAID = "paid, not shipped"
    SHIPPED = "shipped, not paid"
    OVERPAID = "shipped, paid too much"
    BILL = "bill open"
    DEPOSIT = "deposit held"
    DRAFT = "draft unfinished"

    @property
    def account(self) -> Account | None:
        """The account on which what is open of it stands; none for a draft, which is not posted."""
        return _ACCOUNTS.get(self, Account.RECEIVABLE)


_ACCOUNTS: Final[dict[OpenKind, Account | None]] = {
    OpenKind.BILL: Account.ACCOUNTS_PAYABLE,
    OpenKind.DEPOSIT: Account.CUSTOMER_DEPOSITS,
    OpenKind.DRAFT: None,
}


@dataclass(frozen=True, slots=True)
class OpenRow:
    """One thing that is open: what it comes to, what was paid of it, and what is left.

    An order comes to what was charged, less what was refunded and written off.
    """

    kind: OpenKind
    number: int
    day: date
    who: str
    about: str
    whole: Cents
    paid: Cents

    @property
    def left(self) -> Cents:
        """What is left of it: to be paid by a customer or to a supplier, or held for a customer."""
        return self.whole - self.paid
