"""The one family that every paper is set in, embedded in each file: DejaVu Sans, regular and bold.

Its licence travels beside it in `templates/fonts`. It covers Latin with all of Vietnamese, Greek and Cyrillic.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from functools import cache, lru_cache
from typing import Any, Final, TypeVar, cast

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.pdfdoc import PDFDocument
from reportlab.pdfbase.ttfonts import TTFont

from shopledger.paperwork.refusals import MissingGlyphError
from shopledger.places import templates_folder

REGULAR: Final = "ShopSans"
BOLD: Final = "ShopSans-Bold"
_FILES: Final = {REGULAR: "DejaVuSans.ttf", BOLD: "DejaVuSans-Bold.ttf"}
_RIGHT_TO_LEFT: Final = frozenset({"R", "AL", "AN"})
_INVISIBLE: Final = frozenset({"Cc", "Cf"})
_MOST_LETTERS: Final = 100
"""So many may stand in one block of letters by code (ISO 32000-1, 9.10.3, after the CMap specification)."""
_SPACES: Final = re.compile(r"[^\S\n]+")

Content = TypeVar("Content")


@cache
def faces() -> tuple[TTFont, TTFont]:
    """Give the regular and the bold face, read and registered once in a process."""
    return _registered(REGULAR), _registered(BOLD)


class PaperFont(TTFont):
    """A font whose letters can be found and read out of the file again: each code that is used names its letter."""

    def addObjects(self, doc: PDFDocument) -> None:  # noqa: N802 - reportlab's own name
        """Add the subsets to a file, and say for each which code stands for which letter."""
        subsets = list(self.state[doc].subsets)
        super().addObjects(doc)
        streams = [each for each in doc.idToObject if each.startswith("toUnicodeCMap:") and self._is_mine(each)]
        for name, subset in zip(streams, subsets, strict=True):
            stream: Any = doc.idToObject[name]
            stream.content = _letters_by_code(subset)

    def _is_mine(self, stream: str) -> bool:
        """Tell whether a stream is for a subset of this font: the file's name of it ends in the font's own."""
        return stream.endswith(f"+{self.face.name.decode('ascii')}")


def _letters_by_code(subset: list[int]) -> str:
    """Write which letter each code stands for (ISO 32000-1, 9.10.3); codes without a letter are left out."""
    known = [(code, letter) for code, letter in enumerate(subset) if letter]
    blocks = [known[at : at + _MOST_LETTERS] for at in range(0, len(known), _MOST_LETTERS)]
    listed = [
        "\n".join((f"{len(block)} beginbfchar", *(f"<{code:02X}> <{_in_utf_16(letter)}>" for code, letter in block)))
        for block in blocks
    ]
    return "\n".join(
        (
            "/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap",
            "/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def",
            "/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def",
            "1 begincodespacerange\n<00> <FF>\nendcodespacerange",
            *(f"{block}\nendbfchar" for block in listed),
            "endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend",
        )
    )


def _in_utf_16(letter: int) -> str:
    return chr(letter).encode("utf-16-be").hex().upper()


def _registered(name: str) -> TTFont:
    font = PaperFont(name, str(templates_folder() / "fonts" / _FILES[name]))
    pdfmetrics.registerFont(font)
    return font


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
