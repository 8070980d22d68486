"""Reading a file that somebody else made: a plain one, up to a size, and no byte more.

A pipe would be waited for without end, and a device such as `/dev/zero` never ends; neither is opened.
"""

from __future__ import annotations

import stat
from pathlib import Path
from typing import Final

from shopledger.errors import ShopledgerError
from shopledger.files.refusals import hint_of, reason_of

LARGEST: Final = 50_000_000
"""The most bytes that a file has which is taken in as it is: a scan is smaller, and a film is no proof."""
_ODD: Final = ((stat.S_ISDIR, "it is a folder"), (stat.S_ISFIFO, "it is a pipe"), (stat.S_ISSOCK, "it is a socket"))


class NotReadError(ShopledgerError):
    """A file cannot be read."""

    source: Path
    reason: str
    hint: str
    sentence = "{source} cannot be read: {reason}. {hint}"


def read_outside(source: Path, most: int) -> bytes:
    """Give a file's bytes, or refuse one of more than `most`, and what is no plain file."""
    try:
        _refuse_odd(source)
        with source.open("rb") as file:
            body = file.read(most + 1)
    except OSError as error:
        raise NotReadError(source, reason_of(error), hint_of(error, reading=True)) from error
    except ValueError:
        shown = Path(str(source).replace("\0", "␀"))
        raise NotReadError(shown, "its name holds a letter that no name may hold", "Leave it out.") from None
    if len(body) > most:
        raise NotReadError(source, f"it is far too large, more than {_size(most)}", "Choose the right file.")
    return body


def _refuse_odd(source: Path) -> None:
    kind = source.stat().st_mode
    said = next((words for asked, words in _ODD if asked(kind)), "" if stat.S_ISREG(kind) else "it is a device")
    if said:
        raise NotReadError(source, said, "Name a plain file.")


def _size(most: int) -> str:
    return f"{most // 1_000_000} MB" if most >= 1_000_000 else f"{most // 1_000} kB"
