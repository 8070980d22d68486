"""Words of a list as they are typed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from enum import Enum
from typing import Final, TypeVar

from shopledger.errors import RefusedError, listed, nearest

E = TypeVar("E", bound=Enum)

LEAST_LETTERS: Final = 4
"""So many letters of a word's beginning find it, where no other word begins with them (common practice, no source)."""


def typed_word(word: Enum) -> str:
    """Give a word as it is typed, which is not what is kept where a kind has been given another name since."""
    typed: str = getattr(word, "typed", str(word.value).replace(" ", "-"))
    return typed


def read_word(text: str, field: str, words: Sequence[E]) -> E:
    """Read one of the words, in any case, with a space or a hyphen between its parts, or refuse it with all of them.

    Its first part will do where no other word begins with it, `postage` for `postage and shipping out`, and so will its
    first letters, `photo` for `photochromic`. Another word for the same thing is answered with the one that is meant.
    """
    known = {typed_word(word): word for word in words}
    former = {str(word.value).replace(" ", "-"): word for word in words}
    typed = "-".join(text.casefold().replace("-", " ").split())
    begun = [word for word in known if word.startswith(f"{typed}-")]
    if not begun and len(typed) >= LEAST_LETTERS:
        begun = [word for word in known if word.startswith(typed)]
    found = known.get(typed) or former.get(typed)
    meant = () if found else _meant(typed, known)
    if found is None and not meant and len(begun) == 1:
        found = known[begun[0]]
    if found is None:
        raise _refusal(text, field, known, meant, begun)
    return found


def _refusal(
    text: str, field: str, known: Mapping[str, Enum], meant: Sequence[str], begun: Sequence[str]
) -> RefusedError:
    if meant:
        goes = listed([f"{word}{_explained(known[word])}" for word in meant])
        hint = "Type it so." if len(meant) == 1 else "Type the one that is meant."
        return RefusedError(field, f"'{text}'", f"that is {goes} here", hint)
    near = begun or nearest(text, known)
    hint = f"Did you mean {listed(near)}?" if near else "Type one of them."
    return RefusedError(field, f"'{text}'", f"it is {listed(list(known))}", hint)


def _meant(typed: str, known: Mapping[str, Enum]) -> tuple[str, ...]:
    """Give the words of the list that another word may mean."""
    from shopledger.typed.other_words import OTHER_WORDS

    others = OTHER_WORDS.get(type(next(iter(known.values()))).__name__, {}) if known else {}
    return tuple(word for word in others.get(typed, ()) if word in known)


def _explained(word: Enum) -> str:
    """Give in brackets what a word of the list stands for elsewhere, such as a line of a form; nothing for most."""
    explained: str = getattr(word, "explained", "")
    return f" ({explained})" if explained else ""
