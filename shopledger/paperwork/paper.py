"""Putting a paper together: its blocks flow over pages, each page gets its margins, the file its name and language."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from shopledger.paperwork.blocks import Block
from shopledger.paperwork.flow import PageLayout, flow, furnished
from shopledger.paperwork.furniture import Foot, continued_block, furniture
from shopledger.paperwork.page import Document
from shopledger.paperwork.wording import Wording

NO_SPELLINGS: Final[Mapping[str, str]] = MappingProxyType({})
"""Names are printed as they are written."""


@dataclass(frozen=True, slots=True)
class Labels:
    """What names a paper beside its content: for reader programs, in the foot, and at the top of later pages."""

    title: str
    author: str
    subject: str
    continued: str
    foot: str
    small: str = ""
    stamps: tuple[str, ...] = ()


def assembled(blocks: Sequence[Block], labels: Labels, words: Wording, sheet: PageLayout) -> Document:
    """Give the paper with its pages placed, not yet painted."""
    pages = flow(blocks, sheet, continued_block(labels.continued, sheet.frame_width))
    foot = Foot(f"{labels.foot} · {labels.author}", words["marks.page"], labels.small, labels.stamps)
    return Document(
        title=labels.title.replace("\n", " – "),
        author=labels.author,
        subject=labels.subject,
        language=words["language"],
        width=sheet.width,
        height=sheet.height,
        pages=furnished(pages, furniture(foot, sheet)),
    )
