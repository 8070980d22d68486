"""Examples in the help: written in a command's docstring as they are read, shown as they are typed in this shell.

    Example:
    shopledger sale ship 12 --carrier post
    shopledger sale ship 12 --job 5 --carrier post

Each begins with the program's name; a line that does not goes on with the one above it.
"""

from __future__ import annotations

import os
import shlex
from collections.abc import Iterable, Iterator, Sequence
from inspect import cleandoc
from typing import Final

from shopledger.shell import typed

HEADING: Final = "Example:"
AS_IT_STANDS: Final = "\b"
"""Says to click that the lines below it are no paragraph to fill."""
PROGRAM: Final = "shopledger"
WIDEST: Final = 76
"""So many letters of an example stand on one line; help has 80, and two blanks before them and the text."""


def with_examples(text: str, system: str = os.name) -> str:
    """Give the text of a help with its examples as they are typed in the shell of a system."""
    if HEADING not in text:
        return text
    return "\n\n".join(_shown(part, system) for part in cleandoc(text).split("\n\n"))


def examples_of(text: str) -> list[list[str]]:
    """Give the words of each example in the text of a help, as it was written or as it is shown."""
    found = []
    for part in text.split("\n\n"):
        lines = [line.strip().removesuffix("\\") for line in part.strip().strip(AS_IT_STANDS).strip().splitlines()]
        if lines[:1] == [HEADING]:
            found += [shlex.split(line) for line in _joined(lines[1:])]
    return found


def _shown(part: str, system: str) -> str:
    if part.split(None, 1)[:1] != [HEADING]:
        return part
    lines = [line for words in examples_of(part) for line in _folded(words, system)]
    return "\n".join((AS_IT_STANDS, HEADING, *(f"  {line}" for line in lines)))


def _joined(lines: Iterable[str]) -> Iterator[str]:
    """Put lines together that are one example."""
    whole = ""
    for line in lines:
        if line.split(None, 1)[:1] == [PROGRAM] and whole:
            yield whole
            whole = ""
        whole = f"{whole} {line}".strip()
    if whole:
        yield whole


def _folded(words: Sequence[str], system: str) -> Iterator[str]:
    """Write an example on as many lines as it needs, where the shell reads them as one; no shell of Windows does."""
    if system == "nt":
        yield typed(words, system)
        return
    line = ""
    for word in (typed([each], system) for each in words):
        longer = f"{line} {word}" if line else word
        if len(longer) > WIDEST - len(" \\"):
            yield f"{line} \\"
            longer = f"    {word}"
        line = longer
    yield line
