"""The one family that every paper is set in, embedded in each file: DejaVu Sans, regular and bold.

Its licence travels beside it in `templates/fonts`. It covers Latin with all of Vietnamese, Greek and Cyrillic.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from functools import cache, lru_cache
from typing import TYPE_CHECKING, Final, TypeVar, cast

from shopledger.paperwork.refusals import MissingGlyphError

if TYPE_CHECKING:
    from reportlab.pdfbase.ttfonts import TTFont

REGULAR: Final = "ShopSans"
BOLD: Final = "ShopSans-Bold"
_RIGHT_TO_LEFT: Final = frozenset({"R", "AL", "AN"})
_INVISIBLE: Final = frozenset({"Cc", "Cf"})
_SPACES: Final = re.compile(r"[^\S\n]+")

Content = TypeVar("Content")


@cache
def faces() -> tuple[TTFont, TTFont]:
    """Give the regular and the bold face, read and registered once in a process."""
    from shopledger.paperwork.paper_font import registered  # noqa: PLC0415 - reading a wording sets no letter

    return registered(REGULAR, "DejaVuSans.ttf"), registered(BOLD, "DejaVuSans-Bold.ttf")


def missing_glyphs(text: str) -> tuple[str, ...]:
    """Give the letters that cannot be set, each once: those without a glyph, and those written from right to left."""
    if text.isascii():
        return ()
    regular, bold = (face.face.charToGlyph for face in faces())
    return tuple(
        letter
        for letter in dict.fromkeys(text)
        if letter != "\n"
        and (
            ord(letter) not in regular or ord(letter) not in bold or unicodedata.bidirectional(letter) in _RIGHT_TO_LEFT
        )
    )


@lru_cache(maxsize=4096)
def printable(text: str) -> str:
    """Give the text as it is set: composed, invisible characters dropped, runs of space joined, line ends kept.

    Raises MissingGlyphError rather than printing a box.
    """
    plain = text.isascii() and text.isprintable()
    composed = text if plain else _visible(unicodedata.normalize("NFC", text))
    missing = missing_glyphs(composed)
    if missing:
        raise MissingGlyphError(composed, missing)
    return _SPACES.sub(" ", composed).strip()


def _visible(text: str) -> str:
    """Turn tabs and the like into spaces and leave out what has no look: control and direction characters."""
    spaced = "".join(" " if letter.isspace() and letter != "\n" else letter for letter in text)
    return "".join(letter for letter in spaced if letter == "\n" or unicodedata.category(letter) not in _INVISIBLE)


def respelled(content: Content, spellings: Mapping[str, str]) -> Content:
    """Give a paper's content with every text printable; a text that is not is first respelled, part by part.

    `spellings` says what to print for a name that the font cannot set, as in `{"李小龍": "Li Xiaolong"}`.
    """
    return cast("Content", _respell(content, spellings))


def _respell(value: object, spellings: Mapping[str, str]) -> object:
    if isinstance(value, str):
        return _one_text(value, spellings)
    if isinstance(value, tuple):
        return tuple(_respell(part, spellings) for part in value)
    if is_dataclass(value) and not isinstance(value, type):
        changed = {field.name: _respell(getattr(value, field.name), spellings) for field in fields(value)}
        return replace(value, **changed)
    return value


def _one_text(text: str, spellings: Mapping[str, str]) -> str:
    if spellings and missing_glyphs(unicodedata.normalize("NFC", text)):
        for written, spelling in spellings.items():
            text = text.replace(written, spelling)
    return printable(text)
