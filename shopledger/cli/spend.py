"""Expenses: what was spent and paid at once, with the paper that proves it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import (
    SIGNED,
    OptionSet,
    accept,
    as_json,
    asked,
    day,
    dry_run,
    into_folder,
    made,
    needed,
    option,
    options,
    reference,
)
from shopledger.cli.output import Drawing, show
from shopledger.cli.params import AMOUNT, MONTH, Word, text
from shopledger.cli.prompts import DRY_RUN, accepted, only_asked, tell
from shopledger.ledger.books.period import Month
from shopledger.ledger.books.spending import Expense, ExpenseCategory, SpendMethod
from shopledger.money.amount import Cents

if TYPE_CHECKING:
    from shopledger.desk.books.spending import ExpensePlan

CATEGORY = Word(ExpenseCategory)
METHOD = Word(SpendMethod)


class ExpenseOptions(OptionSet):
    """What money was spent on, and where it came from."""

    category: ExpenseCategory | None = option(
        "--category", type=CATEGORY, help="What it was spent on; 'spend categories' lists them.", ask="Category"
    )
    description: str | None = option(
        "--description",
        metavar="TEXT",
        help="What was bought, and for what.",
        ask="What it was for",
        read=text("description", 2000),
    )
    method: SpendMethod | None = option(
        "--method",
        type=METHOD,
        help="Where the money came from; owner is the owner's own pocket.",
        ask="Paid from (cash, bank, card, owner)",
    )
    reference: str | None = reference("Number of the invoice or transfer, or a card's last four digits")
    receipt: Path | None = option(
        "--receipt", type=click.Path(path_type=Path), help="A scan or picture to keep as proof, with its hash."
    )
    day: date | None = day("The day it was paid.")


@click.group()
def spend() -> None:
    """Record what was spent, with its receipt."""


@spend.command(context_settings=SIGNED)
@click.argument("payee")
@click.argument("amount", type=AMOUNT)
@options(ExpenseOptions)
@accept
@dry_run
@as_json
@pass_run
def record(
    run: Run,
    payee: str,
    amount: Cents,
    given: ExpenseOptions,
    accept: tuple[str, ...],
    dry_run: bool,
    as_json: bool,
) -> None:
    """Record what was spent and paid at once.

    The tax office wants payee, amount, day, what it was for, and proof of payment.

    Example:
    shopledger spend record "Alder Row Estates" 850 --category rent-of-premises
        --method bank --description "rent for March" --receipt march-rent.pdf
    """
    from shopledger.desk.books.spending import plan_expense, record_expense

    given = asked(run, given)
    new = Expense(
        given.day or run.today,
        payee,
        needed(given.category),
        needed(given.description),
        amount,
        needed(given.method),
        given.reference or "",
    )
    plan = plan_expense(run.desk(), new, given.receipt)
    only_asked(plan.findings, accept)
    if not dry_run:
        done = record_expense(run.desk(), new, given.receipt, accepted(run, plan.findings, accept))
        plan = replace(done, findings=tuple(each for each in done.findings if each.code == "NO-PROOF"))
    _show_plan(plan, as_json)
    tell(DRY_RUN if dry_run else f"Expense {plan.expense.number} was recorded.")


@spend.command("list")
@click.option("--month", "which", type=MONTH, help="One month. Otherwise all.")
@click.option("--category", type=CATEGORY, help="One category. Otherwise all.")
@as_json
@pass_run
def list_expenses(run: Run, which: Month | None, category: ExpenseCategory | None, as_json: bool) -> None:
    """List expenses with their sums.

    One that was voided stands below zero on that day.

    Example:
    shopledger spend list --month 2026-03
    """
    from shopledger.cli.views.money import expense_tables, expenses_data
    from shopledger.desk.books.spending import expenses

    found = expenses(run.desk(), which, category)
    show(as_json, expenses_data(found), *expense_tables(found))


@spend.command("show")
@click.argument("number", type=int)
@as_json
@pass_run
def show_expense(run: Run, number: int, as_json: bool) -> None:
    """Show one expense.

    Example:
    shopledger spend show 4
    """
    from shopledger.cli.views.money import expense_data, expense_fields
    from shopledger.desk.books.spending import expense_card

    card = expense_card(run.desk(), number)
    shown = (card.expense, card.receipt, card.voided)
    show(as_json, expense_data(*shown), expense_fields(*shown))


@spend.command()
@click.argument("number", type=int)
@into_folder
@as_json
@pass_run
def receipt(run: Run, number: int, folder: Path, as_json: bool) -> None:
    """Write the kept receipt of an expense into a folder.

    Its hash proves first that it is what was kept.

    Example:
    shopledger spend receipt 4 --into papers
    """
    from shopledger.desk.books.spending import write_receipt

    written = write_receipt(run.desk(), number, made(folder))
    show(as_json, {"expense": number, "file": str(written)}, Drawing((str(written),)))


@spend.command()
@as_json
def categories(as_json: bool) -> None:
    """List the categories with their lines of Schedule C.

    Example:
    shopledger spend categories
    """
    from shopledger.cli.views.money import DECIDES, categories_data, categories_table

    show(as_json, categories_data(), categories_table())
    tell(DECIDES)


def _show_plan(plan: ExpensePlan, as_json: bool) -> None:
    from shopledger.cli.views.lenses import finding_data, finding_table
    from shopledger.cli.views.money import expense_data, expense_fields

    data = {**expense_data(plan.expense, plan.receipt), "findings": finding_data(plan.findings)}
    blocks = (finding_table(plan.findings),) if plan.findings else ()
    show(as_json, data, expense_fields(plan.expense, plan.receipt), *blocks)
