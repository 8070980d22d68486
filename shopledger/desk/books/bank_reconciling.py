"""Bringing the bank and the books together at a month's end, and saying at its closing whether they agree."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

from shopledger.desk.context import Desk
from shopledger.errors import RefusedError
from shopledger.ledger.books.bank_reconciliation import (
    BankBooks,
    MonthAtBank,
    ProofOfCash,
    Reconciliation,
    balance_on,
    proof_of_cash,
    reconciled,
    turnovers,
)
from shopledger.ledger.books.period import Month
from shopledger.ledger.books.statements import BankAccount, BankStatement
from shopledger.money.amount import Cents, write_amount
from shopledger.optics.findings import Finding, Severity
from shopledger.store.books.bank import NOW
from shopledger.store.work import UnitOfWork


def reconcile(desk: Desk, month: Month) -> MonthAtBank:
    """Bring the bank's and the books' balances together at a month's end, to the cent."""
    with desk.reading() as work:
        return _at_bank(desk, work, month)


def print_month(desk: Desk, month: Month, folder: Path, *, archive: bool = False) -> Path:
    """Print a month's reconciliation as a page."""
    from shopledger.desk.printing import pdf_of, placed  # noqa: PLC0415 - closing a month and looking print nothing
    from shopledger.files.replacing import PAPER  # noqa: PLC0415 - as above
    from shopledger.files.writing import write_whole  # noqa: PLC0415 - as above
    from shopledger.ledger.papers.bank_month import bank_month  # noqa: PLC0415 - as above
    from shopledger.paperwork.bank_month import BANK_MONTH  # noqa: PLC0415 - as above

    with desk.reading() as work:
        found = _at_bank(desk, work, month)
        content = bank_month(
            month, found.end, [(each.name, balance) for each, balance in found.accounts], found.proof,
            work.shop.profile(), made_on=desk.today, ledger_head=str(work.seals.head()),
        )  # fmt: skip
        pdf = pdf_of(placed(work, desk, BANK_MONTH, content), archive=archive)
    return write_whole(pdf, folder / BANK_MONTH.file_name(month.year * 100 + month.number), PAPER)


def bank_over(work: UnitOfWork, month: Month, today: date, seal: int) -> MonthAtBank | None:
    """Give a month's reconciliation as it was known under a seal; nothing where no statement has a line of the month.

    A closed month's workbook so goes on saying what it said, whatever is taken in of the bank's later.
    """
    last = min(month.last, today)
    if last < month.first or not work.bank.has_lines(month.first, last, seal):
        return None
    try:
        return _reconciled(work, month, last, seal)
    except RefusedError:
        return None


def bank_findings(work: UnitOfWork, month: Month) -> tuple[Finding, ...]:
    """Say whether the bank agrees with the books at a month's end; nothing where no account is kept."""
    if not work.bank.accounts():
        return ()
    try:
        end = _reconciled(work, month, month.last).end
    except RefusedError as error:
        return (_note("the bank is not reconciled", f"The bank's balance is not known: {error}"),)
    if end.agrees:
        said = write_amount(end.books)
        return (_note(said, f"The bank agrees with the books at {said}, to the cent."),)
    open_lines = f"{end.lines_said} not in the books" if end.unbooked else ""
    apart = f"{write_amount(end.difference)} is not explained" if end.difference else ""
    said = " and ".join(filter(None, (open_lines, apart)))
    sentence = f"The bank does not agree with the books yet: {said}. Look with 'shopledger bank reconcile {month}'."
    return (_note(said, sentence),)


def _at_bank(desk: Desk, work: UnitOfWork, month: Month) -> MonthAtBank:
    if month.first > desk.today:
        raise RefusedError("month", str(month), "it has not begun", "Type a month that has.")
    return _reconciled(work, month, min(month.last, desk.today))


def _note(value: str, sentence: str) -> Finding:
    return Finding(Severity.NOTE, "BANK", "month", value, "", "the bank's statements", sentence)


def _reconciled(work: UnitOfWork, month: Month, last: date, seal: int = NOW) -> MonthAtBank:
    statements = work.bank.statements(seal=seal)
    accounts = tuple(each for each in work.bank.accounts() if _is_told_of(each, statements))
    if not accounts:
        hint = "Take one in with 'shopledger bank import FILE', or type its balance with 'shopledger bank balance'."
        raise RefusedError("statement", "missing", "nothing of the bank's was taken in yet", hint)
    at = _AtBank(work, statements, seal)
    books = work.bank.books(month.first, last, seal)
    balances = tuple((each, at.known(each, last)) for each in accounts)
    end = reconciled(last, sum(balance for _, balance in balances), books)
    return MonthAtBank(month, balances, end, _proof(accounts, month.first, end, books, at))


def _is_told_of(account: BankAccount, statements: Iterable[BankStatement]) -> bool:
    return any(each.account_number == account.number for each in statements)


@dataclass(frozen=True, slots=True)
class _AtBank:
    """What the bank says of its accounts, as far as the chain had grown."""

    work: UnitOfWork
    statements: tuple[BankStatement, ...]
    seal: int

    def balance(self, account: BankAccount, day: date) -> Cents | None:
        """Give what lay in an account at a day's end; None where no statement tells."""
        number = account.number or 0
        own = [each for each in self.statements if each.account_number == number]
        return balance_on(day, own, lambda first, last: self.work.bank.moved(number, first, last, self.seal))

    def known(self, account: BankAccount, day: date) -> Cents:
        """Give what lay in an account at a day's end, or say what is missing."""
        found = self.balance(account, day)
        if found is None:
            hint = (
                "Take in the statement that reaches that day, or type its balance with "
                f"'shopledger bank balance \"{account.name}\" AMOUNT --day {day.isoformat()}'."
            )
            rule = f"no statement tells what lay there on {day.isoformat()}"
            raise RefusedError("balance", f"of {account.name} missing", rule, hint)
        return found


def _proof(
    accounts: Iterable[BankAccount], first: date, end: Reconciliation, books: BankBooks, at: _AtBank
) -> ProofOfCash | None:
    """Set the month out in four columns, from its first day or from the one on which the books began."""
    begun = books.begun
    start = begun if begun is not None and first < begun <= end.day else first
    before = start - timedelta(days=1)
    balances = [at.balance(each, before) for each in accounts]
    if None in balances:
        return None
    beginning = reconciled(before, sum(each or 0 for each in balances), books)
    return proof_of_cash(beginning, end, *turnovers(start, end.day, books))
