"""Looking into the till before money is taken out: what lies there on the day, and what all later days leave of it."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from shopledger.ledger.books.journal import Account, AccountKind
from shopledger.ledger.books.money_findings import above_balance
from shopledger.money.amount import Cents

if TYPE_CHECKING:
    from shopledger.optics.findings import Finding
    from shopledger.store.work import Work


def short_of(work: Work, account: Account, amount: Cents, day: date) -> tuple[Finding, ...]:
    """Warn where the account does not hold the amount: on that day, or because of what was recorded for later days."""
    then, at_last = work.balances.of(account, day), work.balances.of(account)
    lies = min(then, at_last) if account.kind is AccountKind.ASSET else max(then, at_last)
    return above_balance(account, amount, lies)
