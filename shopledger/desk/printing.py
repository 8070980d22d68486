"""From what a paper says to its file: the one path that every paper of the shop takes.

A paper is placed whole before anything is noted or stored, so that one which cannot be printed leaves nothing behind.
What is issued is frozen with the size and wording of its day, and every later print is made with those.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TypeVar

from shopledger.desk.context import Desk
from shopledger.ledger.canonical import content_hash
from shopledger.ledger.papers.certificate import InspectionCertificate
from shopledger.ledger.papers.lens_order import LensOrderContent
from shopledger.ledger.receipt import ReceiptContent
from shopledger.paperwork.archive import as_archive
from shopledger.paperwork.page import Document, painted
from shopledger.paperwork.paper import NONE_GIVEN, Paper, document_of
from shopledger.paperwork.refusals import AlteredError
from shopledger.paperwork.wording import kept_wording, read_wording
from shopledger.store.work import UnitOfWork

Content = TypeVar("Content")
Issued = TypeVar("Issued", ReceiptContent, InspectionCertificate, LensOrderContent)
"""What is frozen when it is issued."""


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
    """Place a paper with the size and wording that were frozen with it.

    A receipt of form 1 has neither and is placed as the shop is set now.
    """
    if content.wording_sha256:
        size = content.paper
        wording = kept_wording(work.receipts.wording(content.wording_sha256), desk.own_templates)
    else:
        size, wording = work.shop.settings().paper, read_wording(paper.key, desk.own_templates)
    return document_of(paper, content, size=size, wording=wording, stamps=stamps)


def with_size_and_wording(
    work: UnitOfWork, desk: Desk, paper: Paper[Issued], content: Issued, *, archive: bool = False
) -> Issued:
    """Give what is about to be issued with the shop's size and wording of today, which are kept.

    It is placed at once, so that no number is taken for a paper that cannot be printed.
    """
    wording = read_wording(paper.key, desk.own_templates)
    kept = work.receipts.keep_wording(wording.canonical())
    issued = replace(content, paper=work.shop.settings().paper, wording_sha256=kept)
    document = document_of(paper, issued, size=issued.paper, wording=wording)
    if archive:
        pdf_of(document, archive=True)
    return issued


def refuse_altered(what: str, number: int, canonical: str, sha256: str) -> None:
    """Refuse an issued paper whose frozen content is not what was stored."""
    if content_hash(canonical) != sha256:
        raise AlteredError(what, number)


def pdf_of(document: Document, *, archive: bool = False) -> bytes:
    """Paint a paper; for the archive as PDF/A-2B."""
    pdf = painted(document)
    return as_archive(pdf) if archive else pdf
