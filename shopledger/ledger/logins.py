"""Who may come to the counter from another computer: names, what each may do there, and when a try has to wait."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import Final

from shopledger.errors import RefusedError
from shopledger.ledger.text import clean_text

SHORTEST: Final = 12
"""The fewest letters of a passphrase. NIST SP 800-63B-4 asks for 15 where nothing else is asked beside it, and 8 where
something is; tries are few here, and whoever is not in the shop's network gets none. (value from memory)"""
LONGEST: Final = 200
FREE_TRIES: Final = 3
"""How often somebody may mistype before having to wait. (common practice, no source)"""
LONGEST_WAIT: Final = 15 * 60
"""The longest wait between two tries. [s] (common practice, no source)"""
WAIT_AT_HOME: Final = 5
"""The longest wait at the shop's own computer, whose owner is never locked out. [s] (common practice, no source)"""


class Role(Enum):
    """What somebody may do at the counter."""

    OWNER = "owner"
    """All."""
    COUNTER = "counter"
    """The work with customers, lenses and goods; no books, no settings of the shop, no erasures, no copies."""


@dataclass(frozen=True, slots=True)
class Login:
    """Somebody who may log in; the passphrase is nowhere but in the ledger, and there only as what proves it."""

    name: str
    role: Role

    def __post_init__(self) -> None:
        """Hold the name to its rules."""
        object.__setattr__(self, "name", clean_text("operator", self.name, 60))

    @property
    def folded(self) -> str:
        """The name as it is told apart from others."""
        return folded(self.name)


def folded(name: str) -> str:
    """Give a name as it is compared: without capitals and doubled blanks."""
    return " ".join(name.casefold().split())


def hold_passphrase(given: str, name: str) -> str:
    """Refuse a passphrase that is soon guessed; several words that only you put together are best."""
    allowed = f"it has {SHORTEST} to {LONGEST} letters, and does not only repeat a few"
    if not SHORTEST <= len(given) <= LONGEST or len(set(given)) < 5:
        raise RefusedError("passphrase", f"{len(given)} letters", allowed, "Take four or five words of your own.")
    if folded(name) and folded(name) == folded(given):
        raise RefusedError("passphrase", "the name", "it says nothing about who you are", "Take words of your own.")
    return given


def wait_after(wrong: int, *, at_home: bool) -> int:
    """Say for how many seconds nobody is heard after so many wrong tries one after another."""
    if wrong < FREE_TRIES:
        return 0
    return int(min(2 ** min(wrong - FREE_TRIES + 1, 30), WAIT_AT_HOME if at_home else LONGEST_WAIT))
