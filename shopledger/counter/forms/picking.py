"""One of many, found by typing a part of it: what stands in the field says what it is, and the reader knows its key."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, NamedTuple

from shopledger.counter.forms.fields import Choice, Field, pick
from shopledger.errors import RefusedError, listed

FEW = 5
"""How many of those that a part fits are named."""


class Known(NamedTuple):
    """One thing that can be picked."""

    key: str
    shown: str
    """What stands in the field once it is picked."""
    more: str = ""
    """What the list says beside it."""


Every = Callable[[], Sequence[Known]]


def pick_known(name: str, label: str, every: Every, *, needed: bool = True, **shown: Any) -> Field[str]:
    """Ask for one of many; gives its key."""
    return pick(
        name,
        label,
        lambda typed, field: key_of(typed, field, every()),
        lambda: [Choice(each.shown, each.more) for each in every()],
        needed=needed,
        **shown,
    )


def key_of(typed: str, field: str, every: Sequence[Known]) -> str:
    """Give the key of what was typed: the key itself, the whole of what is shown, or a part that fits one alone."""
    wanted = " ".join(typed.split()).casefold()
    exact = [each.key for each in every if wanted in {each.key.casefold(), " ".join(each.shown.split()).casefold()}]
    if exact:
        return exact[0]
    parts = wanted.split()
    fitting = [each for each in every if all(part in f"{each.shown} {each.more}".casefold() for part in parts)]
    if len(fitting) == 1:
        return fitting[0].key
    if not fitting:
        raise RefusedError(field, f"'{typed[:60]}'", "nothing in the list has that", "Type a part of it and choose.")
    few = listed([each.shown for each in fitting[:FEW]])
    raise RefusedError(field, f"'{typed[:60]}'", f"{len(fitting)} have that, such as {few}", "Type more of it.")


def shown_of(key: str, every: Sequence[Known]) -> str:
    """Give what stands in the field for a key; the key itself where it is not known."""
    return next((each.shown for each in every if each.key == key), key)
