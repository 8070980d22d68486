"""The bank: its statements taken in, their lines matched to the books, and the month brought together to the cent."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import (
    SIGNED,
    OptionSet,
    accept,
    archive,
    as_json,
    day_option,
    dry_run,
    into_paper_folder,
    made,
    option,
    options,
)
from shopledger.cli.output import show
from shopledger.cli.params import AMOUNT, DAY, MONTH, Typed, Word
from shopledger.cli.prompts import DRY_RUN, accepted, only_asked, tell
from shopledger.ledger.books.bank_matches import LineMeaning
from shopledger.ledger.books.period import Month
from shopledger.ledger.books.spending import ExpenseCategory
from shopledger.ledger.books.statement_layout import DateOrder
from shopledger.money.amount import Cents
from shopledger.typed.numbers import read_whole

if TYPE_CHECKING:
    from shopledger.desk.books.bank_matching import LineEntry
    from shopledger.exchange.statement_csv import CsvTold

LINE = Typed("line", read_whole)
ROWS = Typed("rows", read_whole)
MEANING = Word(LineMeaning)


@click.group()
def bank() -> None:
    """Take in the bank's statements, match them, reconcile the month."""


@bank.command()
@click.argument("name")
@click.option("--ending", metavar="DIGITS", default="", help="The last four digits of its number; no more is kept.")
@as_json
@pass_run
def account(run: Run, name: str, ending: str, as_json: bool) -> None:
    """Keep an account at a bank under your name for it.

    Example:
    shopledger bank account Checking --ending 5678
    """
    from shopledger.cli.views.bank import OUT, accounts_table
    from shopledger.desk.books.statements import keep_account
    from shopledger.ledger.books.statements import BankAccount

    kept = keep_account(run.desk(), BankAccount(name, ending))
    show(as_json, OUT.of(kept), accounts_table([(kept, None)]))
    tell(f"The account {kept.name} was kept.")


@bank.command()
@as_json
@pass_run
def accounts(run: Run, as_json: bool) -> None:
    """List the accounts with the newest balance that the bank said.

    Example:
    shopledger bank accounts
    """
    from shopledger.cli.views.bank import accounts_data, accounts_table
    from shopledger.desk.books.statements import bank_accounts

    found = bank_accounts(run.desk())
    show(as_json, accounts_data(found), accounts_table(found))


@bank.command(context_settings=SIGNED)
@click.argument("account")
@click.argument("amount", type=AMOUNT)
@day_option("The day at whose end it lay there.")
@as_json
@pass_run
def balance(run: Run, account: str, amount: Cents, day: date | None, as_json: bool) -> None:
    """Record a balance from a statement on paper.

    Example:
    shopledger bank balance Checking 2149.03 --day 2026-03-31
    """
    from shopledger.cli.output import Fields
    from shopledger.cli.views.bank import OUT
    from shopledger.desk.books.statements import type_balance
    from shopledger.ledger.books.statements import StatedBalance
    from shopledger.money.amount import write_amount

    said = StatedBalance(day or run.today, amount)
    kept = type_balance(run.desk(), account, said)
    rows = (("balance", write_amount(amount)), ("on", said.day.isoformat()))
    show(as_json, OUT.of(kept), Fields(f"Account {account}", rows))
    tell("The balance was kept.")


class ToldOptions(OptionSet):
    """What a CSV file does not say itself."""

    opening: Cents | None = option("--opening", type=AMOUNT, help="What lay there before a CSV file's first line.")
    closing: Cents | None = option("--closing", type=AMOUNT, help="What lay there after a CSV file's last line.")
    first: date | None = option("--from", type=DAY, help="The first day that a CSV file tells of.")
    last: date | None = option("--to", type=DAY, help="The last day that a CSV file tells of.")


@bank.command("import")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--account", metavar="NAME", help="The account it is of. Otherwise the one that ends in its last digits.")
@click.option("--as-new", is_flag=True, help="Take lines that are like ones already there as lines of their own.")
@options(ToldOptions, "told")
@accept
@dry_run
@as_json
@pass_run
def take_in(
    run: Run,
    file: Path,
    account: str | None,
    as_new: bool,
    told: ToldOptions,
    accept: tuple[str, ...],
    dry_run: bool,
    as_json: bool,
) -> None:
    """Take in a statement that the bank gave as a file.

    All of it or nothing. Lines that are there already are told apart, so the same file again changes nothing, and
    files may overlap. The books do not change: see 'shopledger bank match'.

    Example:
    shopledger bank import march.ofx --dry-run
    """
    from shopledger.cli.views.bank import import_blocks, import_data
    from shopledger.desk.books.statements import ImportRequest, import_statement, plan_statement

    request = ImportRequest(file, account, as_new, _told(told))
    plan = plan_statement(run.desk(), request)
    only_asked(plan.findings, accept)
    if plan.cards:
        tell("A credit card's statement in the file was left out: it is no account at the bank.")
    if dry_run:
        show(as_json, import_data(plan), *import_blocks(plan))
        tell(DRY_RUN)
        return
    done = import_statement(run.desk(), request, accepted(run, plan.findings, accept))
    show(as_json, import_data(done), *import_blocks(done))
    kept = any(each.statement for each in done.accounts)
    tell(f"{file.name} was taken in." if kept else f"{file.name} is there already: nothing was changed.")


