"""Taking back what was recorded by mistake: an expense, a bill, a payment on one, other money, a deposit."""

from __future__ import annotations

from typing import Any

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.fields import text
from shopledger.cli.options import accept, as_json, day_option, dry_run
from shopledger.cli.output import show
from shopledger.cli.prompts import Question, fill, tell

QUESTIONS = (Question("reason", "--reason", "Why it is taken back", text("reason", 2000)),)


@click.command()
@click.argument("document", nargs=-1, required=True, metavar="DOCUMENT NUMBER")
@click.option("--reason", metavar="TEXT", help="Why; it is kept, and listed with it.")
@day_option("The day on which it is taken back.")
@accept
@dry_run
@as_json
@pass_run
def take_back(
    run: Run, document: tuple[str, ...], accept: tuple[str, ...], dry_run: bool, as_json: bool, **given: Any
) -> None:
    r"""Take back what was recorded by mistake.

    Nothing is deleted: each of its entries is reversed by a new one that points at it, on a day of an open month.
    A document is an expense, bill, bill payment, money or deposit with its number.

    \b
    shopledger take-back expense 4 --reason "was private"
    shopledger take-back bill payment 2 --reason "wrong bill"
    """
    from shopledger.cli.findings import accepted
    from shopledger.cli.views.deposits import taking_back_blocks, taking_back_data
    from shopledger.cli.views.lenses import finding_data, finding_table
    from shopledger.desk.books.taking_back import plan_taking_back
    from shopledger.desk.books.taking_back import take_back as reverse
    from shopledger.ledger.books.documents import Document

    which = Document.read(" ".join(document))
    fill(run, given, QUESTIONS)
    desk, reason, day = run.desk(), given["reason"], given["day"]
    plan = plan_taking_back(desk, which, reason, day)
    if dry_run:
        blocks = (finding_table(plan.findings),) if plan.findings else ()
        data = {**taking_back_data(plan), "findings": finding_data(plan.findings)}
        show(as_json, data, *taking_back_blocks(plan), *blocks)
        tell("Nothing was stored: this was a dry run.")
        return
    done = reverse(desk, which, reason, day, accepted(run, plan.findings, frozenset(accept)))
    show(as_json, taking_back_data(done), *taking_back_blocks(done))
    tell(f"{str(which).capitalize()} was taken back.")
