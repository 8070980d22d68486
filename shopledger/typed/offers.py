"""What an offer means, as it is typed."""

from __future__ import annotations

from shopledger.errors import RefusedError
from shopledger.ledger.catalogue import Design
from shopledger.ledger.offers import LineKind, Matches
from shopledger.typed.words import read_word


def read_matches(text: str, field: str) -> Matches:
    """Read which lines are meant: `frame`, `lenses`, `lenses:single-vision`, `extra:AR` (an item's code)."""
    kind, _, rest = text.partition(":")
    line = read_word(kind, field, tuple(LineKind))
    if not rest:
        return Matches(line)
    if line is LineKind.LENSES:
        try:
            return Matches(line, design=read_word(rest, "design", tuple(Design)))
        except RefusedError:
            return Matches(line, code=rest)
    return Matches(line, code=rest)
