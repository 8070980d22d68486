"""Files that are kept in the ledger, written out again for whoever asks."""

from __future__ import annotations

from pathlib import Path

from shopledger.files.replacing import COPY
from shopledger.files.writing import write_whole


def write_kept(body: bytes, folder: Path, name: str, came_as: str) -> Path:
    """Write a kept file under a name of our own; of the one that it came as, which may name a person, only the ending.

    Nothing else of that name is written over.
    """
    return write_whole(body, folder / f"{name}{_ending(came_as)}", COPY)


def _ending(name: str) -> str:
    """Give the ending of a file's name where it is a plain one, as in `.pdf`."""
    ending = Path(name).suffix
    return ending.lower() if ending[1:].isascii() and ending[1:].isalnum() else ""
