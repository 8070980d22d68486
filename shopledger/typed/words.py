"""Words of a list as they are typed."""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum
from typing import TypeVar

from shopledger.errors import RefusedError, listed, nearest

E = TypeVar("E", bound=Enum)


def typed_word(word: Enum) -> str:
    """Give a word as it is typed, which is not what is kept where a kind has been given another name since."""
    typed: str = getattr(word, "typed", str(word.value).replace(" ", "-"))
    return typed


def read_word(text: str, field: str, words: Sequence[E]) -> E:
    """Read one of the words, in any case, with a space or a hyphen between its parts, or refuse it with all of them.

    Its first part will do where no other word begins with it: `postage` for `postage and shipping out`.
    """
    known = {typed_word(word): word for word in words}
    former = {str(word.value).replace(" ", "-"): word for word in words}
    typed = "-".join(text.casefold().replace("-", " ").split())
    begun = [word for word in known if word.startswith(f"{typed}-")]
    found = known.get(typed) or (known[begun[0]] if len(begun) == 1 else former.get(typed))
    if found is None:
        near = begun or nearest(text, known)
        hint = f"Did you mean {listed(near)}?" if near else "Type one of them."
        raise RefusedError(field, f"'{text}'", f"it is {listed(list(known))}", hint)
    return found
