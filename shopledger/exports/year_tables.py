"""Tables of a year turned and compared: accounts and card money by month, and each account beside the year before.

pandas is loaded here alone, and only once a table is asked for.
"""

# ruff: noqa: PLC0415 - see above

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, TypeAlias

from shopledger.ledger.books.journal import Account, AccountKind
from shopledger.ledger.books.reports import MoneyEvent, YearFigures
from shopledger.money.amount import Cents
from shopledger.money.rate import round_half_away

if TYPE_CHECKING:
    import pandas as pd

Months: TypeAlias = Sequence[Cents]
"""What something came to in each of the twelve months."""

MEASURES: Final = ("amount", "fee", "tax", "shipping")
_MONTHS: Final = range(1, 13)
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
    """Give what each account changed by in each month, turned from the sums of the journal."""
    rows = [
        (account.title, month.number, amount)
        for month in figures.year.months
        for account, amount in figures.in_month(month).items()
    ]
    table = _turned(rows, ["account", "month", "amount"]).reindex([account.title for account in Account], fill_value=0)
    months: list[list[int]] = table.to_numpy().tolist()
    return dict(zip(Account, months, strict=True))


def card_money_by_month(figures: YearFigures, method: str) -> Mapping[tuple[MoneyEvent, str], Months]:
    """Give what each event of one method came to in each month, measure by measure; zeros where nothing was."""
    rows = [
        (f"{row.event.name} {measure}", row.month.number, getattr(row, measure))
        for row in figures.money
        if row.method == method
        for measure in MEASURES
    ]
    table = _turned(rows, ["what", "month", "amount"])
    found: Mapping[str, list[int]] = dict(zip(table.index, table.to_numpy().tolist(), strict=True))
    return defaultdict(lambda: [0] * len(_MONTHS), {
        (event, measure): found[f"{event.name} {measure}"]
        for event in MoneyEvent for measure in MEASURES if f"{event.name} {measure}" in found
    })  # fmt: skip


def accounts_beside(figures: YearFigures) -> tuple[Beside, ...]:
    """Set the two years beside each other by account; one that was used in only one of them has its row too."""
    import pandas as pd

    def standing(lasting: Mapping[Account, Cents], changed: Mapping[Account, Cents]) -> pd.Series[int]:
        sign = {account: -1 if account.kind in _ON_THE_CREDIT_SIDE else 1 for account in Account}
        amounts = {each.name: sign[each] * (lasting if each.kind.lasts else changed)[each] for each in Account}
        return pd.Series(amounts, dtype="int64")

    now = standing(*({each: of(each) for each in Account} for of in (figures.closed_at, figures.change)))
    then = standing(*({each: of(each) for each in Account} for of in (figures.opened_at, figures.change_before)))
    table = pd.DataFrame({"now": now, "then": then}).assign(difference=now - then)
    return tuple(Beside(Account[str(name)], *map(int, amounts)) for name, *amounts in table.itertuples())


def _turned(rows: Sequence[tuple[str, int, Cents]], columns: list[str]) -> pd.DataFrame:
    """Give a table with a row for each word of the first column, and a column for each month."""
    import pandas as pd

    posted = pd.DataFrame(rows, columns=columns)
    table = posted.pivot_table(index=columns[0], columns=columns[1], values=columns[2], aggfunc="sum", fill_value=0)
    return table.reindex(columns=_MONTHS, fill_value=0).astype("int64")
