"""What waits in the books: bills, copies of the ledger, the bank's lines, and a month to close."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from shopledger.desk.today_look import Look
from shopledger.ledger.backups import overdue
from shopledger.ledger.books.period import Month
from shopledger.ledger.things import About, Thing
from shopledger.ledger.today import BILL_AHEAD, Waiting, Waits, bill_due, days_said
from shopledger.money.amount import write_amount


def bills(look: Look) -> Iterator[Waiting]:
    """Give the bills that are due soon, or were."""
    for bill in look.work.waits.bills(look.today + timedelta(BILL_AHEAD)):
        due = bill_due(bill.day, bill.due_on)
        said = "is due" if due >= look.today else "was due"
        words = f"Bill {bill.number}: {write_amount(bill.owed)} {said} {days_said(due, look.today)}."
        yield Waiting(Waits.BILL, About(Thing.BILL, str(bill.number)), words, bill.day, until=due, who=bill.who)


def backups(look: Look) -> Iterator[Waiting]:
    """Give the copies of the ledger that are overdue."""
    for words in overdue(look.work.backups.terms(), look.copies, look.today):
        yield Waiting(Waits.BACKUP, About(Thing.LEDGER, ""), f"{words[0].upper()}{words[1:]}.", overdue=True)


def bank_lines(look: Look) -> Iterator[Waiting]:
    """Give the bank's lines that are no entry of the books yet."""
    lines = look.work.waits.bank_lines()
    for line in look.first(Waits.BANK_LINE, lines, lambda line: (line.day, line.number)):
        amount = write_amount(line.amount)
        words = f"Line {line.number} of the bank's, {line.day.isoformat()}, {amount}, is no entry yet."
        yield Waiting(Waits.BANK_LINE, About(Thing.BANK_LINE, str(line.number)), words, since=line.day)


def month(look: Look) -> Iterator[Waiting]:
    """Give the last whole month that has entries, while it is open."""
    found = look.work.waits.last_month(Month(look.today.year, look.today.month))
    if found is not None and not look.work.periods.is_closed(found):
        words = f"{found} is over and not closed yet."
        yield Waiting(Waits.MONTH, About(Thing.MONTH, str(found)), words, since=found.last + timedelta(1))
