"""Whether the bank's deeds are as quick with ten years of lines as with one; prints seconds and their ratios.

Run it as `python tests/bench/bank_bench.py [LINES]`. Two invented ledgers hold so many lines of one bank account, and a
tenth of them, as many a month: checks at one of six usual prices and purchases at odd ones. All but the last month is
imported and matched at once, as by an owner who begins late, and what is left is picked by hand; then the last month's
lines are imported and matched, and the month is reconciled.
"""

from __future__ import annotations

import random
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Final

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from shopledger.desk.books.bank_matching import match_lines, plan_matches, shown_lines
from shopledger.desk.books.bank_reconciling import reconcile
from shopledger.desk.books.banking import record_move
from shopledger.desk.books.statements import ImportRequest, import_statement, keep_account
from shopledger.desk.context import Desk
from shopledger.ledger.books.bank_matches import matched
from shopledger.ledger.books.money_moves import CashAccount, MoneyMove, MoveKind
from shopledger.ledger.books.period import Month
from shopledger.ledger.books.postings import expense_entry
from shopledger.ledger.books.spending import Expense, ExpenseCategory, SpendMethod
from shopledger.ledger.books.statements import BankAccount
from shopledger.store.opening import Ledger, create_ledger, ledger_url
from tests.statements import ofx, transaction
from tests.store.samples import OPERATOR

GOAL: Final = 12.0
"""For ten times the lines: a month's deeds may grow as the database's own looking through them does, and no more."""
LINES: Final = 20_000
A_MONTH: Final = 160
USUAL: Final = (4_999, 12_995, 24_950, 6_500, 850, 18_000)
BEGUN: Final = date(2016, 1, 1)
ACCEPTED: Final = frozenset({"LINE-AGAIN", "LINE-CHANGED", "LINE-MISSING"})


@dataclass(frozen=True)
class Spent:
    """What was spent: a day, an amount, the day on which the bank shows it, and whether it was by check."""

    day: date
    amount: int
    shown: date
    by_check: bool


def spending(lines: int) -> list[Spent]:
    """Give what a shop spends by the bank, month by month, the bank a day or two later within the month."""
    chance = random.Random(7)
    found = []
    for place in range(lines):
        month = place // A_MONTH
        first = date(BEGUN.year + month // 12, month % 12 + 1, 1)
        day = first + timedelta(chance.randrange(25))
        by_check = chance.random() < 0.7
        amount = chance.choice(USUAL) if by_check else chance.randrange(100, 60_000)
        found.append(Spent(day, amount, day + timedelta(chance.randrange(3)), by_check))
    return found


def furnished(folder: Path, lines: int) -> tuple[Ledger, Desk, list[Spent]]:
    """Make a ledger in which all of it was spent, and nothing is known of the bank yet."""
    spent = spending(lines)
    today = max(each.shown for each in spent) + timedelta(20)
    ledger = create_ledger(ledger_url(str(folder / f"{lines}.db")))
    now = datetime(today.year, today.month, today.day, 12, tzinfo=UTC)
    desk = Desk(ledger, OPERATOR, now, today, folder / "templates", books_begin=BEGUN)
    keep_account(desk, BankAccount("Checking", "5678"))
    record_move(desk, MoneyMove(BEGUN, MoveKind.OPENING, CashAccount.BANK, 100_000_000))
    for start in range(0, lines, 2_000):
        with desk.writing() as work:
            for place, each in enumerate(spent[start : start + 2_000], start):
                asked = Expense(each.day, f"Payee {place % 90}", ExpenseCategory.SUPPLIES, "goods", each.amount,
                                SpendMethod.BANK, str(place + 1) if each.by_check else "")  # fmt: skip
                work.journal.post(expense_entry(work.expenses.add(asked)))
    return ledger, desk, spent


def statement(folder: Path, spent: list[Spent], first: date, last: date, name: str) -> Path:
    """Write the bank's file of some days, with its balance at their end."""
    shown = [(place, each) for place, each in enumerate(spent) if first <= each.shown <= last]
    lines = [
        transaction(
            f"{each.shown:%Y%m%d}",
            f"-{each.amount / 100:.2f}",
            f"b{place}",
            "PURCHASE",
            kind="DEBIT",
            more=f"<CHECKNUM>{place + 1}" if each.by_check else "",
        )
        for place, each in shown
    ]
    left = 100_000_000 - sum(each.amount for each in spent if each.shown <= last)
    text = ofx(*lines, first=f"{first:%Y%m%d}", last=f"{last:%Y%m%d}", balance=f"{left / 100:.2f}",
               balance_day=f"{last:%Y%m%d}")  # fmt: skip
    file = folder / name
    file.write_text(text, encoding="ascii")
    return file


def timed(deed: Callable[[], object]) -> float:
    """Give how many seconds a deed takes."""
    begun = time.perf_counter()
    deed()
    return time.perf_counter() - begun


def month_by_month(folder: Path, lines: int, *, at_once: bool) -> dict[str, float]:
    """Take in all but the last month at once, then time the last one."""
    ledger, desk, spent = furnished(folder, lines)
    last = max(each.shown for each in spent)
    month = Month(last.year, last.month)
    took: dict[str, float] = {}
    with closing(ledger):
        before = statement(folder, spent, BEGUN, month.first - timedelta(1), f"{lines}-before.ofx")
        took["import all"] = timed(lambda: import_statement(desk, ImportRequest(before), ACCEPTED))
        took["match all"] = timed(lambda: match_lines(desk))
        _pick(desk)
        file = statement(folder, spent, month.first, month.last, f"{lines}-last.ofx")
        took["import"] = timed(lambda: import_statement(desk, ImportRequest(file), ACCEPTED))
        took["match"] = timed(lambda: match_lines(desk))
        took["look"] = timed(lambda: plan_matches(desk))
        took["reconcile"] = timed(lambda: reconcile(desk, month))
        took["lines"] = timed(lambda: shown_lines(desk, month))
        found = reconcile(desk, month)
        assert found.end.difference == 0, found.end.difference
        if at_once:
            took["import all again"] = timed(lambda: import_statement(desk, ImportRequest(before), ACCEPTED))
    return took


def _pick(desk: Desk) -> None:
    """Match what the program leaves to the owner, each to the first entry that it could be."""
    met: set[int] = set()
    left = plan_matches(desk).left
    with desk.writing() as work:
        for each in left:
            entry = next((one for one in each.candidates if one.number not in met), None)
            if entry is not None:
                met.add(entry.number)
                work.bank.add_match(matched(each.line, entry))


def main() -> None:
    """Print how long each takes with all lines and with a tenth of them."""
    lines = int(sys.argv[1]) if len(sys.argv) > 1 else LINES
    with tempfile.TemporaryDirectory() as folder:
        small = month_by_month(Path(folder), lines // 10, at_once=False)
        large = month_by_month(Path(folder), lines, at_once=True)
    worst = 0.0
    for deed, seconds in large.items():
        ratio = f"{seconds / small[deed]:5.1f} times {small[deed]:.3f} s" if deed in small else ""
        print(f"{deed:18} {seconds:8.3f} s  {ratio}")
        if deed in {"match", "look", "reconcile", "lines"}:
            worst = max(worst, seconds / small[deed])
    print(f"worst of a month {worst:.1f}, goal {GOAL}")
    if worst > GOAL:
        sys.exit(1)


if __name__ == "__main__":
    main()
