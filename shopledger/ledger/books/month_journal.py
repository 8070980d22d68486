"""The books over a month: each posting as a row, and the trial balance."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from shopledger.ledger.books.journal import Account
from shopledger.money.amount import Cents


@dataclass(frozen=True, slots=True)
class JournalRow:
    """One posting of the month with the entry that it belongs to."""

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
    """What an account's postings come to: before the year, since then up to the month, and in the month."""

    account: Account
    before_year: Cents
    before_month: Cents
    """From 1 January up to the month."""
    debits: Cents
    credits: Cents

    @property
    def opening(self) -> Cents:
        """What stood there before the month; income, cost and expense begin each year at nought."""
        return self.before_month + (self.before_year if self.account.kind.lasts else 0)


@dataclass(frozen=True, slots=True)
class TrialRow:
    """One account over the month, debits positive and credits negative."""

    title: str
    kind: str
    schedule_c: str
    opening: Cents
    debits: Cents = 0
    credits: Cents = 0

    @property
    def closing(self) -> Cents:
        """What stands there after the month."""
        return self.opening + self.debits - self.credits


EARLIER_YEARS = "earlier years' result"
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
