"""What proving the books came to, shown check by check."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopledger.cli.output import Column, Fields, Json, Table

if TYPE_CHECKING:
    from shopledger.ledger.books.proofs import Proof, Verdict


def verdict_data(verdict: Verdict) -> dict[str, Json]:
    """Give all checks as JSON."""
    return {
        "entries": verdict.head.count,
        "head": str(verdict.head),
        "hash": verdict.head.hash,
        "holds": verdict.holds,
        "checks": [_proof_data(each) for each in verdict.proofs],
    }


def verdict_blocks(verdict: Verdict) -> tuple[Fields | Table, ...]:
    """Give the head, a line for each check, and what differs with how much."""
    rows = [(_word(each), each.code, str(each.checked), each.words) for each in verdict.proofs]
    columns = (Column("", whole=True), Column("Check", whole=True), Column("Looked at", right=True), Column("Proves"))
    head = Fields("", (("entries", str(verdict.head.count)), ("head", str(verdict.head))))
    return (head, Table("", columns, rows), *(_differences(each) for each in verdict.failed))


def _differences(proof: Proof) -> Table:
    columns = (Column("Where"), Column("Should be"), Column("Found"))
    rows = [(each.where, each.wanted, each.found) for each in proof.differences]
    more = proof.differing - len(rows)
    if more:
        rows.append((f"and {more} more", "", ""))
    return Table(f"{proof.code} differs", columns, rows)


def _word(proof: Proof) -> str:
    return "OK" if proof.holds else "DIFFERS"


def _proof_data(proof: Proof) -> dict[str, Json]:
    return {
        "code": proof.code,
        "proves": proof.words,
        "checked": proof.checked,
        "holds": proof.holds,
        "differing": proof.differing,
        "differences": [
            {"where": each.where, "wanted": each.wanted, "found": each.found} for each in proof.differences
        ],
    }
