"""Who looked at what and who changed it: shown, and old notes taken away."""

from __future__ import annotations

from datetime import date

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import as_json
from shopledger.cli.output import show
from shopledger.cli.params import DAY, Word
from shopledger.cli.prompts import tell
from shopledger.ledger.audit import Deed


@click.group()
def audit() -> None:
    """See who looked at what and who changed it."""


@audit.command("show")
@click.option("--customer", metavar="CUSTOMER", help="Only what is about this customer's data: number or name.")
@click.option("--since", type=DAY, help="Only from this day on.")
@click.option("--deed", type=Word(Deed), help="Only this deed.")
@click.option("--limit", type=click.IntRange(1, 100_000), default=50, show_default=True, help="Show at most this many.")
@as_json
@pass_run
def show_audit(
    run: Run, customer: str | None, since: date | None, deed: Deed | None, limit: int, as_json: bool
) -> None:
    """Show who looked at what and who changed it.

    The newest stand first; a change is shown with the old and the new value.

    Example:
    shopledger audit show --customer Fernhollow --since 2026-01-01
    """
    from shopledger.cli.views.auditing import noted_data, noted_table
    from shopledger.desk.auditing import audit as found

    noted = found(run.desk(), customer, since, deed, limit)
    show(as_json, {"notes": [noted_data(each) for each in noted]}, noted_table(noted))


@audit.command("prune")
@as_json
@pass_run
def prune(run: Run, as_json: bool) -> None:
    """Take away notes that are older than you keep them.

    For how many years is set with 'shopledger shop keeping --audit-years'. The chain of the rest still proves itself.

    Example:
    shopledger audit prune
    """
    from shopledger.cli.views.auditing import pruned_data, pruned_fields
    from shopledger.desk.auditing import prune_audit

    done = prune_audit(run.desk())
    show(as_json, pruned_data(done), pruned_fields(done))
    many = done.done.many if done.done else 0
    tell(f"{many} notes of before {done.before.isoformat()} were taken away.")
