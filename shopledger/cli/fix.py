"""What can be done about something that was recorded, from whichever document one starts."""

from __future__ import annotations

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import as_json
from shopledger.cli.output import show
from shopledger.cli.params import Word
from shopledger.ledger.remedies import Fixable


@click.command()
@click.argument("what", type=Word(Fixable), metavar="DOCUMENT")
@click.argument("number", type=int)
@as_json
@pass_run
def fix(run: Run, what: Fixable, number: int, as_json: bool) -> None:
    """Say what can be done about something that was recorded.

    Nothing is stored: for each mistake it says what to type, or why it is too late for it and what to do instead. A
    document is an order, job, parcel, payment, refund, correction, receipt, prescription, deposit, bill, expense or
    money.

    Example:
    shopledger fix order 12
    shopledger fix job 5
    """
    from shopledger.cli.views.fixing import remedies_blocks, remedies_data
    from shopledger.desk.fixing import what_can_be_done

    found = what_can_be_done(run.desk(), what, number)
    show(as_json, remedies_data(found), *remedies_blocks(found))
