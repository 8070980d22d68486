"""Taking in what the bank says: accounts by name, files with their lines, a balance from paper.

Nothing in the books changes by it: a line becomes an entry, or is found to be one, by deeds of their own.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path

from shopledger.desk.context import Desk
from shopledger.desk.refusals import accepted_warnings
from shopledger.errors import RefusedError
from shopledger.exchange.statement_csv import NOTHING_TOLD, CsvTold, first_rows
from shopledger.exchange.statement_file import StatementFile, read_statement_file
from shopledger.ledger.books.statement_import import ImportPlan, beside, plan_import, with_corrections
from shopledger.ledger.books.statement_layout import CsvLayout
from shopledger.ledger.books.statements import (
    BankAccount,
    BankLine,
    BankStatement,
    StatedAccount,
    StatedBalance,
    StatementForm,
)
from shopledger.ledger.limits import MOVED, hold_amount
from shopledger.optics.findings import Finding
from shopledger.store.work import UnitOfWork


@dataclass(frozen=True, slots=True)
class ImportRequest:
    """A file to take in: of which account, and what is meant where lines are like ones already there."""

    source: Path
    account: str | None = None
    as_new: bool = False
    """Whether what is like a line already there is a line of its own."""
    told: CsvTold = NOTHING_TOLD
    """What a CSV file does not say itself."""


@dataclass(frozen=True, slots=True)
class LayoutRequest:
    """Which columns of an account's CSV files say what, and one of the files to prove it by."""

    account: str
    source: Path
    layout: CsvLayout
    told: CsvTold = NOTHING_TOLD


@dataclass(frozen=True, slots=True)
class LaidOut:
    """A file's first rows as they stand, and what they are by the layout."""

    account: BankAccount
    rows: tuple[tuple[str, ...], ...]
    stated: StatedAccount


@dataclass(frozen=True, slots=True)
class AccountImport:
    """What a file brings to one account."""

    account: BankAccount
    stated: StatedAccount
    plan: ImportPlan
    statement: BankStatement | None = None
    """What was kept; nothing for a file that was taken in before."""


@dataclass(frozen=True, slots=True)
class StatementImport:
    """What a file brings, account by account."""

    file: StatementFile
    accounts: tuple[AccountImport, ...]
    cards: int = 0
    """How many statements of credit cards in it were left out: they are no accounts at the bank."""

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What the owner is asked or told."""
        return tuple(finding for each in self.accounts for finding in each.plan.findings)


def keep_account(desk: Desk, account: BankAccount) -> BankAccount:
    """Keep an account of the shop's under the owner's name for it."""
    with desk.writing() as work:
        return work.bank.add_account(account)


def bank_accounts(desk: Desk) -> tuple[tuple[BankAccount, StatedBalance | None], ...]:
    """Give every account with the newest balance that the bank said of it."""
    with desk.reading() as work:
        return tuple((each, _newest(work.bank.statements(each.number))) for each in work.bank.accounts())


def type_balance(desk: Desk, account: str, balance: StatedBalance) -> BankStatement:
    """Keep what a statement on paper says lay in the account at the end of a day."""
    hold_amount("balance", abs(balance.amount), MOVED)
    day = desk.past_day(balance.day)
    with desk.writing() as work:
        number = work.bank.account(account).number or 0
        typed = BankStatement(number, desk.today, StatementForm.TYPED, balance_day=day, balance=balance.amount)
        return work.bank.add_statement(typed)


def keep_layout(desk: Desk, request: LayoutRequest, *, dry: bool = False) -> LaidOut:
    """Keep which columns of an account's CSV files say what, once the file at hand can be read so."""
    file = read_statement_file(request.source)
    rows = first_rows(file.body, file.name)
    with desk.reading() as work:
        account = work.bank.account(request.account)
    (stated,) = file.accounts(request.layout, request.told)
    if file.form is not StatementForm.CSV:
        raise RefusedError("file", file.name, "it says itself what its parts are", "Import it as it is.")
    if not dry:
        with desk.writing() as work:
            work.bank.keep_layout(account.number or 0, request.layout.written())
    return LaidOut(account, rows, stated)


def plan_statement(desk: Desk, request: ImportRequest) -> StatementImport:
    """Look at what a file would bring, and keep nothing."""
    file = read_statement_file(request.source)
    with desk.reading() as work:
        return _planned(desk, work, file, request)


