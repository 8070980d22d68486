"""Adjusting entries: posted by account, guarded against what documents own, and reversed on another day."""

from __future__ import annotations

from datetime import date

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import SIGNED, OptionSet, as_json, asked, day, day_option, dry_run, needed, option, options
from shopledger.cli.options import reason as why
from shopledger.cli.output import show
from shopledger.cli.params import MONTH, Typed
from shopledger.cli.prompts import DRY_RUN, tell
from shopledger.errors import RefusedError
from shopledger.ledger.books.adjustments import Adjustment, AdjustmentLine, read_account
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.period import Month
from shopledger.money.amount import Cents, write_amount
from shopledger.typed.amounts import read_typed_amount


def _line(sign: int) -> Typed[AdjustmentLine]:
    """Read `depreciation=120.00`: an account and an amount."""

    def read(typed: str, field: str) -> AdjustmentLine:
        name, marked, amount = typed.partition("=")
        if not (marked and name.strip() and amount.strip()):
            allowed = "it is an account and an amount, as in depreciation=120.00"
            raise RefusedError(field, f"'{typed}'", allowed, "Type it so.")
        cents = read_typed_amount(amount, "amount")
        if cents <= 0:
            hint = "What goes the other way stands under --debit or --credit instead."
            raise RefusedError(f"amount of {name.strip()}", write_amount(cents), "it must be more than 0", hint)
        return AdjustmentLine(read_account(name), sign * cents)

    return Typed("account=amount", read)


class EntryOptions(OptionSet):
    """What an adjusting entry moves, why and when."""

    debit: tuple[AdjustmentLine, ...] = option(
        "--debit", type=_line(1), multiple=True, help="An account that is debited, by how much; may be given again."
    )
    credit: tuple[AdjustmentLine, ...] = option(
        "--credit", type=_line(-1), multiple=True, help="An account that is credited, by how much; may be given again."
    )
    reason: str | None = why("Why; it is kept with it.", "Why the books are adjusted")
    day: date | None = day("The day it counts on.")


def _tax(typed: str, field: str) -> tuple[str, Cents]:
    """Read `OH=44.10`: a state and what is owed to it."""
    state, marked, amount = typed.partition("=")
    if not (marked and state.strip() and amount.strip()):
        raise RefusedError(field, f"'{typed}'", "it is a state and an amount, as in OH=44.10", "Type it so.")
    return state.strip(), read_typed_amount(amount, "tax")


class OpeningOptions(OptionSet):
    """What a shop had and owed when its books began."""

    has: tuple[AdjustmentLine, ...] = option(
        "--has", type=_line(1), multiple=True, help="What was there, as in bank=2500.00; may be given again."
    )
    owes: tuple[AdjustmentLine, ...] = option(
        "--owes",
        type=_line(-1),
        multiple=True,
        help="What was owed, or written off of equipment, as in loans=900.00; may be given again.",
    )
    tax: tuple[tuple[str, Cents], ...] = option(
        "--tax", type=Typed("state=amount", _tax), multiple=True, help="Sales tax owed to a state; may be given again."
    )
    day: date | None = day("The day the books begin.")


@click.group()
def adjust() -> None:
    """Post adjusting entries by account: depreciation, loans, accruals."""


@adjust.command(context_settings=SIGNED)
@options(EntryOptions)
@dry_run
@as_json
@pass_run
def record(run: Run, given: EntryOptions, dry_run: bool, as_json: bool) -> None:
    """Record an entry; debits and credits come to the same.

    Accounts that documents own are refused, with the command that posts there. It counts on accrual and on cash alike,
    unless it moves prepaid or accrued expenses and no money: then on accrual alone, since on cash an expense counts as
    it is paid. Record what is paid, ahead or late, with 'spend' or 'bill', and only move it in time here.

    Example:
    shopledger adjust record --debit depreciation=500.00
        --credit accumulated-depreciation=500.00
        --reason "edger, one year" --day 2026-12-31
    """
    from shopledger.cli.views.adjustments import OUT, entry_blocks
    from shopledger.desk.books.adjusting import plan_adjustment, record_adjustment

    given = asked(run, given)
    new = Adjustment(given.day or run.today, needed(given.reason), (*given.debit, *given.credit))
    if dry_run:
        plan = plan_adjustment(run.desk(), new)
        show(as_json, OUT.of(plan), *entry_blocks(plan))
        tell(DRY_RUN)
        return
    done = record_adjustment(run.desk(), new)
    show(as_json, OUT.of(done), *entry_blocks(done))
    tell(f"Adjustment {done.number} was recorded.")


