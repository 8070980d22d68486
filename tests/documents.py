"""Documents by the words that they are named with in the books."""

from __future__ import annotations

from typing import Final

from hypothesis import strategies as st

from shopledger.ledger.books.documents import Document, DocumentKind


def named(words: str) -> Document:
    """Give the document of `order 7` or `taking back of bill 3`."""
    kind, _, number = words.rpartition(" ")
    return Document(DocumentKind(kind), int(number))


DOCUMENTS: Final = st.builds(Document, st.sampled_from(DocumentKind), st.integers(1, 2**31 - 1))
"""Any document that an entry may stand on."""
