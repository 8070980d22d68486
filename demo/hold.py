"""What keeps two starts from each other: a file that is held while an environment is used, by many, or made, by one.

The system lets go of it with the process that holds it, so none that was killed keeps others waiting.
"""

from __future__ import annotations

import os
import sys
import time
from importlib import import_module
from pathlib import Path
from typing import Any


def say(sentence: str) -> None:
    """Tell whoever waits; standard output belongs to what is started."""
    print(sentence, file=sys.stderr, flush=True)


class Hold:
    """A file that is locked while an environment is used, by many, or made, by one; no process leaves it locked."""

    SLOTS = 64
    """On Windows, whoever uses it locks one of so many bytes, and whoever makes it all of them."""

    def __init__(self, file: Path, system: str = os.name) -> None:
        self.file = file
        self.system = system
        self.held: tuple[int, ...] = ()

    def take(self, *, alone: bool) -> None:
        """Let go of what is held, and wait until it can be had; go without where no file can be locked."""
        self.release()
        has_told = False
        while not self._tried(alone=alone):
            if not has_told:
                say(f"Another start is using or making {self.file.parent / '.venv'}; waiting for it ...")
                has_told = True
            time.sleep(0.2)

    def release(self) -> None:
        """Let go."""
        for opened in self.held:
            os.close(opened)
        self.held = ()

    def keep(self) -> None:
        """Leave it to the program that takes this one's place."""
        for opened in self.held:
            os.set_inheritable(opened, True)  # noqa: FBT003 - it takes no name

    def _tried(self, *, alone: bool) -> bool:
        try:
            opened = os.open(str(self.file), os.O_RDWR | os.O_CREAT, 0o666)
        except OSError:
            # A checkout of somebody else's: what is made can be used, and nothing can be made.
            return True
        try:
            locked = (
                self._on_windows(opened, alone=alone) if self.system == "nt" else self._elsewhere(opened, alone=alone)
            )
        except BaseException:
            os.close(opened)
            raise
        if not locked:
            os.close(opened)
            return False
        self.held = (opened,)
        return True

    @staticmethod
    def _elsewhere(opened: int, *, alone: bool) -> bool:
        fcntl: Any = import_module("fcntl")

        try:
            fcntl.flock(opened, (fcntl.LOCK_EX if alone else fcntl.LOCK_SH) | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        except OSError:
            return True  # a file system without locks
        return True

    @classmethod
    def _on_windows(cls, opened: int, *, alone: bool) -> bool:
        msvcrt: Any = import_module("msvcrt")

        for slot in range(1 if alone else cls.SLOTS):
            os.lseek(opened, slot, os.SEEK_SET)
            try:
                msvcrt.locking(opened, msvcrt.LK_NBLCK, cls.SLOTS if alone else 1)
            except OSError:
                continue
            return True
        return False
