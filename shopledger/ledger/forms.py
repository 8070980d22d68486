"""Forms that were begun: what was typed so far, kept until they are sent or thrown away."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final, TypeAlias

Typed: TypeAlias = Mapping[str, Sequence[str]]
"""What stands in each field of a form, by its name; a field may have several values."""

KEPT_DAYS: Final = 60
"""How long a form that nobody goes on with is kept."""


@dataclass(frozen=True, slots=True)
class KeptForm:
    """What was typed so far into a form of a kind, about one thing: `sale` about customer `12`."""

    kind: str
    about: str
    typed: Typed
    operator: str
    recorded_at: str


def names_them(text: str, name: str) -> bool:
    """Tell whether a kept text has every part of a person's name."""
    folded = text.casefold()
    parts = name.casefold().split()
    return bool(parts) and all(part in folded for part in parts)
