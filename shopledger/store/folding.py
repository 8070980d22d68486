"""Names as they are searched: without accents, capitals and spare space."""

from __future__ import annotations

import unicodedata


def folded(name: str) -> str:
    """Give the searched form of a name."""
    parted = unicodedata.normalize("NFKD", name)
    bare = "".join(letter for letter in parted if not unicodedata.combining(letter))
    return " ".join(bare.casefold().split())