def import_statement(desk: Desk, request: ImportRequest, accept: frozenset[str] = frozenset()) -> StatementImport:
    """Take in a bank's file: all of it, or nothing."""
    file = read_statement_file(request.source)
    with desk.writing() as work:
        plan = _planned(desk, work, file, request)
        codes = tuple(dict.fromkeys(each.code for each in accepted_warnings(plan.findings, accept)))
        return replace(plan, accounts=tuple(_kept(desk, work, file, each, codes) for each in plan.accounts))


def _planned(desk: Desk, work: UnitOfWork, file: StatementFile, request: ImportRequest) -> StatementImport:
    name = _named(work, file, request)
    every = file.accounts(_layout(work, name), request.told)
    stated = [each for each in every if not each.is_card]
    if not stated:
        hint = (
            "Purchases are recorded with 'shopledger spend record', the card's bill with 'shopledger money pay-card'."
        )
        raise RefusedError("statement", "a credit card's", "only accounts at the bank are reconciled", hint)
    found = []
    for each in stated:
        account = _account(work, each, name, alone=len(stated) == 1)
        _refuse_future(desk, each)
        kept = work.bank.lines_beside(account.number or 0, *beside(each))
        plan = plan_import(each, kept, as_new=request.as_new)
        found.append(AccountImport(account, each, plan))
    return StatementImport(file, tuple(found), len(every) - len(stated))


def _named(work: UnitOfWork, file: StatementFile, request: ImportRequest) -> str | None:
    """Give the name of the account that is meant; a CSV file names none, and is of the only one where there is one."""
    known = work.bank.accounts()
    only = file.form is StatementForm.CSV and len(known) == 1
    return known[0].name if request.account is None and only else request.account


def _layout(work: UnitOfWork, name: str | None) -> CsvLayout | None:
    kept = "" if name is None else work.bank.layout(work.bank.account(name).number or 0)
    return CsvLayout.read(kept) if kept else None


def _account(work: UnitOfWork, stated: StatedAccount, name: str | None, *, alone: bool) -> BankAccount:
    """Give the account that a statement is of: the one that was named, or the one with its last four digits."""
    if name is not None and alone:
        account = work.bank.account(name)
        if account.ending and stated.ending and account.ending != stated.ending:
            rule = f"'{account.name}' ends in {account.ending}"
            raise RefusedError("account of the file", f"one that ends in {stated.ending}", rule, "Name the right one.")
        return account
    known = work.bank.accounts()
    found = [each for each in known if stated.ending and each.ending == stated.ending]
    if len(found) != 1:
        said = f"one that ends in {stated.ending}" if stated.ending else "not named in it"
        rule = "it is of none of the accounts kept here" if not found else "several accounts end so"
        hint = "Name it with --account, or keep it first: 'shopledger bank account NAME --ending 5678'."
        raise RefusedError("account of the file", said, rule, hint)
    return found[0]


def _refuse_future(desk: Desk, stated: StatedAccount) -> None:
    late = max((line.day for line in stated.lines), default=desk.today)
    if late > desk.today:
        rule = f"that is after today, {desk.today.isoformat()}"
        raise RefusedError("day of a line", late.isoformat(), rule, "Look at how the file writes its days.")


def _kept(
    desk: Desk, work: UnitOfWork, file: StatementFile, each: AccountImport, accepted: tuple[str, ...]
) -> AccountImport:
    number = each.account.number or 0
    lines = work.bank.lines_beside(number, *beside(each.stated))
    plan = with_corrections(each.plan, lines)
    if not plan.new and any(past.sha256 == file.sha256 for past in work.bank.statements(number)):
        return replace(each, plan=plan)
    _refuse_matched(work, [old for new in plan.new for old in lines if old.number == new.replaces])
    said = each.stated
    first, last = said.span or (None, None)
    balance = said.closing
    statement = work.bank.add_statement(
        BankStatement(
            number,
            desk.today,
            said.form,
            file.name,
            file.sha256,
            first,
            min(last, desk.today) if last else None,
            balance.day if balance else None,
            balance.amount if balance else None,
            accepted,
        )
    )
    work.bank.add_lines(statement, plan.new)
    return replace(each, plan=plan, statement=statement)


def _refuse_matched(work: UnitOfWork, overtaken: Iterable[BankLine]) -> None:
    for line in overtaken:
        if work.bank.matches_of([line.number or 0]):
            rule = "the bank changed it, and it is matched"
            raise RefusedError("line", str(line.number), rule, f"First 'shopledger bank unmatch {line.number}'.")


def _newest(statements: Iterable[BankStatement]) -> StatedBalance | None:
    said = [
        StatedBalance(each.balance_day, each.balance)
        for each in statements
        if each.balance_day is not None and each.balance is not None
    ]
    return max(reversed(said), key=lambda each: each.day, default=None)
