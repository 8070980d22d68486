"""What `shopledger --version` says: the program, the tables that it knows, and the ledger that is meant."""

from __future__ import annotations

import click

from shopledger.desk.context import ledger_standing
from shopledger.errors import visible
from shopledger.store.revision import HEAD_REVISION, PROGRAM, version_of


def say_version(ledger: str | None) -> None:
    """Say the versions of the program and of the ledger; that there is no ledger is no error."""
    found = ledger_standing(ledger)
    said = found.trouble
    if not said:
        said = f"tables {found.revision}"
        said += f" of shopledger {version_of(found.revision)}" if found.known else ", which this program does not know"
        said += f"; written last by shopledger {found.writer}" if found.writer else ""
    click.echo(f"shopledger {PROGRAM}")
    click.echo(f"tables     {HEAD_REVISION}")
    click.echo(visible(f"ledger     {found.shown}: {said}"))
