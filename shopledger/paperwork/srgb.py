"""The sRGB colour profile that an archive file names, written here byte by byte so that it never changes.

A profile of ICC version 2 (ICC.1:2001-04) with the primaries and the curve of IEC 61966-2-1; both from memory, and
proved by a second program in the tests.
"""

from __future__ import annotations

import struct
from collections.abc import Sequence
from functools import cache
from typing import Final

_WHITE_D50: Final = (0.9642, 1.0, 0.8249)
_RED: Final = (0.4361, 0.2225, 0.0139)
_GREEN: Final = (0.3851, 0.7169, 0.0971)
_BLUE: Final = (0.1431, 0.0606, 0.7141)
"""Primaries as seen under D50, so that they add up to its white."""

_STEPS: Final = 1024
_HEADER: Final = 128
NAME: Final = "sRGB IEC61966-2.1"


@cache
def srgb_profile() -> bytes:
    """Give the profile's bytes."""
    curve = _curve()
    tags = (
        (b"cprt", b"text\0\0\0\0" + b"No copyright is claimed.\0"),
        (b"desc", _description(NAME)),
        (b"wtpt", _xyz(_WHITE_D50)),
        (b"rXYZ", _xyz(_RED)),
        (b"gXYZ", _xyz(_GREEN)),
        (b"bXYZ", _xyz(_BLUE)),
        (b"rTRC", curve),
        (b"gTRC", curve),
        (b"bTRC", curve),
    )
    body, table = _laid_out(tags)
    return _header(_HEADER + len(table) + len(body)) + table + body


def _laid_out(tags: Sequence[tuple[bytes, bytes]]) -> tuple[bytes, bytes]:
    """Put the tags' contents one after another, equal ones once, and give the table that points at them."""
    start = _HEADER + 4 + 12 * len(tags)
    body = b""
    places: dict[bytes, int] = {}
    table = struct.pack(">I", len(tags))
    for name, content in tags:
        if content not in places:
            places[content] = start + len(body)
            body += content + b"\0" * (-len(content) % 4)
        table += name + struct.pack(">II", places[content], len(content))
    return body, table


def _header(size: int) -> bytes:
    """Give the header: a display profile from RGB to XYZ, dated as every paper of the shop is."""
    made = struct.pack(">6H", 2000, 1, 1, 0, 0, 0)
    white = struct.pack(">3i", *(_fixed(part) for part in _WHITE_D50))
    fields = (
        struct.pack(">I", size), b"\0\0\0\0", struct.pack(">I", 0x02100000), b"mntr", b"RGB ", b"XYZ ", made, b"acsp",
        b"\0" * 28, white,
    )  # fmt: skip
    return b"".join(fields).ljust(_HEADER, b"\0")


def _fixed(value: float) -> int:
    """Write a number with sixteen binary places."""
    return round(value * 65536)


def _xyz(values: Sequence[float]) -> bytes:
    return b"XYZ \0\0\0\0" + struct.pack(">3i", *(_fixed(value) for value in values))


def _curve() -> bytes:
    """Give light for each step of the code value: a straight start, then a power."""
    codes = (at / (_STEPS - 1) for at in range(_STEPS))
    light = (code / 12.92 if code <= 0.04045 else ((code + 0.055) / 1.055) ** 2.4 for code in codes)
    return b"curv\0\0\0\0" + struct.pack(f">I{_STEPS}H", _STEPS, *(round(value * 65535) for value in light))


def _description(name: str) -> bytes:
    """Give a description in ASCII with empty parts for other writing."""
    text = name.encode("ascii") + b"\0"
    return b"desc\0\0\0\0" + struct.pack(">I", len(text)) + text + b"\0" * 8 + b"\0" * 3 + b"\0" * 67
