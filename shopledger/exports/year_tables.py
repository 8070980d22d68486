"""Tables of a year turned and compared: accounts and card money by month, and each account beside the year before."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final, TypeAlias

from shopledger.ledger.books.journal import Account, AccountKind
from shopledger.ledger.books.reports import MoneyEvent, YearFigures
from shopledger.money.amount import Cents
from shopledger.money.rate import round_half_away

Months: TypeAlias = Sequence[Cents]
"""What something came to in each of the twelve months."""

MEASURES: Final = ("amount", "fee", "tax", "shipping")
_ON_THE_CREDIT_SIDE: Final = frozenset({AccountKind.LIABILITY, AccountKind.EQUITY, AccountKind.INCOME})


@dataclass(frozen=True, slots=True)
class Beside:
    """An account as it is read: balances for what lasts, else what it came to, income and debts above zero."""

    account: Account
    now: Cents
    then: Cents
    difference: Cents

    @property
    def share(self) -> int | str:
        """By what share the year before was passed, in millionths; nothing where there was none."""
        return share(self.now, self.then)


def share(now: Cents, then: Cents) -> int | str:
    """Give by what share an amount passes another, in millionths; nothing where there is no other."""
    return round_half_away((now - then) * 1_000_000 * (1 if then > 0 else -1), abs(then)) if then else ""


def accounts_by_month(figures: YearFigures) -> Mapping[Account, Months]:
    """Give what each account changed by in each month; zeros where nothing was posted."""
    changes = [figures.in_month(month) for month in figures.year.months]
    return {account: [changed.get(account, 0) for changed in changes] for account in Account}


def card_money_by_month(figures: YearFigures, method: str) -> Mapping[tuple[MoneyEvent, str], Months]:
    """Give what each event of one method came to in each month, measure by measure; zeros where nothing was."""
    table: defaultdict[tuple[MoneyEvent, str], list[Cents]] = defaultdict(lambda: [0] * 12)
    for row in figures.of(MoneyEvent, method):
        for measure in MEASURES:
            table[row.event, measure][row.month.number - 1] += getattr(row, measure)
    return table


def accounts_beside(figures: YearFigures) -> tuple[Beside, ...]:
    """Set the two years beside each other by account; one that was used in only one of them has its row too."""

    def beside(account: Account) -> Beside:
        sign = -1 if account.kind in _ON_THE_CREDIT_SIDE else 1
        lasts = account.kind.lasts
        now = sign * (figures.closed_at if lasts else figures.change)(account)
        then = sign * (figures.opened_at if lasts else figures.change_before)(account)
        return Beside(account, now, then, now - then)

    return tuple(map(beside, Account))
