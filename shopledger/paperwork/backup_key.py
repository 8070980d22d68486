"""The paper with the secret key of encrypted copies: in letters to type, and in squares to read with a camera."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from typing import Any, Final

from reportlab.graphics.barcode.qrencoder import QRAlphaNum, QRCode, QRErrorCorrectLevel

from shopledger.ledger.papers.backup_key import BackupKeyPaper
from shopledger.paperwork.blocks import Block, Column, gap, heading, paragraph, row, stacked, strong_box, text_block
from shopledger.paperwork.marks import Box, Element, Kind, Marks, moved
from shopledger.paperwork.paper import Flowing, Paper
from shopledger.paperwork.samples import SHOP
from shopledger.paperwork.typeset import MM, STRONG, Style
from shopledger.paperwork.wording import Wording

_LETTERS: Final = Style(15, bold=True)
_IN_A_ROW: Final = 5
_SQUARE: Final = 1.5 * MM
"""One of the small squares."""
_QUIET: Final = 4
"""How many small squares stay white around all of them (ISO/IEC 18004)."""


def _warning(content: BackupKeyPaper, words: Wording, width: float) -> list[Block]:
    del content
    return strong_box("warning", words["warning.secret"], width, inverse=True)


def _secret(content: BackupKeyPaper, words: Wording, width: float) -> list[Block]:
    """Set the key in groups, and beside them the same as squares."""
    squares, side = _squares(content.secret)
    room = width - side
    step = room / _IN_A_ROW
    columns = [Column(at * step, step) for at in range(_IN_A_ROW)]
    rows = []
    for start in range(0, len(content.groups), _IN_A_ROW):
        cells = content.groups[start : start + _IN_A_ROW]
        filled = [*cells, *[""] * (_IN_A_ROW - len(cells))]
        rows.append(row("secret key", filled, columns, _LETTERS, pad=5))
    letters = stacked("secret key", rows)
    figure = Element(Kind.FIGURE, moved(squares, room, 0), words["secret.squares"])
    both = Block("secret key", max(letters.height, side), (*letters.marks, figure))
    return [heading("secret key", words["secret.heading"], width, space_before=12), gap("secret key", 6), both]


def _public(content: BackupKeyPaper, words: Wording, width: float) -> list[Block]:
    made = words.fill("public.made", day=words.day(content.made_on))
    marks, height = paragraph(content.public, 0, 0, width, STRONG)
    return [
        heading("public key", words["public.heading"], width, space_before=12),
        Block("public key", height, marks),
        *text_block("public key", made, width),
    ]


def _cautions(content: BackupKeyPaper, words: Wording, width: float) -> list[Block]:
    del content
    blocks = [heading("cautions", words["cautions.heading"], width, space_before=12)]
    for sentence in words.listed("cautions.sentences"):
        blocks += text_block("cautions", sentence, width)
    return blocks


def _squares(text: str) -> tuple[Marks, float]:
    """Draw a text as a QR code (ISO/IEC 18004), dark squares of a row in one; give the side of the whole too."""
    code: Any = QRCode(None, QRErrorCorrectLevel.M)
    code.addData(QRAlphaNum(text))
    code.make()
    many = int(code.getModuleCount())
    marks = tuple(
        Box((_QUIET + start) * _SQUARE, (_QUIET + down) * _SQUARE, length * _SQUARE, _SQUARE, line=0, fill=0.0)
        for down in range(many)
        for start, length in _runs([bool(code.isDark(down, across)) for across in range(many)])
    )
    return marks, (many + 2 * _QUIET) * _SQUARE


def _runs(dark: list[bool]) -> Iterator[tuple[int, int]]:
    """Give where dark squares begin in a row, and how many follow one another."""
    at = 0
    for is_dark, same in groupby(dark):
        length = len(list(same))
        if is_dark:
            yield at, length
        at += length


def _sample() -> BackupKeyPaper:
    """Give a paper whose key is none: its letters fail the key's own check."""
    return BackupKeyPaper(
        "2026-03-02",
        SHOP,
        f"AGE-SECRET-KEY-1{'SAMPLE' * 9}0000",
        f"age1{'sample' * 9}0000",
    )


BACKUP_KEY: Final = Paper(
    key="backup_key",
    command="backup key new",
    sample=_sample,
    body=Flowing({"warning": _warning, "secret": _secret, "public": _public, "cautions": _cautions}),
    shop=lambda paper: paper.shop,
    day=lambda paper: paper.made_on,
    names=lambda paper, _: {"number": paper.public[:12]},
    facts=lambda paper, words: (words.fill("titles.made", day=words.day(paper.made_on)),),
)
