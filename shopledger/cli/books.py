"""The ledger itself: where it lies, and the proof that nothing in it was changed from outside."""

from __future__ import annotations

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import as_json
from shopledger.cli.output import Drawing, Fields, Json, show


@click.command()
@as_json
@pass_run
def where(run: Run, as_json: bool) -> None:
    """Say where the ledger is."""
    from shopledger.desk.opening import ledger_place

    place = ledger_place(run.ledger)
    show(as_json, {"ledger": place.shown}, Drawing((place.shown,)))


@click.command()
@as_json
@pass_run
def verify(run: Run, as_json: bool) -> None:
    """Prove that the books were not changed from outside.

    Every entry is hashed together with the one before it; the head is printed on each receipt and workbook.
    """
    from shopledger.desk.proof import prove_books

    now = prove_books(run.desk())
    data: dict[str, Json] = {"entries": now.count, "head": str(now), "hash": now.hash}
    rows = (("entries", str(now.count)), ("head", str(now)), ("books", "whole: every entry fits the one before it"))
    show(as_json, data, Fields("", rows))
