"""Printing every paper once with invented content, so that changed templates are seen before a customer sees them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Final, TypeAlias

from shopledger.ledger.papers.account_statement import account_statement
from shopledger.ledger.papers.claim_worksheet import claim_worksheet
from shopledger.paperwork.certificate import certificate_document
from shopledger.paperwork.job_sheet import job_document
from shopledger.paperwork.lens_order import lens_order_document
from shopledger.paperwork.order_paper import order_document
from shopledger.paperwork.packing import packing_document
from shopledger.paperwork.page import Document, save
from shopledger.paperwork.receipt import receipt_document
from shopledger.paperwork.reorder import reorder_document
from shopledger.paperwork.sample_certificate import sample_certificate
from shopledger.paperwork.sample_content import (
    sample_confirmation,
    sample_packing,
    sample_quote,
    sample_receipt,
    sample_year,
)
from shopledger.paperwork.sample_job import sample_job
from shopledger.paperwork.sample_lens_order import sample_lens_order
from shopledger.paperwork.sample_reorder import sample_reorder
from shopledger.paperwork.statement import statement_document
from shopledger.paperwork.wording import Wording, read_wording
from shopledger.paperwork.worksheet import worksheet_document
from shopledger.paperwork.year import year_document

_Placer: TypeAlias = Callable[[str, Wording], Document]

_PAPERS: Final[Mapping[str, _Placer]] = MappingProxyType(
    {
        "receipt": lambda paper, words: receipt_document(sample_receipt(), paper=paper, wording=words),
        "statement": lambda paper, words: statement_document(
            account_statement(sample_receipt()), paper=paper, wording=words
        ),
        "worksheet": lambda paper, words: worksheet_document(
            claim_worksheet(sample_receipt()), paper=paper, wording=words
        ),
        "packing": lambda paper, words: packing_document(sample_packing(), paper=paper, wording=words),
        "confirmation": lambda paper, words: order_document(sample_confirmation(), paper=paper, wording=words),
        "quote": lambda paper, words: order_document(sample_quote(), paper=paper, wording=words),
        "year": lambda paper, words: year_document(sample_year(), paper=paper, wording=words),
        "certificate": lambda paper, words: certificate_document(sample_certificate(), paper=paper, wording=words),
        "job": lambda paper, words: job_document(sample_job(), paper=paper, wording=words),
        "lens_order": lambda paper, words: lens_order_document(sample_lens_order(), paper=paper, wording=words),
        "reorder": lambda paper, words: reorder_document(sample_reorder(), paper=paper, wording=words),
    }
)

PAPERS: Final = tuple(_PAPERS)
"""Every paper by the name of its wording file."""


def print_samples(folder: Path, owner_folder: Path | None = None, *, paper: str = "letter") -> tuple[Path, ...]:
    """Print every paper into `folder` as `sample-<paper>.pdf` with the owner's wording where there is one.

    Every wording is read and every paper placed before the first file is written, so that a slip leaves none behind.
    """
    placed = sample_documents(owner_folder, paper=paper)
    return tuple(save(document, folder / f"sample-{name}.pdf") for name, document in placed.items())


def sample_documents(owner_folder: Path | None = None, *, paper: str = "letter") -> dict[str, Document]:
    """Give every paper placed and not yet painted, by the name of its wording file."""
    return {name: place(paper, read_wording(name, owner_folder)) for name, place in _PAPERS.items()}
