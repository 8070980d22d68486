"""How often somebody tried to log in: each wrong try makes the next one wait, by name and by device."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime
from threading import Lock
from typing import Final

from shopledger.ledger.logins import LONGEST_WAIT, folded, wait_after

MOST: Final = 5_000
"""How many names and devices are remembered; the oldest go."""


@dataclass(slots=True)
class Tries:
    """The tries since the counter was opened."""

    _wrong: dict[str, tuple[int, datetime]] = field(default_factory=dict)
    _lock: Lock = field(default_factory=Lock)

    def begin(self, name: str, device: str, now: datetime, *, at_home: bool) -> int:
        """Take a try down as wrong before it is looked at; gives the seconds to wait where it is not heard."""
        with self._lock:
            left = max(self._left(each, now, at_home=at_home) for each in _keys(name, device, at_home=at_home))
            if left:
                return left
            for each in _keys(name, device, at_home=at_home):
                count, last = self._wrong.pop(each, (0, now))
                forgotten = (now - last).total_seconds() > 2 * LONGEST_WAIT
                self._wrong[each] = (1 if forgotten else count + 1, now)
            while len(self._wrong) > MOST:
                del self._wrong[next(iter(self._wrong))]
            return 0

    def right(self, name: str, device: str, *, at_home: bool) -> None:
        """Forget the wrong tries of whoever was proven."""
        with self._lock:
            for each in _keys(name, device, at_home=at_home):
                self._wrong.pop(each, None)

    def _left(self, key: str, now: datetime, *, at_home: bool) -> int:
        count, last = self._wrong.get(key, (0, now))
        passed = (now - last).total_seconds()
        return max(0, int(wait_after(count, at_home=at_home) - passed + 0.999))


def _keys(name: str, device: str, *, at_home: bool) -> Sequence[str]:
    """Say what is counted: at the shop's own computer nobody elsewhere can make the owner wait."""
    return ("at home",) if at_home else (f"name {folded(name)[:60]}", f"device {device}")