class ColumnOptions(OptionSet):
    """Which column of a CSV file says what, each by its heading, or by its number where there are none."""

    day_column: str = option("--day", metavar="COLUMN", required=True, help="The day it was posted.")
    amount: str = option("--amount", metavar="COLUMN", default="", help="The amount with its sign.")
    money_out: str = option("--out", metavar="COLUMN", default="", help="What went out, where that is a column.")
    money_in: str = option("--in", metavar="COLUMN", default="", help="What came in, where that is a column.")
    text: tuple[str, ...] = option("--text", metavar="COLUMN", multiple=True, help="What it was; may be given again.")
    check_number: str = option("--check", metavar="COLUMN", default="", help="The number of a check.")
    source_id: str = option("--id", metavar="COLUMN", default="", help="The bank's own number of the line.")
    balance: str = option("--balance", metavar="COLUMN", default="", help="The balance after the line: it proves all.")
    date_order: DateOrder = option(
        "--dates",
        type=Word(DateOrder),
        default=DateOrder.MONTH_FIRST,
        show_default="month-first",
        help="Order of a day.",
    )
    turned: bool = option("--turned", is_flag=True, help="What goes out stands above zero, as on some cards.")
    skip: int = option("--skip", type=ROWS, default="0", help="Rows above all others that say nothing.")
    skip_last: int = option("--skip-last", type=ROWS, default="0", help="Rows below all others, such as totals.")
    leave_out: str = option("--leave-out", metavar="COLUMN=WORD", default="", help="Rows that are not posted yet.")


@bank.command("columns")
@click.argument("account")
@click.argument("file", type=click.Path(path_type=Path))
@options(ColumnOptions)
@options(ToldOptions, "told")
@dry_run
@as_json
@pass_run
def columns(
    run: Run, account: str, file: Path, given: ColumnOptions, told: ToldOptions, dry_run: bool, as_json: bool
) -> None:
    """Say which columns of an account's CSV files are what.

    It is said once, tried on a file of the bank's, and kept for the account. Columns are named by their headings, or
    by their numbers from 1 where the file has none.

    Example:
    shopledger bank columns Checking march.csv --day Date --amount Amount
        --text Description --balance Balance
    """
    from shopledger.cli.views.bank import laid_out_blocks, laid_out_data
    from shopledger.desk.books.statements import LayoutRequest, keep_layout
    from shopledger.ledger.books.statement_layout import CsvLayout

    named = {name: getattr(given, name) for name in given.declared if name != "day_column"}
    layout = CsvLayout(day=given.day_column, **named)
    done = keep_layout(run.desk(), LayoutRequest(account, file, layout, _told(told)), dry=dry_run)
    show(as_json, laid_out_data(done), *laid_out_blocks(done))
    tell(DRY_RUN if dry_run else f"The columns of {done.account.name} were kept.")


@bank.command()
@click.option("--month", "which", type=MONTH, help="One month. Otherwise all.")
@click.option("--open", "only_open", is_flag=True, help="Only what is no entry of the books yet.")
@as_json
@pass_run
def lines(run: Run, which: Month | None, only_open: bool, as_json: bool) -> None:
    """List the bank's lines with what they are in the books.

    Example:
    shopledger bank lines
    """
    from shopledger.cli.views.bank import lines_data, lines_table
    from shopledger.desk.books.bank_matching import shown_lines

    found = shown_lines(run.desk(), which, only_open=only_open)
    show(as_json, lines_data(found), lines_table(found))


@bank.command()
@click.argument("line", type=LINE, required=False)
@click.argument("document", nargs=-1, metavar="[DOCUMENT NUMBER]")
@dry_run
@as_json
@pass_run
def match(run: Run, line: int | None, document: tuple[str, ...], dry_run: bool, as_json: bool) -> None:
    """Say which entry of the books each line of the bank's is.

    Alone, it matches what can be only one: by check number, by reference, by amount and day; the rest is listed with
    what it could be. With a line and a document, that line is what you say; several documents must come to it exactly.
    Two lines that come to nothing are one another: a transfer between your accounts, an error that the bank put right.

    Example:
    shopledger bank match
    shopledger bank match 14 expense 7
    shopledger bank match 15 payment 21 payment 22
    shopledger bank match 16 line 17
    """
    from shopledger.cli.views.bank import matched_data, matched_fields, plan_blocks, plan_data
    from shopledger.desk.books.bank_matching import match_lines, pair_lines, pick_match, plan_matches
    from shopledger.ledger.books.bank_matches import other_line, read_documents

    if line is None:
        plan = (plan_matches if dry_run else match_lines)(run.desk())
        show(as_json, plan_data(plan), *plan_blocks(plan))
        tell(DRY_RUN if dry_run else f"{len(plan.found)} matched, {len(plan.left)} left for you to pick.")
        for month in plan.closed:
            tell(f"More are sure in {month}, which is closed: see 'shopledger month reopen {month} --help'.")
        return
    if dry_run or not document:
        message = (
            "A line is matched to a document: type both, as in 14 expense 7. --dry-run is for a look at all lines."
        )
        raise click.UsageError(message)
    other = other_line(" ".join(document))
    if other is None:
        found = pick_match(run.desk(), line, read_documents(" ".join(document)))
    else:
        found = pair_lines(run.desk(), line, other)
    show(as_json, matched_data(found), matched_fields(found))
    tell(f"Line {line} was matched.")


