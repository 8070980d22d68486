"""What every reader of bank statements shares: the size, the letters, the amounts and the days of a bank's file."""

from __future__ import annotations

import codecs
import re
from datetime import date
from pathlib import Path
from typing import Final

from shopledger.exchange.refusals import FileRefusedError
from shopledger.files.reading import NotReadError, read_outside
from shopledger.money.amount import Cents

LARGEST_FILE: Final = 20_000_000
"""The most bytes of a statement's file."""
MOST_LINES: Final = 50_000
"""The most lines of a statement."""
AGAIN: Final = "Download it from the bank again."
_AMOUNT: Final = re.compile(
    r"(?P<sign>[+-]?)(?P<whole>[0-9]{1,3}(?:,[0-9]{3})+(?![0-9])|[0-9]*)(?:[.,](?P<part>[0-9]{1,2}))?"
)
_MOST_DIGITS: Final = 11


def statement_bytes(source: Path) -> bytes:
    """Give a statement's bytes, or say why they cannot be had."""
    try:
        return read_outside(source, LARGEST_FILE)
    except NotReadError as error:
        raise FileRefusedError(source.name, None, f"it cannot be read: {error.reason}", error.hint) from error


def statement_text(body: bytes, file: str) -> str:
    """Give a statement's letters: by its mark if it has one, else UTF-8, else Windows' western letters.

    What the file itself says of its letters is often wrong, and is not asked.
    """
    marked = body.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE))
    for coding in ("utf-16",) if marked else ("utf-8-sig", "cp1252"):
        try:
            text = body.decode(coding)
        except UnicodeDecodeError:
            continue
        if "\0" in text:
            break
        return text
    raise FileRefusedError(file, None, "it holds bytes that are no letters", f"It may be another kind of file. {AGAIN}")


def stated_cents(text: str) -> Cents | None:
    """Read an amount as banks write it: a sign or none, commas between thousands, a point or comma before the cents.

    None where it is anything else: nothing is rounded, and no power of ten is taken.
    """
    bare = text.replace(" ", "").replace("\N{NO-BREAK SPACE}", "")
    found = _AMOUNT.fullmatch(bare)
    if found is None or not (found["whole"] or found["part"]):
        return None
    whole, part = found["whole"].replace(",", "") or "0", (found["part"] or "0").ljust(2, "0")
    if len(whole) + len(part) > _MOST_DIGITS:
        return None
    cents = int(whole) * 100 + int(part)
    return -cents if found["sign"] == "-" else cents


def stated_day(year: str, month: str, day: str) -> date | None:
    """Give the day of three numbers; None where there is no such day."""
    try:
        return date(int(year), int(month), int(day))
    except ValueError:
        return None
