"""Names as they are searched: without accents, capitals and spare space, so that `jose` finds `José`."""

from __future__ import annotations

import unicodedata

_ESCAPE = str.maketrans({"\\": r"\\", "%": r"\%", "_": r"\_"})


def folded(name: str) -> str:
    """Give the searched form of a name."""
    parted = unicodedata.normalize("NFKD", name)
    bare = "".join(letter for letter in parted if not unicodedata.combining(letter))
    return " ".join(bare.casefold().split())


def containing(part: str) -> str:
    """Give the LIKE pattern, escaped with a backslash, of whatever contains the text."""
    return f"%{folded(part).translate(_ESCAPE)}%"


def beginning(part: str) -> str:
    """Give the LIKE pattern, escaped with a backslash, of whatever begins with the text."""
    return f"{folded(part).translate(_ESCAPE)}%"
