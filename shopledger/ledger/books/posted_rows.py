"""The rows of a period that stock and books themselves make: movements, lots, costs, postings, trial balance."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import Final

from shopledger.ledger.books.journal import Account
from shopledger.money.amount import Cents


@dataclass(frozen=True, slots=True)
class MovementRow:
    """One movement of stock: count and cost are positive in, negative out."""

    day: date
    number: int
    kind: str
    item_code: str
    reason: str
    quantity: int
    cost: Cents
    order_number: int | None = None
    job_number: int | None = None
    bill_number: int | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class StockRow:
    """One stocked item over the period: counts, and what they cost, first in first out."""

    item_code: str
    description: str
    opening: int = 0
    opening_value: Cents = 0
    came: int = 0
    came_value: Cents = 0
    """Received, there at the beginning, or back from customers."""
    went: int = 0
    went_value: Cents = 0
    """Shipped, given away, taken home or sent back."""
    adjusted: int = 0
    adjusted_value: Cents = 0
    """Found or missing at a count, and written off."""

    @property
    def closing(self) -> int:
        """On hand at the period's end."""
        return self.opening + self.came - self.went + self.adjusted

    @property
    def value(self) -> Cents:
        """What that cost."""
        return self.opening_value + self.came_value - self.went_value + self.adjusted_value


@dataclass(frozen=True, slots=True)
class GoodsCostRow:
    """Something that adds to the cost of goods, or takes from it: goods out of a lot, or a posting for lenses."""

    day: date
    account: str
    event: str
    order_number: int | None = None
    job_number: int | None = None
    item_code: str = ""
    lot: int | None = None
    """Number of the movement that brought the goods in."""
    lot_day: date | None = None
    quantity: int | None = None
    cost: Cents = 0


@dataclass(frozen=True, slots=True)
class LotRow:
    """What is left of one lot on the period's last day; the lot's number is that of the movement that brought it in."""

    lot: int
    received: date
    item_code: str
    description: str
    quantity: int
    cost: Cents


@dataclass(frozen=True, slots=True)
class JournalRow:
    """One posting of the period with the entry that it belongs to."""

    entry_number: int
    day: date
    document: str
    memo: str
    account: str
    amount: Cents
    reverses: int | None = None
    """Number of the entry that this one takes back."""

    @property
    def debit(self) -> Cents | None:
        """The amount, if it is a debit."""
        return self.amount if self.amount > 0 else None

    @property
    def credit(self) -> Cents | None:
        """The amount, if it is a credit."""
        return -self.amount if self.amount < 0 else None


@dataclass(frozen=True, slots=True)
class AccountSums:
    """What an account's postings come to: before the year, since then up to the period, and in the period."""

    account: Account
    before_year: Cents
    before_period: Cents
    """From 1 January up to the period."""
    debits: Cents
    credits: Cents

    @property
    def opening(self) -> Cents:
        """What stood there before the period; income, cost and expense begin each year at zero."""
        return self.before_period + (self.before_year if self.account.kind.lasts else 0)


@dataclass(frozen=True, slots=True)
class TrialRow:
    """One account over the period, debits positive and credits negative."""

    title: str
    kind: str
    schedule_c: str
    opening: Cents
    debits: Cents = 0
    credits: Cents = 0

    @property
    def closing(self) -> Cents:
        """What stands there after the period."""
        return self.opening + self.debits - self.credits


EARLIER_YEARS: Final = "earlier years' result"
"""The one line of a trial balance that is worked out: income less cost and expense of all years before this one."""


def trial_balance(sums: Iterable[AccountSums]) -> Iterator[TrialRow]:
    """Give the accounts that ever moved in the order of the chart, and the earlier years' result with equity."""
    found = {each.account: each for each in sums}
    earlier = sum(each.before_year for each in found.values() if not each.account.kind.lasts)
    told = False
    for account in Account:
        if not account.kind.lasts and not told:
            told = True
            if earlier:
                yield TrialRow(EARLIER_YEARS, "equity", "", earlier)
        each = found.get(account)
        if each is not None and (each.opening or each.debits or each.credits):
            yield TrialRow(
                account.title, account.kind.value, account.schedule_c, each.opening, each.debits, each.credits
            )
