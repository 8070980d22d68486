"""Proving that the books are what they were, and that they say the same as all that was recorded."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopledger.ledger.books.proofs import Difference, KeptHead, Proof, Verdict, proof
from shopledger.store.refusals import FileChangedError

if TYPE_CHECKING:
    from shopledger.desk.context import Desk
    from shopledger.store.work import Work


def prove_books(desk: Desk, head: KeptHead | None = None, *, files: bool = False) -> Verdict:
    """Make every check of the ledger: that it contains an earlier head, if one is given; the kept files, if asked."""
    with desk.reading() as work:
        proofs = work.proofs.all()
        if head is not None:
            proofs = (*proofs, work.proofs.head(head))
        if files:
            proofs = (*proofs, files_proof(work))
        return Verdict(work.journal.head(), proofs)


def files_proof(work: Work) -> Proof:
    """Prove that every kept file is there, and is what was kept."""
    kept, off = work.kept_files.all(), []
    for file in kept:
        try:
            work.kept_files.body(file.sha256)
        except FileChangedError as error:
            off.append(Difference(f"{file.name} ({error.place})", "as it was kept", error.reason))
    return proof("FILES", "kept files are there, and are what was kept", len(kept), off)
