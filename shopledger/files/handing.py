"""Handing a file to the system's own programs, to be looked at or printed; no shell reads its name."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import Enum
from pathlib import Path
from typing import Final

from shopledger.files.refusals import NotHandedError

_PATIENCE: Final = 2
"""Seconds in which a program that shows a file says that it cannot; one that runs on is showing it."""


class Handing(Enum):
    """What is to be done with a file."""

    OPEN = "opened"
    PRINT = "printed"


_PROGRAMS: Final = {
    (Handing.OPEN, "darwin"): ("open",),
    (Handing.OPEN, "linux"): ("xdg-open",),
    (Handing.PRINT, "darwin"): ("lp", "lpr"),
    (Handing.PRINT, "linux"): ("lp", "lpr"),
}
_INSTEAD: Final = {
    Handing.OPEN: "Open it yourself.",
    Handing.PRINT: "Open it and print it from there, or set up a printer first.",
}


def _showing(command: Sequence[str]) -> str:
    """Start a program that may go on showing a file; gives what it says against it at once."""
    away = subprocess.DEVNULL
    running = subprocess.Popen(command, stdin=away, stdout=away, stderr=away, start_new_session=True)  # noqa: S603 - one of the programs above, and the path of a file
    try:
        code = running.wait(_PATIENCE)
    except subprocess.TimeoutExpired:
        # It shows the file; nobody waits for it when this program ends.
        running.returncode = 0
        return ""
    return f"{command[0]} gave it back with code {code}" if code else ""


def _printing(command: Sequence[str]) -> str:
    """Hand a file to the printer's queue; gives what is said against it."""
    done = subprocess.run(command, stdin=subprocess.DEVNULL, capture_output=True, check=False)  # noqa: S603 - as above
    if not done.returncode:
        return ""
    said = done.stderr.decode("utf-8", "replace").strip().splitlines()
    return said[0] if said else f"{command[0]} gave it back with code {done.returncode}"


def _by_windows(file: Path, verb: str) -> None:
    os.startfile(file, verb)  # type: ignore[attr-defined]  # noqa: S606 - known on Windows alone; no shell


@dataclass(frozen=True, slots=True)
class Hands:
    """How files are handed on; tests give their own."""

    platform: str = sys.platform
    find: Callable[[str], str | None] = shutil.which
    show: Callable[[Sequence[str]], str] = _showing
    queue: Callable[[Sequence[str]], str] = _printing
    by_windows: Callable[[Path, str], None] = _by_windows

    def hand(self, file: Path, what: Handing) -> None:
        """Hand one file on, or say in a sentence why not; it stays where it lies."""
        try:
            reason = self._handed(file.absolute(), what)
        except OSError as error:
            reason = (error.strerror or str(error)).lower()
        if reason:
            raise NotHandedError(file, what.value, reason.rstrip("."), _INSTEAD[what])

    def _handed(self, file: Path, what: Handing) -> str:
        """Hand a file on; gives what is said against it, empty where nothing is."""
        if self.platform == "win32":
            self.by_windows(file, "open" if what is Handing.OPEN else "print")
            return ""
        programs = _PROGRAMS.get((what, self.platform), _PROGRAMS[what, "linux"])
        found = next(filter(None, map(self.find, programs)), None)
        if found is None:
            return f"there is no program '{programs[0]}' on this computer"
        return (self.show if what is Handing.OPEN else self.queue)((found, str(file)))
