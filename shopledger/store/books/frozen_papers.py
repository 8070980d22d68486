"""Proving what was frozen: a paper is whole, or an erasure left a tombstone of it, or it was changed from outside."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any, Final, TypeAlias

from sqlalchemy import Row

from shopledger.ledger.books.proofs import Difference, Proof, proof
from shopledger.ledger.canonical import content_hash
from shopledger.store.books import proof_queries as queries
from shopledger.store.transaction import Transaction

Erased: TypeAlias = Mapping[int, tuple[int, int | None]]
"""The customer and the wearer of each erasure; no wearer where all of the customer's were erased."""

_MARK: Final = '"erasure":'
"""What stands in a tombstone and in no whole paper: a quote inside of text has a backslash before it."""


def frozen_papers(transaction: Transaction) -> Proof:
    """Prove that issued receipts, inspection records and lens orders hold what they said, or what was left of it."""
    asked = transaction.asked("SELECT number, customer_number, wearer_number FROM erasure")
    erased: Erased = {row.number: (row.customer_number, row.wearer_number) for row in asked}
    many, tombstones, off = 0, 0, []
    for row in transaction.stream(queries.FROZEN):
        many += 1
        tombstones += _MARK in row.body
        wrong = _wrong(row, erased)
        if wrong:
            off.append(Difference(f"{row.what} {row.number}", *wrong))
    words = "receipts, inspection records and lens orders hold what they were issued with"
    left = f", or what an erasure left ({tombstones})" if tombstones else ""
    return proof("RECEIPTS", words + left, many, sorted(off, key=lambda each: each.where))


def _wrong(row: Row[*tuple[Any, ...]], erased: Erased) -> tuple[str, str] | None:
    """Give what is wanted and what was found where a frozen paper is broken."""
    if content_hash(row.body) != row.sha256:
        return "as it was issued", "its content was changed"
    if _MARK not in row.body:
        return None
    number = json.loads(row.body).get("erasure")
    if erased.get(number) in {(row.customer_number, None), (row.customer_number, row.wearer_number)}:
        return None
    return "as it was issued", f"its content was erased, and erasure {number} of its wearer is not there"
