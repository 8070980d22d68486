"""Numbers as they are typed: plain ones, whole ones, and lengths of which each eye has its own."""

from __future__ import annotations

import re

from shopledger.errors import RefusedError

_SEVERAL = re.compile(r"([0-9]+(?:\.[0-9]+)?)\s*[-\u25a1\u2610/x\u00d7]\s*([0-9]+(?:\.[0-9]+)?)(?:[-/ ].*)?")
"""Sizes as they are marked on a temple, `52-18` or `52-18-140`, where one of them is wanted."""
_DECIMAL = re.compile(r"[+-]?([0-9]{1,5}(\.[0-9]{0,4})?|\.[0-9]{1,4})")


def read_decimal(text: str, field: str = "number") -> float:
    """Read a plain number such as `31.5`; a comma for the point is understood."""
    typed = text.strip().replace("\N{MINUS SIGN}", "-").replace(",", ".", 1)
    if found := _SEVERAL.fullmatch(typed):
        numbers = f"{found[1]} and {found[2]}"
        raise RefusedError(
            field, f"'{text.strip()}'", f"it is one number, not {numbers}", "Type each where it is asked for."
        )
    if not _DECIMAL.fullmatch(typed):
        raise RefusedError(field, f"'{text.strip()}'", "it is a number such as 31.5", "Type digits with a point.")
    return float(typed)


def read_lengths(text: str, name: str) -> tuple[float, ...]:
    """Read one length for both eyes, or one for the right and one for the left."""
    parts = text.replace("/", " ").split()
    if not 1 <= len(parts) <= 2:
        raise RefusedError(name, f"'{text}'", "it is one number, or right and left", "Type it like 63 or 31.5 32.")
    return tuple(read_decimal(part, name) for part in parts)


def read_whole(text: str, field: str) -> int:
    """Read a whole number in plain digits, no larger than any that the ledger gives."""
    from shopledger.ledger.limits import LARGEST_NUMBER, is_bar_code

    typed = text.strip().replace("\N{MINUS SIGN}", "-")
    digits = typed.removeprefix("-")
    if not (digits.isascii() and digits.isdigit()):
        raise RefusedError(field, f"'{text.strip()}'", "it is a whole number such as 12", "Type it in digits.")
    # Its length is looked at first, since digits without end take for ever to read.
    if len(digits.lstrip("0")) > len(str(LARGEST_NUMBER)) or is_bar_code(digits):
        what = "that is a bar code" if is_bar_code(digits) else f"it is at most {LARGEST_NUMBER:,}"
        raise RefusedError(field, f"'{typed[:40]}'", what, "Type the number that is meant.")
    return int(typed)
