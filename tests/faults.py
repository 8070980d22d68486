"""Faults where the program touches the disk: the n-th of these calls fails, or kills the process."""

from __future__ import annotations

import errno
import os
import signal
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

CALLS: tuple[tuple[Any, str], ...] = (
    (os, "fsync"),
    (os, "link"),
    (tempfile, "mkstemp"),
    (Path, "replace"),
    (Path, "write_bytes"),
    (Path, "mkdir"),
)
"""Everything by which the program itself writes, syncs, makes and renames; the databases have their own ways."""
ERRORS = (errno.ENOSPC, errno.EIO, errno.EACCES)


class Faults:
    """Counts the calls, and lets one of them go wrong."""

    def __init__(self, at: int, wrong: Callable[[], None]) -> None:
        self.at, self.wrong, self.count = at, wrong, 0

    def around(self, real: Callable[..., Any]) -> Callable[..., Any]:
        """Give a call that may go wrong before it is made."""

        def called(*given: Any, **named: Any) -> Any:  # noqa: ANN401 - any call
            self.count += 1
            if self.count == self.at:
                self.wrong()
            return real(*given, **named)

        return called


@contextmanager
def faults(at: int, wrong: Callable[[], None]) -> Iterator[Faults]:
    """Let the call of that number go wrong while the block runs; none does at 0."""
    found = Faults(at, wrong)
    with pytest.MonkeyPatch.context() as patch:
        for owner, name in CALLS:
            patch.setattr(owner, name, found.around(getattr(owner, name)))
        yield found


def failing(number: int) -> Callable[[], None]:
    """Give what fails as the system does."""

    def fail() -> None:
        raise OSError(number, os.strerror(number))

    return fail


def killed() -> None:
    """End the process as a power cut would."""
    os.kill(os.getpid(), signal.SIGKILL)


def in_a_child(deed: Callable[[], object]) -> int:
    """Run something in a process of its own; gives how it ended, below zero for a signal."""
    child = os.fork()
    if not child:
        try:
            deed()
        except BaseException:  # noqa: BLE001 - whatever it is, the parent sees it by the code
            os._exit(1)
        os._exit(0)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
