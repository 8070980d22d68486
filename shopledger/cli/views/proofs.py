"""What proving the books came to, shown check by check."""

from __future__ import annotations

from shopledger.cli.output import Column, Fields, Json, Table
from shopledger.cli.views.figures import Outside
from shopledger.ledger.books.proofs import Proof, Verdict
from shopledger.ledger.canonical import Shape

OUT = Outside({Proof: Shape(first=("code", "words", "checked", "holds", "differing"), renamed={"words": "proves"})})


def proved_data(verdict: Verdict) -> dict[str, Json]:
    """Give all checks as JSON."""
    return {
        "entries": verdict.entries,
        "head": str(verdict.head),
        "hash": verdict.head.hash,
        "holds": verdict.holds,
        "checks": OUT.all(verdict.proofs),
    }


def proved_blocks(verdict: Verdict) -> tuple[Fields | Table, ...]:
    """Give the head, a line for each check, and what differs with how much."""
    rows = [(_word(each), each.code, str(each.checked), each.words) for each in verdict.proofs]
    columns = (Column("", whole=True), Column("Check", whole=True), Column("Looked at", right=True), Column("Proves"))
    head = Fields("", (("entries", str(verdict.entries)), ("head", str(verdict.head))))
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
