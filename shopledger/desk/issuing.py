"""Issuing the receipts of all that is paid and was not handed in, one after another."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from shopledger.desk.claims import OpenClaim, unclaimed
from shopledger.desk.context import Desk
from shopledger.desk.outbox import waiting_papers
from shopledger.desk.receipts import PrintedReceipt, issue_receipt, print_waiting_receipt
from shopledger.errors import ShopledgerError
from shopledger.ledger.papers.issued import IssuedPaper


@dataclass(frozen=True, slots=True)
class IssuedAll:
    """What issuing all open receipts came to: what was printed, and what could not be, each with the reason."""

    printed: tuple[PrintedReceipt, ...]
    refused: tuple[tuple[OpenClaim, ShopledgerError], ...]


Progress = Callable[[int, int], None]
"""Told how many are done of how many."""


def issue_all_open(desk: Desk, folder: Path, progress: Progress | None = None, *, archive: bool = False) -> IssuedAll:
    """Issue a receipt for every paid part without one, each in a transaction of its own.

    What broke off can be run again: issued receipts are not issued twice, and one that was numbered but never printed
    is printed first.
    """
    unprinted = _unprinted(desk)
    todo = [claim for claim in unclaimed(desk) if claim.receipt is None]
    todo.sort(key=lambda claim: (claim.order_number, claim.wearer_number))
    printed: list[PrintedReceipt] = []
    refused: list[tuple[OpenClaim, ShopledgerError]] = []
    whole = len(unprinted) + len(todo)
    for number in unprinted:
        printed.append(print_waiting_receipt(desk, number, folder, archive=archive))
        _tell(progress, len(printed), whole)
    for claim in todo:
        try:
            wearer = str(claim.wearer_number)
            printed.append(issue_receipt(desk, claim.order_number, wearer, folder, archive=archive))
        except ShopledgerError as error:
            refused.append((claim, error))
        _tell(progress, len(printed) + len(refused), whole)
    return IssuedAll(tuple(printed), tuple(refused))


def _tell(progress: Progress | None, done: int, whole: int) -> None:
    if progress is not None:
        progress(done, whole)


def _unprinted(desk: Desk) -> list[int]:
    with desk.reading() as work:
        return [paper.number for paper in waiting_papers(work) if paper.kind is IssuedPaper.RECEIPT]
