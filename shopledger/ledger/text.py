"""Names and free text as the ledger keeps them: one form, one line, of sensible length."""

from __future__ import annotations

import re
import unicodedata
from typing import Final

from shopledger.errors import RefusedError

_CODE: Final = re.compile(r"[A-Z0-9][A-Z0-9-]{0,19}")
LONGEST_NAME: Final = 120
LONGEST_NOTE: Final = 2000


def clean_text(field: str, text: str, longest: int = LONGEST_NAME, *, required: bool = True) -> str:
    """Give the text in composed Unicode form on one line, or refuse it.

    Control characters are refused, since they print as boxes and break sheets; runs of white space become one space.
    """
    joined = " ".join(unicodedata.normalize("NFC", text).split())
    odd = [letter for letter in joined if unicodedata.category(letter) in {"Cc", "Cs", "Co", "Cn"}]
    if odd:
        raise RefusedError(
            field,
            f"'{_printable(joined)}'",
            f"it holds the control character U+{ord(odd[0]):04X}",
            "Type it again without it.",
        )
    if required and not joined:
        raise RefusedError(field, "empty", "it may not be", f"Give the {field}.")
    if len(joined) > longest:
        raise RefusedError(field, f"{len(joined)} characters long", f"at most {longest} fit", "Shorten it.")
    return joined


def _printable(text: str) -> str:
    return "".join(letter if letter.isprintable() else "?" for letter in text)


def read_code(kind: str, text: str) -> str:
    """Read the owner's short code for a catalogue item: capitals, digits and hyphens, at most 20."""
    typed = text.strip().upper()
    if not _CODE.fullmatch(typed):
        raise RefusedError(
            f"{kind} code",
            f"'{text.strip()}'",
            "a code is up to 20 letters, digits and hyphens, as in WREN-52",
            "Choose such a code.",
        )
    return typed
