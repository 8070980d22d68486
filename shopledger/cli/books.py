"""The ledger itself: where it lies, and the proof that nothing in it was changed from outside."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import as_json
from shopledger.cli.output import Drawing, show
from shopledger.cli.params import Typed

if TYPE_CHECKING:
    from shopledger.ledger.books.proofs import KeptHead


@click.command()
@as_json
@pass_run
def where(run: Run, as_json: bool) -> None:
    """Say where the ledger is."""
    from shopledger.desk.opening import ledger_place

    place = ledger_place(run.ledger)
    show(as_json, {"ledger": place.shown}, Drawing((place.shown,)))


@click.command()
@click.option(
    "--head",
    type=Typed("count-hash", lambda text, _field: _head(text)),
    help="A head printed on a receipt or workbook: prove that the books still contain it.",
)
@click.option("--files", is_flag=True, help="Look at the kept files too: that each is there, and unchanged.")
@as_json
@pass_run
def verify(run: Run, head: KeptHead | None, files: bool, as_json: bool) -> None:
    """Prove that the books were not changed from outside.

    Every entry is hashed together with the one before it, and agrees with all that was recorded; the head is printed on
    each receipt and workbook. Ends with an exit code other than 0 where anything differs.
    """
    from shopledger.cli.views.proofs import proved_blocks, proved_data
    from shopledger.desk.books.proof import prove_books
    from shopledger.ledger.books.proofs import BooksDifferError

    verdict = prove_books(run.desk(), head, files=files)
    show(as_json, proved_data(verdict), *proved_blocks(verdict))
    if not verdict.holds:
        raise BooksDifferError(verdict.failed)


def _head(text: str) -> KeptHead:
    from shopledger.ledger.books.proofs import KeptHead

    return KeptHead.read(text)
