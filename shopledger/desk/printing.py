"""From a placed paper to its file: painted, made an archive file where asked for, written whole or not at all."""

from __future__ import annotations

from pathlib import Path

from shopledger.files import written_whole
from shopledger.paperwork.archive import as_archive
from shopledger.paperwork.page import Document, painted


def pdf_of(document: Document, *, archive: bool) -> bytes:
    """Paint a paper; for the archive as PDF/A-2B."""
    pdf = painted(document)
    return as_archive(pdf) if archive else pdf


def written(pdf: bytes, target: Path) -> Path:
    """Write the bytes of a paper; give back where it lies."""
    with written_whole(target) as draft:
        draft.write_bytes(pdf)
    return target
