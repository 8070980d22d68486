"""The reorder record: everything that new lenses for an old frame are made from, with both shapes at 1:1."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Final, TypeAlias

from shopledger.ledger.papers.reorder_record import ReorderRecord
from shopledger.paperwork.blocks import Block
from shopledger.paperwork.flow import PageLayout, page_layout
from shopledger.paperwork.fonts import respelled
from shopledger.paperwork.furniture import head_block
from shopledger.paperwork.page import Document, save
from shopledger.paperwork.paper import NO_SPELLINGS, Labels, assembled
from shopledger.paperwork.reorder_parts import (
    cautions_blocks,
    figures_blocks,
    findings_blocks,
    lens_blocks,
    paper_head,
    parties_blocks,
    prescriptions_blocks,
)
from shopledger.paperwork.reorder_price import price_blocks
from shopledger.paperwork.reorder_profile import profile_blocks
from shopledger.paperwork.reorder_shapes import drawing_width, shapes_blocks
from shopledger.paperwork.reorder_thickness import thickness_blocks
from shopledger.paperwork.reorder_worn import worn_blocks
from shopledger.paperwork.typeset import MM
from shopledger.paperwork.wording import Wording, read_wording

_Part: TypeAlias = Callable[[ReorderRecord, Wording, float], list[Block]]
_PARTS: Final[Mapping[str, _Part]] = MappingProxyType(
    {
        "parties": parties_blocks,
        "shapes": shapes_blocks,
        "worn": worn_blocks,
        "figures": figures_blocks,
        "prescriptions": prescriptions_blocks,
        "lens": lens_blocks,
        "price": price_blocks,
        "thickness": thickness_blocks,
        "profile": profile_blocks,
        "findings": findings_blocks,
        "cautions": cautions_blocks,
    }
)


def reorder_pdf(
    content: ReorderRecord,
    target: Path,
    *,
    paper: str = "letter",
    wording: Wording | None = None,
    spellings: Mapping[str, str] = NO_SPELLINGS,
) -> Path:
    """Write the record to `target`, whole or not at all; give back where it lies.

    The paper is turned when the shapes are too wide for it upright. `spellings` says what to print for a name that the
    font cannot set; without one such a name is refused with MissingGlyphError.
    """
    return save(reorder_document(content, paper=paper, wording=wording, spellings=spellings), target)


def reorder_document(
    content: ReorderRecord,
    *,
    paper: str = "letter",
    wording: Wording | None = None,
    spellings: Mapping[str, str] = NO_SPELLINGS,
) -> Document:
    """Give the record as placed boxes on pages, not yet painted; the options are those of `reorder_pdf`."""
    words = wording or read_wording("reorder")
    said = respelled(content, spellings)
    sheet = _sheet(said, paper)
    width = sheet.frame_width
    blocks = [head_block(paper_head(said, words), words.look, width)]
    for part in words.listed("order"):
        blocks += _PARTS[part](said, words, width)
    labels = Labels(
        title=f"{words['titles.paper']}, {words.fill('titles.number', number=said.number)}",
        author=said.shop_name,
        subject=said.wearer,
        continued=words.fill("titles.continued", number=said.number, wearer=said.wearer),
        foot=words.fill("marks.foot", number=said.number),
        small=words.fill("marks.ledger", head=said.ledger_head) if said.ledger_head else "",
    )
    return assembled(blocks, labels, words, sheet)


def _sheet(content: ReorderRecord, paper: str) -> PageLayout:
    """Give the paper upright where the shapes fit at 1:1, else turned."""
    upright = page_layout(paper)
    fits = drawing_width(content) * MM <= upright.frame_width
    return upright if fits else page_layout(paper, landscape=True)
