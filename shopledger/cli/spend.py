"""Expenses: what was spent and paid at once, with the paper that proves it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.fields import text
from shopledger.cli.options import SIGNED, accept, as_json, day_option, dry_run, into_folder, made
from shopledger.cli.output import Drawing, show
from shopledger.cli.params import AMOUNT, MONTH, Word
from shopledger.cli.prompts import Question, fill, tell
from shopledger.ledger.books.month import Month
from shopledger.ledger.books.spending import Expense, ExpenseCategory, SpendMethod

CATEGORY = Word(ExpenseCategory)
METHOD = Word(SpendMethod)
QUESTIONS = (
    Question("category", "--category", "Category", lambda typed: CATEGORY.read(typed, "category")),
    Question("description", "--description", "What it was for", text("description", 2000)),
    Question("method", "--method", "Paid from (cash, bank, card, owner)", lambda typed: METHOD.read(typed, "method")),
    Question(
        "reference",
        "--reference",
        "Number of the invoice or transfer, or a card's last four digits",
        text("reference", 40),
        optional=True,
    ),
)


@click.group()
def spend() -> None:
    """Record what was spent, with its receipt."""


@spend.command(context_settings=SIGNED)
@click.argument("payee")
@click.argument("amount", type=AMOUNT)
@click.option("--category", type=CATEGORY, help="What it was spent on; 'spend categories' lists them.")
@click.option("--description", metavar="TEXT", help="What was bought, and for what.")
@click.option("--method", type=METHOD, help="Where the money came from; owner is the owner's own pocket.")
@click.option("--reference", metavar="TEXT", help="Number of the invoice or transfer, or a card's last four digits.")
@click.option("--receipt", type=click.Path(path_type=Path), help="A scan or picture to keep as proof, with its hash.")
@day_option("The day it was paid.")
@accept
@dry_run
@as_json
@pass_run
def record(run: Run, accept: tuple[str, ...], dry_run: bool, as_json: bool, **given: Any) -> None:
    r"""Record what was spent and paid at once.

    The tax office wants payee, amount, day, what it was for, and proof of payment.

    \b
    shopledger spend record "Alder Row Estates" 850 --category rent-of-premises \
        --method bank --description "rent for March" --receipt march-rent.pdf
    """
    from shopledger.cli.findings import accepted
    from shopledger.desk.books.spending import plan_expense, record_expense

    fill(run, given, QUESTIONS)
    receipt = given.pop("receipt")
    asked = Expense(**{**given, "day": given["day"] or run.today, "reference": given["reference"] or ""})
    plan = plan_expense(run.desk(), asked, receipt)
    if not dry_run:
        said_yes = accepted(run, plan.findings, frozenset(accept))
        done = record_expense(run.desk(), asked, receipt, said_yes)
        plan = replace(done, findings=tuple(each for each in done.findings if each.code == "NO-PROOF"))
    _show_plan(plan, as_json)
    tell("Nothing was stored: this was a dry run." if dry_run else f"Expense {plan.expense.number} was recorded.")


@spend.command("list")
@click.option("--month", "which", type=MONTH, help="One month. Otherwise all.")
@click.option("--category", type=CATEGORY, help="One category. Otherwise all.")
@as_json
@pass_run
def list_expenses(run: Run, which: Month | None, category: ExpenseCategory | None, as_json: bool) -> None:
    """List expenses with their sums.

    One that was taken back stands below nought on that day.
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
    """Show one expense."""
    from shopledger.cli.views.money import expense_data, expense_fields
    from shopledger.desk.books.spending import expense_card

    card = expense_card(run.desk(), number)
    shown = (card.expense, card.receipt, card.taken_back)
    show(as_json, expense_data(*shown), expense_fields(*shown))


@spend.command()
@click.argument("number", type=int)
@into_folder
@as_json
@pass_run
def receipt(run: Run, number: int, folder: Path, as_json: bool) -> None:
    """Write the kept receipt of an expense into a folder.

    Its hash proves first that it is what was kept.
    """
    from shopledger.desk.books.spending import write_receipt

    written = write_receipt(run.desk(), number, made(folder))
    show(as_json, {"expense": number, "file": str(written)}, Drawing((str(written),)))


@spend.command()
@as_json
def categories(as_json: bool) -> None:
    """List the categories with their lines of Schedule C."""
    from shopledger.cli.views.money import DECIDES, categories_data, categories_table

    show(as_json, categories_data(), categories_table())
    tell(DECIDES)


def _show_plan(plan: Any, as_json: bool) -> None:
    from shopledger.cli.views.lenses import finding_data, finding_table
    from shopledger.cli.views.money import expense_data, expense_fields

    data = {**expense_data(plan.expense, plan.receipt), "findings": finding_data(plan.findings)}
    blocks = (finding_table(plan.findings),) if plan.findings else ()
    show(as_json, data, expense_fields(plan.expense, plan.receipt), *blocks)