@bank.command()
@click.argument("line", type=LINE)
@as_json
@pass_run
def unmatch(run: Run, line: int, as_json: bool) -> None:
    """Take back what a line was said to be.

    Example:
    shopledger bank unmatch 14
    """
    from shopledger.cli.views.bank import matched_data, matched_fields
    from shopledger.desk.books.bank_matching import unmatch as take_back

    found = take_back(run.desk(), line)
    show(as_json, matched_data(found), matched_fields(found))
    tell(f"Line {line} is open again.")


class EntryOptions(OptionSet):
    """What is said of an entry that a line of the bank's becomes."""

    payee: str = option("--payee", metavar="TEXT", default="", help="Whom it was paid to. Otherwise as the line says.")
    category: ExpenseCategory | None = option(
        "--category", type=Word(ExpenseCategory), help="Of an expense; 'spend categories' lists them."
    )
    description: str = option("--description", metavar="TEXT", default="", help="What it was for.")
    accept: tuple[str, ...] = option(
        "--accept", metavar="CODE", multiple=True, help="Say yes to the warning with this code; may be given again."
    )
    dry_run: bool = option("--dry-run", is_flag=True, help="Show what would be stored, and store nothing.")
    as_json: bool = option("--json", is_flag=True, help="Print the result as JSON.")


@bank.command("record")
@click.argument("line", type=LINE)
@click.argument("meaning", type=MEANING)
@options(EntryOptions)
@pass_run
def record(run: Run, line: int, meaning: LineMeaning, given: EntryOptions) -> None:
    """Make an entry of a line that the books do not know yet.

    A fee is an expense, interest is other income; the owner's draw and contribution are neither. It is recorded on the
    line's own day, and matched at once.

    Example:
    shopledger bank record 9 fee
    """
    from shopledger.desk.books.bank_matching import LineRequest, plan_entry, record_line

    request = LineRequest(line, meaning, given.payee, given.category, given.description)
    plan = plan_entry(run.desk(), request)
    only_asked(plan.findings, given.accept)
    if given.dry_run:
        _show_entry(plan, as_json=given.as_json)
        tell(DRY_RUN)
        return
    done = record_line(run.desk(), request, accepted(run, plan.findings, given.accept))
    _show_entry(done, as_json=given.as_json)
    tell(f"Line {line} was recorded and matched.")


@bank.command()
@click.argument("which", metavar="YYYY-MM", type=MONTH)
@as_json
@pass_run
def reconcile(run: Run, which: Month, as_json: bool) -> None:
    """Bring the bank and the books together at a month's end.

    The bank's balance with deposits in transit, less what is outstanding, is the books' balance, to the cent.

    Example:
    shopledger bank reconcile 2026-03
    """
    from shopledger.cli.views.bank import month_blocks, month_data, verdict
    from shopledger.desk.books.bank_reconciling import reconcile as brought_together

    found = brought_together(run.desk(), which)
    show(as_json, month_data(found), *month_blocks(found))
    tell(verdict(found))


@bank.command()
@click.argument("which", metavar="YYYY-MM", type=MONTH)
@into_paper_folder
@archive
@as_json
@pass_run
def page(run: Run, which: Month, folder: Path, archive: bool, as_json: bool) -> None:
    """Print a month's reconciliation as a page.

    Example:
    shopledger bank page 2026-03 --into papers
    """
    from shopledger.cli.output import Drawing
    from shopledger.desk.books.bank_reconciling import print_month

    file = print_month(run.desk(), which, made(folder), archive=archive)
    show(as_json, {"month": str(which), "file": str(file)}, Drawing((str(file),)))


def _told(told: ToldOptions) -> CsvTold:
    from shopledger.exchange.statement_csv import CsvTold

    return CsvTold(told.opening, told.closing, told.first, told.last)


def _show_entry(entry: LineEntry, *, as_json: bool) -> None:
    from shopledger.cli.views import money
    from shopledger.cli.views.bank import line_data
    from shopledger.cli.views.lenses import finding_data, finding_table
    from shopledger.ledger.books.spending import Expense

    document = entry.document
    is_expense = isinstance(document, Expense)
    fields = money.expense_fields(document) if isinstance(document, Expense) else money.move_fields(document)
    data = {
        "line": line_data(entry.line),
        "expense": money.OUT.of(document) if is_expense else None,
        "money": None if is_expense else money.OUT.of(document),
        "findings": finding_data(entry.findings),
    }
    show(as_json, data, fields, *((finding_table(entry.findings),) if entry.findings else ()))
