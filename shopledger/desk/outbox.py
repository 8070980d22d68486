"""Papers that are stored and were never seen in their place: which they are, for whoever asks or has to be told."""

from __future__ import annotations

from datetime import UTC
from pathlib import Path

from shopledger.desk.context import Desk
from shopledger.ledger.papers.issued import IssuedPaper, WaitingPaper
from shopledger.store.work import UnitOfWork


def waiting(desk: Desk) -> tuple[WaitingPaper, ...]:
    """Give the papers that wait, by kind and number."""
    with desk.reading() as work:
        return waiting_papers(work)


def left_waiting(desk: Desk) -> tuple[WaitingPaper, ...]:
    """Give those that waited before this run began: a run that is printing just now needs no reminder."""
    begun = _stamp(desk)
    return tuple(paper for paper in waiting(desk) if paper.entered and paper.entered.at < begun)


def _stamp(desk: Desk) -> str:
    return desk.now.astimezone(UTC).isoformat(timespec="seconds")


def print_waiting(
    desk: Desk, paper: WaitingPaper, folder: Path, *, form: str = "records", archive: bool = False
) -> tuple[Path, ...]:
    """Print the first paper of what is stored, as it would have been printed when it was issued; gives its files."""
    # Imported here, since every writing command may ask what waits, and few print it.
    from shopledger.desk.certifying import print_waiting_certificate  # noqa: PLC0415
    from shopledger.desk.lens_ordering import FileForm, print_waiting_lens_order  # noqa: PLC0415
    from shopledger.desk.receipts import print_waiting_receipt  # noqa: PLC0415

    if paper.kind is IssuedPaper.RECEIPT:
        return (print_waiting_receipt(desk, paper.number, folder, archive=archive).file,)
    if paper.kind is IssuedPaper.CERTIFICATE:
        return (print_waiting_certificate(desk, paper.number, folder).file,)
    return print_waiting_lens_order(desk, paper.number, folder, FileForm(form)).files


def waiting_papers(work: UnitOfWork) -> tuple[WaitingPaper, ...]:
    """Give the papers that wait and are still wanted: nobody prints the receipt of a cancelled order."""
    papers = work.waiting.all()
    receipts = [work.receipts.get(paper.number) for paper in papers if paper.kind is IssuedPaper.RECEIPT]
    gone = work.cancellations.of_orders([receipt.order_number for receipt in receipts]) if receipts else {}
    unwanted = {receipt.number for receipt in receipts if receipt.order_number in gone}
    return tuple(paper for paper in papers if paper.kind is not IssuedPaper.RECEIPT or paper.number not in unwanted)
