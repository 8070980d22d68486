"""Orders prepared but not yet recorded."""

from __future__ import annotations

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import accept, as_json, dry_run
from shopledger.cli.output import Drawing, show
from shopledger.cli.prompts import tell


@click.group()
def draft() -> None:
    """See orders prepared but not recorded, and record them."""


@draft.command("list")
@as_json
@pass_run
def list_drafts(run: Run, as_json: bool) -> None:
    """List the drafts that have not become orders.

    Example:
    shopledger draft list
    """
    from shopledger.cli.views.orders import OUT, draft_table
    from shopledger.desk.drafts import open_drafts

    found = open_drafts(run.desk())
    show(as_json, {"drafts": OUT.all(found)}, draft_table(found))


@draft.command("show")
@click.argument("number", type=int)
@as_json
@pass_run
def show_draft(run: Run, number: int, as_json: bool) -> None:
    """Show a draft as the order file that it is.

    Example:
    shopledger draft show 3
    """
    from shopledger.cli.views.orders import OUT, draft_table
    from shopledger.desk.drafts import draft_numbered

    found = draft_numbered(run.desk(), number)
    show(as_json, OUT.of(found), draft_table((found,)), Drawing(found.body.splitlines()))


@draft.command()
@click.argument("order", type=int)
@click.option("--customer", metavar="CUSTOMER", help="For another customer: number or name. Otherwise the same one.")
@click.option("--wearer", metavar="NAME", default="", help="Whose the glasses are then, where that is one person.")
@as_json
@pass_run
def copy(run: Run, order: int, customer: str | None, wearer: str, as_json: bool) -> None:
    """Draft an order once more as it stands, without what was paid.

    For one that was recorded for the wrong customer or on the wrong day: cancel that, and record the draft.

    Example:
    shopledger draft copy 12
    """
    from shopledger.cli.views.orders import OUT, draft_table
    from shopledger.desk.copying import copy_to_draft

    made = copy_to_draft(run.desk(), order, customer, wearer)
    show(as_json, OUT.of(made), draft_table((made,)), Drawing(made.body.splitlines()))
    tell(f"Draft {made.number} was made. Next: 'shopledger draft record {made.number}'.")


@draft.command()
@click.argument("number", type=int)
@accept
@dry_run
@as_json
@pass_run
def record(run: Run, number: int, accept: tuple[str, ...], dry_run: bool, as_json: bool) -> None:
    """Record a draft as a sale, at today's prices.

    Example:
    shopledger draft record 3
    """
    from shopledger.cli.recording import record_request
    from shopledger.desk.drafts import drafted_order

    request = drafted_order(run.desk(), number)
    record_request(run, request, accept, dry_run, as_json, draft=number)
