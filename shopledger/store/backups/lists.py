"""The list that each place keeps of the copies in it, readable without any ledger: one JSON object a line.

A line is added for each copy made, and another where one was taken away; nothing in the file is ever changed.
"""

from __future__ import annotations

import json
import os
from dataclasses import asdict
from datetime import date
from pathlib import Path
from typing import Any, Final

from shopledger.ledger.backups import LedgerCopy
from shopledger.store.backups.sealing import hash_of
from shopledger.store.refusals import NoPlaceError

LIST_NAME: Final = "shopledger-copies.jsonl"


def list_file(folder: Path) -> Path:
    """Give the list of a place."""
    return folder / LIST_NAME


def has_list(folder: Path) -> bool:
    """Tell whether a folder is a place, and can be reached now."""
    try:
        return list_file(folder).is_file()
    except OSError:
        return False


def begin_list(folder: Path) -> None:
    """Make a place's list if there is none: it shows that the folder is the place, and not where a stick was."""
    _append(folder, b"")


def listed(folder: Path, series: str = "") -> tuple[LedgerCopy, ...]:
    """Give the copies that should lie in a place, in the order in which they were made; of one ledger where asked.

    Raises NoPlaceError where there is no list.
    """
    try:
        lines = list_file(folder).read_bytes().splitlines()
    except OSError as error:
        raise NoPlaceError(str(folder)) from error
    found: dict[str, LedgerCopy] = {}
    for line in map(_read, lines):
        if "removed" in line:
            found.pop(str(line["removed"]), None)
        elif (copy := _copy(folder, line)) is not None:
            found[copy.file] = copy
    return tuple(copy for copy in found.values() if belongs(copy, series))


def belongs(copy: LedgerCopy, series: str) -> bool:
    """Tell whether a copy is one of a ledger."""
    return f"-{series}-" in copy.file if series else True


def write_down(folder: Path, copy: LedgerCopy) -> None:
    """Add a copy to the list of its place."""
    told = asdict(copy)
    for name in ("number", "folder", "away"):
        del told[name]
    _append(folder, _line({**told, "day": copy.day.isoformat()}))


def cross_out(folder: Path, copy: LedgerCopy, day: date) -> None:
    """Add to the list that a copy was taken away."""
    _append(folder, _line({"removed": copy.file, "day": day.isoformat()}))


def take_away(folder: Path, copy: LedgerCopy, day: date) -> bool:
    """Remove a copy while it is what was written down, and add that to the list; tells whether it is gone."""
    file = folder / copy.file
    try:
        if file.exists() and hash_of(file) != copy.sha256:
            return False
        file.unlink(missing_ok=True)
        cross_out(folder, copy, day)
    except OSError:
        return False
    return True


def _append(folder: Path, line: bytes) -> None:
    handle = os.open(list_file(folder), os.O_CREAT | os.O_RDWR | os.O_APPEND, 0o600)
    try:
        size = os.fstat(handle).st_size
        # A stick pulled out too early may have left half a line.
        broken = bool(size) and os.pread(handle, 1, size - 1) != b"\n" if hasattr(os, "pread") else False
        os.write(handle, (b"\n" if broken else b"") + line)
        os.fsync(handle)
    finally:
        os.close(handle)


def _line(told: dict[str, Any]) -> bytes:
    return json.dumps(told, ensure_ascii=False).encode() + b"\n"


def _read(line: bytes) -> dict[str, Any]:
    try:
        found = json.loads(line)
    except (ValueError, RecursionError):
        return {}
    return found if isinstance(found, dict) else {}


def _copy(folder: Path, line: dict[str, Any]) -> LedgerCopy | None:
    """Read a line; None where it says something else, or points out of the folder."""
    try:
        copy = LedgerCopy(
            day=date.fromisoformat(line["day"]),
            folder=str(folder),
            file=str(line["file"]),
            away=False,
            size=int(line["size"]),
            sha256=str(line["sha256"]),
            head=str(line["head"]),
            revision=str(line["revision"]),
            program=str(line["program"]),
            locked_with=tuple(map(str, line["locked_with"])),
        )
    except (KeyError, TypeError, ValueError):
        return None
    return copy if copy.file and Path(copy.file).name == copy.file else None
