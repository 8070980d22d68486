"""Faults where the program touches the disk or its database: the n-th of these calls fails, or kills the process."""

from __future__ import annotations

import ctypes
import errno
import os
import signal
import tempfile
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from types import MappingProxyType
from typing import Any, Final

import psycopg
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
EVERY_CALL: tuple[tuple[Any, str], ...] = (
    *CALLS,
    *((Path, name) for name in ("open", "write_text", "unlink")),
    *((os, name) for name in ("open", "write", "truncate")),
)
"""The same with every file that is opened, if only to be read, and what is removed."""
SERVER_CALLS: tuple[tuple[Any, str], ...] = ((psycopg.Cursor, "execute"), (psycopg.Connection, "commit"))
"""Everything that a server is asked, and told to keep."""
ERRORS = (errno.ENOSPC, errno.EIO, errno.EACCES)

_SIZE, _OFFSET = ctypes.c_size_t, ctypes.c_int64
SYSTEM_CALLS: Final[Mapping[str, tuple[Any, ...]]] = MappingProxyType(
    {
        "open": (ctypes.c_int, ctypes.c_char_p, ctypes.c_int, ctypes.c_int),
        "write": (ctypes.c_ssize_t, ctypes.c_int, ctypes.c_void_p, _SIZE),
        "pwrite": (ctypes.c_ssize_t, ctypes.c_int, ctypes.c_void_p, _SIZE, _OFFSET),
        "pwrite64": (ctypes.c_ssize_t, ctypes.c_int, ctypes.c_void_p, _SIZE, _OFFSET),
        "ftruncate": (ctypes.c_int, ctypes.c_int, _OFFSET),
        "unlink": (ctypes.c_int, ctypes.c_char_p),
    }
)
"""By which SQLite opens, writes, cuts and removes: name, then what it gives and takes (its source, os_unix.c)."""


class Faults:
    """Counts the calls, and lets one of them go wrong."""

    def __init__(self, at: int, wrong: Callable[[], None]) -> None:
        self.at, self.wrong, self.count = at, wrong, 0
        self.kept: list[object] | None = None
        """What has to live as long as calls are counted."""

    def touched(self) -> None:
        """Count one, and let it go wrong if it is its turn."""
        self.count += 1
        if self.count == self.at:
            self.wrong()

    def around(self, real: Callable[..., Any]) -> Callable[..., Any]:
        """Give a call that may go wrong before it is made."""

        def called(*given: Any, **named: Any) -> Any:  # noqa: ANN401 - any call
            self.touched()
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


class _System(ctypes.Structure):
    """What SQLite knows of the system below it (sqlite.org/c3ref/vfs.html), as far as it is used here."""

    _fields_ = (
        *((name, ctypes.c_int) for name in ("version", "size", "longest")),
        *((name, ctypes.c_void_p) for name in ("next", "name", "data")),
        *((f"call_{place}", ctypes.c_void_p) for place in range(13)),
        ("set", ctypes.CFUNCTYPE(ctypes.c_int, ctypes.c_void_p, ctypes.c_char_p, ctypes.c_void_p)),
        ("get", ctypes.CFUNCTYPE(ctypes.c_void_p, ctypes.c_void_p, ctypes.c_char_p)),
    )


def inside_sqlite(found: Faults) -> list[object] | None:
    """Let SQLite's own calls of the system count, and go wrong, from now on in this process; none where it cannot be.

    What is given has to be kept as long as SQLite is used. Meant for a process that ends soon.
    """
    import _sqlite3

    library = ctypes.CDLL(_sqlite3.__file__)
    if not hasattr(library, "sqlite3_vfs_find"):
        return None
    library.sqlite3_vfs_find.restype = ctypes.c_void_p
    place = library.sqlite3_vfs_find(None)
    system = _System.from_address(place)
    kept: list[object] = [library, system]
    for name, (gives, *takes) in SYSTEM_CALLS.items():
        real = system.get(place, name.encode())
        if real:
            form = ctypes.CFUNCTYPE(gives, *takes, use_errno=True)
            shim = form(_failing_call(found, form(real)))
            system.set(place, name.encode(), ctypes.cast(shim, ctypes.c_void_p))
            kept.append(shim)
    return kept


def _failing_call(found: Faults, real: Callable[..., int]) -> Callable[..., int]:
    def called(*given: Any) -> int:  # noqa: ANN401 - any call
        try:
            found.touched()
        except OSError as error:
            ctypes.set_errno(error.errno or errno.EIO)
            return -1
        return real(*given)

    return called


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
