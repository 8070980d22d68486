"""The balance sheet of a day: what the shop has, what it owes, and how the owner's capital came to what is left.

It is on accrual, by the books alone. Income, cost and expense of earlier years are part of the capital that the year
began with, as contributions and draws of earlier years are.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from shopledger.ledger.books.journal import Account, AccountKind
from shopledger.money.amount import Cents

Sums = Mapping[Account, Cents]
"""What each account stands at, debits above zero."""


@dataclass(frozen=True, slots=True)
class SheetLine:
    """One account as it is read: what is there, or what is owed, above zero as a rule."""

    account: Account
    amount: Cents


@dataclass(frozen=True, slots=True)
class CapitalMoves:
    """How the owner's capital came from the year's beginning to the day; what he took out is subtracted."""

    at_first: Cents
    brought_in: Cents
    """With what the books began in this year: money and stock that were there before them."""
    contributed: Cents
    drawn: Cents
    entered: Cents
    """By adjusting entries on the capital itself."""
    result: Cents
    """Income less cost and expense of the year so far, on accrual."""
    equipment: Cents = 0
    """What equipment brought above what was left of its cost, or below it: no part of the trade's result."""

    @property
    def at_last(self) -> Cents:
        """The capital at the end of the day."""
        return (
            self.at_first
            + self.brought_in
            + self.contributed
            - self.drawn
            + self.entered
            + self.equipment
            + self.result
        )


@dataclass(frozen=True, slots=True)
class BalanceSheet:
    """What the shop has and owes at the end of a day, and the owner's capital."""

    day: date
    assets: tuple[SheetLine, ...]
    liabilities: tuple[SheetLine, ...]
    capital: CapitalMoves

    @property
    def has(self) -> Cents:
        """All assets."""
        return sum(line.amount for line in self.assets)

    @property
    def owes(self) -> Cents:
        """All liabilities."""
        return sum(line.amount for line in self.liabilities)

    @property
    def adds_up(self) -> bool:
        """Whether assets are liabilities and capital; they are, unless the journal was damaged."""
        return self.has == self.owes + self.capital.at_last


def balance_sheet(day: date, before: Sums, now: Sums) -> BalanceSheet:
    """Make the balance sheet of a day of what the accounts stood at before its year, and what they stand at."""

    def moved(*accounts: Account) -> Cents:
        return sum(before.get(account, 0) - now.get(account, 0) for account in accounts)

    capital = CapitalMoves(
        at_first=-sum(before.get(account, 0) for account in _CAPITAL),
        brought_in=moved(Account.OPENING_BALANCES),
        contributed=moved(Account.CONTRIBUTIONS),
        drawn=-moved(Account.DRAWS),
        entered=moved(Account.CAPITAL),
        result=moved(*_YEARLY),
        equipment=moved(Account.EQUIPMENT_GAINS),
    )
    return BalanceSheet(day, _lines(now, AccountKind.ASSET, 1), _lines(now, AccountKind.LIABILITY, -1), capital)


_CAPITAL = tuple(account for account in Account if account.kind not in {AccountKind.ASSET, AccountKind.LIABILITY})
_YEARLY = tuple(account for account in Account if not account.kind.lasts)


def _lines(sums: Sums, kind: AccountKind, sign: int) -> tuple[SheetLine, ...]:
    return tuple(SheetLine(each, sign * sums[each]) for each in Account if each.kind is kind and sums.get(each))
