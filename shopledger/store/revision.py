"""Which state of the tables this program reads and writes, which version brought it, and what an upgrade to it is.

Nothing here needs the migrations, which take long to import.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from shopledger.ledger.backups import LedgerCopy

PROGRAM: Final = "0.3.1"
"""The version of this program, as in the package's metadata, which takes longer to read than a look-up has time for."""

BROUGHT: Final = {
    "20261129_named_writers": "0.2.0",
    "20261130_kept_forms": "0.3.0",
    "20261201_logins": "0.3.1",
}
"""The migrations since 0.1.0, oldest first, each with the version that brought it; no version brought two at once."""

HEAD_REVISION: Final = list(BROUGHT)[-1]
"""The newest migration; a test holds it to the one in `migrations/versions`."""

REVISION_TABLE: Final = "shopledger_revision"
"""Where a ledger keeps its own state: a database without this table is no ledger."""

WRITTEN_BY: Final = f"shopledger {PROGRAM}"
"""Stands in the note of each seal that this program sets; without such a word a ledger takes none."""

_WRITER: Final = re.compile(r"shopledger (\d[\w.]*)")


def version_of(revision: str) -> str:
    """Give the version that brought a state of the tables, of those that this program knows."""
    return BROUGHT.get(revision, "0.1.0")


def writer_in(note: str) -> str:
    """Give the version of the program that set a seal, from its note; empty where it names none, as 0.1.0 did."""
    found = _WRITER.search(note)
    return found.group(1) if found else ""


@dataclass(frozen=True, slots=True)
class Upgrade:
    """A ledger that is brought up to date: from which state, and in the end where it lies as it was."""

    place: str
    found: str
    """The state of its tables before."""
    copy: LedgerCopy | None = None
    """The ledger as it was; None before it is done, and where another program did it at the same moment."""
    cleared: tuple[str, ...] = ()
    """Copies from before older upgrades, which are kept no longer."""
    done: bool = False

    @property
    def version_before(self) -> str:
        """The version that brought the tables which it had."""
        return version_of(self.found)


@dataclass(frozen=True, slots=True)
class Upgrading:
    """When an older ledger is opened, and who is told before and after it is brought up to date."""

    now: datetime
    told: Callable[[Upgrade], None] = field(default=lambda _upgrade: None)
