"""The file of a face as reportlab embeds it, with the letter that each of its codes stands for."""

from __future__ import annotations

from typing import Any, Final

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.pdfdoc import PDFDocument
from reportlab.pdfbase.ttfonts import TTFont

from shopledger.places import templates_folder

_MOST_LETTERS: Final = 100
"""So many may stand in one block of letters by code (ISO 32000-1, 9.10.3, after the CMap specification)."""


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


def registered(name: str, file: str) -> TTFont:
    """Read a face from its file and let reportlab know it by a name."""
    font = PaperFont(name, str(templates_folder() / "fonts" / file))
    pdfmetrics.registerFont(font)
    return font
