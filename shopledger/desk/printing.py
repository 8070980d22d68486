"""From what a paper says to its file: the one path that every paper of the shop takes.

A paper is placed whole before anything is noted or stored, so that one which cannot be printed leaves nothing behind.
What is issued is frozen with the size and wording of its day, and every later print is made with those.

A paper lies whole beside its place before the ledger stores what it says, and takes its place afterwards. Where that
fails, or the program is killed in between, the paper is among those that wait (`shopledger paper again`).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from shopledger.desk.context import Desk
from shopledger.desk.refusals import PaperLaterError, PaperUnnotedError, PaperWaitsError
from shopledger.errors import ShopledgerError, StoreError
from shopledger.files.replacing import PAPER, Kind
from shopledger.files.writing import Sheaf, sheaf
from shopledger.ledger.audit import Deed, Subject
from shopledger.ledger.canonical import content_hash
from shopledger.ledger.papers.issued import WaitingPaper
from shopledger.paperwork.archive import as_archive
from shopledger.paperwork.page import Document, painted
from shopledger.paperwork.paper import DRAWING, NONE_GIVEN, Paper, document_of
from shopledger.paperwork.refusals import AlteredError
from shopledger.paperwork.wording import kept_logo, kept_wording, read_wording
from shopledger.store.work import UnitOfWork

if TYPE_CHECKING:
    from shopledger.ledger.papers.certificate import InspectionCertificate
    from shopledger.ledger.papers.lens_order import LensOrderContent
    from shopledger.ledger.receipt import ReceiptContent

Content = TypeVar("Content")
Issued = TypeVar("Issued", "ReceiptContent", "InspectionCertificate", "LensOrderContent")
"""What is frozen when it is issued."""


@dataclass(slots=True)
class Outgoing:
    """Papers made in a transaction, and which of them were issued in it."""

    work: UnitOfWork
    files: Sheaf
    issued: list[WaitingPaper] = field(default_factory=list)
    stored: str = ""
    """What is stored with a paper that is not issued under a number of its own, as in `draft 3`."""

    def issue(self, paper: WaitingPaper) -> None:
        """Let a paper wait until it is in its place."""
        self.work.waiting.add(paper)
        self.again(paper)

    def again(self, paper: WaitingPaper) -> None:
        """Take up a paper that waits already."""
        self.issued.append(paper)

    def add(self, body: bytes, target: Path, kind: Kind = PAPER) -> Path:
        """Write a file beside its place; gives the place that it will take."""
        return self.files.add(body, target, kind)


@contextmanager
def with_papers(
    desk: Desk, deed: Deed | None = None, kind: Subject = Subject.LEDGER, number: int | None = None
) -> Iterator[Outgoing]:
    """Store something together with its papers: when the block ends well, all is stored and each is in its place.

    A deed is noted with it, or by itself where it was refused.
    """
    with sheaf() as files:
        with desk.noting(deed, kind, number) if deed else desk.writing() as work:
            outgoing = Outgoing(work, files)
            yield outgoing
        _deliver(desk, outgoing)


def _deliver(desk: Desk, outgoing: Outgoing) -> None:
    """Let the papers take their places, and those that were issued wait no more."""
    try:
        outgoing.files.deliver()
    except ShopledgerError as error:
        if outgoing.issued:
            raise PaperWaitsError(outgoing.issued[0], str(error)) from error
        if outgoing.stored:
            raise PaperLaterError(outgoing.stored, str(error)) from error
        raise
    if outgoing.issued:
        _note_delivered(desk, outgoing.issued)


def _note_delivered(desk: Desk, papers: Sequence[WaitingPaper]) -> None:
    try:
        with desk.writing() as work:
            for paper in papers:
                work.waiting.remove(paper)
    except StoreError as error:
        raise PaperUnnotedError(papers[0], str(error)) from error


def placed(
    work: UnitOfWork, desk: Desk, paper: Paper[Content], content: Content, spellings: Sequence[tuple[str, str]] = ()
) -> Document:
    """Place a paper as the shop is set now: in the owner's wording, on the shop's size."""
    return document_of(
        paper,
        content,
        size=work.shop.settings().paper,
        wording=read_wording(paper.key, desk.own_templates),
        spellings=dict(spellings),
    )


def placed_as_issued(
    work: UnitOfWork, desk: Desk, paper: Paper[Issued], content: Issued, stamps: Mapping[str, object] = NONE_GIVEN
) -> Document:
    """Place a paper with the size and wording that were frozen with it; one drawn otherwise then says so in its foot.

    A receipt of form 1 has neither and is placed as the shop is set now.
    """
    if content.wording_sha256:
        size = content.paper
        body = work.receipts.wording(content.wording_sha256)
        logo = kept_logo(body)
        kept = kept_wording(body, desk.own_templates, work.kept_files.body(logo) if logo else None)
        wording = kept.completed_from(read_wording(paper.key))
    else:
        size, wording = work.shop.settings().paper, read_wording(paper.key, desk.own_templates)
    return document_of(paper, content, size=size, wording=wording, stamps=stamps, first_drawn=content.drawing)


def with_size_and_wording(
    work: UnitOfWork, desk: Desk, paper: Paper[Issued], content: Issued, *, archive: bool = False
) -> Issued:
    """Give what is about to be issued with the shop's size and wording of today, which are kept.

    It is placed at once, so that no number is taken for a paper that cannot be printed.
    """
    wording = read_wording(paper.key, desk.own_templates)
    logo = work.kept_files.keep(desk.own_templates / wording.logo) if wording.logo and desk.own_templates else None
    kept = work.receipts.keep_wording(wording.canonical(logo.sha256 if logo else ""))
    issued = replace(content, paper=work.shop.settings().paper, wording_sha256=kept, drawing=DRAWING)
    document = document_of(paper, issued, size=issued.paper, wording=wording)
    if archive:
        pdf_of(document, archive=True)
    return issued


def refuse_altered(what: str, number: int, canonical: str, sha256: str) -> None:
    """Refuse an issued paper whose frozen content is not what was stored."""
    if content_hash(canonical) != sha256:
        raise AlteredError(what, number)


def pdf_of(document: Document, *, archive: bool = False) -> bytes:
    """Paint a paper; for the archive as PDF/A-2A."""
    pdf = painted(document)
    return as_archive(pdf) if archive else pdf