@adjust.command("open", context_settings=SIGNED)
@options(OpeningOptions)
@dry_run
@as_json
@pass_run
def open_with(run: Run, given: OpeningOptions, dry_run: bool, as_json: bool) -> None:
    """Record what a shop that moves in had and owed.

    Once, and dated before everything else; the difference is the owner's capital. Goods come in with 'stock count',
    suppliers' bills with 'bill record --owed-before'. What customers owe from before has no place here.

    Example:
    shopledger adjust open --has bank=2500.00 --has equipment=1800.00
        --owes loans=900.00 --tax OH=44.10 --day 2026-01-01
    """
    from shopledger.cli.views.adjustments import OUT, entry_blocks
    from shopledger.desk.books.adjusting import open_books, plan_opening

    taxes = (AdjustmentLine(Account.SALES_TAX_PAYABLE, -cents, state) for state, cents in given.tax)
    new = Adjustment.opening_of(given.day or run.today, (*given.has, *given.owes, *taxes))
    if dry_run:
        plan = plan_opening(run.desk(), new)
        show(as_json, OUT.of(plan), *entry_blocks(plan))
        tell(DRY_RUN)
        return
    done = open_books(run.desk(), new)
    show(as_json, OUT.of(done), *entry_blocks(done))
    tell(f"The opening position was recorded as adjustment {done.number}.")


@adjust.command(context_settings=SIGNED)
@click.argument("number", type=int)
@day_option("The day it is reversed on.")
@as_json
@pass_run
def reverse(run: Run, number: int, day: date | None, as_json: bool) -> None:
    """Reverse an adjusting entry on another day.

    As an accrual is on the first of the next month. The first one stays as it is; a mistake is voided instead.

    Example:
    shopledger adjust reverse 2
    """
    from shopledger.cli.views.adjustments import OUT, entry_blocks
    from shopledger.desk.books.adjusting import reverse_adjustment

    done = reverse_adjustment(run.desk(), number, day)
    show(as_json, OUT.of(done), *entry_blocks(done))
    tell(f"Adjustment {done.number} reverses adjustment {number}.")


@adjust.command("list")
@click.option("--month", "which", type=MONTH, help="One month. Otherwise all.")
@as_json
@pass_run
def list_entries(run: Run, which: Month | None, as_json: bool) -> None:
    """List adjusting entries.

    What was voided stands below zero on that day.

    Example:
    shopledger adjust list
    """
    from shopledger.cli.views.adjustments import entries_data, entries_table
    from shopledger.desk.books.adjusting import adjustments

    found = adjustments(run.desk(), which)
    show(as_json, entries_data(found), entries_table(found))


@adjust.command("show")
@click.argument("number", type=int)
@as_json
@pass_run
def show_entry(run: Run, number: int, as_json: bool) -> None:
    """Show an adjusting entry with its accounts.

    Example:
    shopledger adjust show 2
    """
    from shopledger.cli.views.adjustments import card_data, entry_blocks
    from shopledger.desk.books.adjusting import adjustment_card

    found, reversed_by, voided = adjustment_card(run.desk(), number)
    show(as_json, card_data(found, reversed_by, voided), *entry_blocks(found, reversed_by, voided))


@adjust.command("accounts")
@as_json
def list_accounts(as_json: bool) -> None:
    """List the accounts of the books, with their line of Schedule C.

    It says what posts to those that an adjusting entry never touches.

    Example:
    shopledger adjust accounts
    """
    from shopledger.cli.views.adjustments import accounts_data, accounts_table

    show(as_json, accounts_data(), accounts_table())
