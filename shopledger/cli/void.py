"""Voiding what was recorded by mistake: an expense, a bill and what followed, other money, a deposit, an adjustment."""

from __future__ import annotations

from datetime import date

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import OptionSet, accept, as_json, asked, day, dry_run, needed, options, reason
from shopledger.cli.output import show
from shopledger.cli.prompts import DRY_RUN, accepted, only_asked, tell


class VoidOptions(OptionSet):
    """Why and when a document is voided."""

    reason: str | None = reason("Why; it is kept, and listed with it.", "Why it is voided")
    day: date | None = day("The day on which it is voided.")


@click.command()
@click.argument("document", nargs=-1, required=True, metavar="DOCUMENT NUMBER")
@options(VoidOptions)
@accept
@dry_run
@as_json
@pass_run
def void(
    run: Run, document: tuple[str, ...], given: VoidOptions, accept: tuple[str, ...], dry_run: bool, as_json: bool
) -> None:
    """Void what was recorded by mistake.

    Nothing is deleted: each of its entries is reversed by a new one that points at it, on a day of an open month.
    A document is an expense, bill, bill payment, bill credit, money, deposit or adjustment with its number.

    Example:
    shopledger void expense 4 --reason "was private"
    shopledger void bill payment 2 --reason "wrong bill"
    """
    from shopledger.cli.views.deposits import voided_blocks, voided_data
    from shopledger.cli.views.lenses import finding_data, finding_table
    from shopledger.desk.books.voiding import plan_voiding, void_document
    from shopledger.ledger.books.documents import Document

    which = Document.read(" ".join(document))
    given = asked(run, given)
    desk, reason, day = run.desk(), needed(given.reason), given.day
    plan = plan_voiding(desk, which, reason, day)
    only_asked(plan.findings, accept)
    if dry_run:
        blocks = (finding_table(plan.findings),) if plan.findings else ()
        data = {**voided_data(plan), "findings": finding_data(plan.findings)}
        show(as_json, data, *voided_blocks(plan), *blocks)
        tell(DRY_RUN)
        return
    done = void_document(desk, which, reason, day, accepted(run, plan.findings, accept))
    show(as_json, voided_data(done), *voided_blocks(done))
    tell(f"{str(which).capitalize()} was voided.")
