"""What a command wrote, handed to the system's own programs once it has ended well."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from shopledger.files.handing import Handing, Hands
from shopledger.files.refusals import NoPaperError
from shopledger.files.writing import noticing

MOST_OPENED: Final = 3
"""Of more files their folder is opened."""


@contextmanager
def handed_on(what: Handing, hands: Hands | None = None) -> Iterator[None]:
    """Hand on what is written within the block, if it ends well."""
    with noticing() as files:
        yield
    for file in _printed(files) if what is Handing.PRINT else _opened(files):
        (hands or Hands()).hand(file, what)


def _papers(files: Sequence[Path]) -> list[Path]:
    return [file for file in dict.fromkeys(files) if file.suffix == ".pdf"]


def _printed(files: Sequence[Path]) -> list[Path]:
    """Give the papers among what was written; the sheet of a lens order is printed, its file for the lab is not."""
    papers = _papers(files)
    if files and not papers:
        raise NoPaperError(files[-1])
    return papers


def _opened(files: Sequence[Path]) -> list[Path]:
    found = _papers(files) or list(dict.fromkeys(files))
    return found if len(found) <= MOST_OPENED else [found[-1].parent]
