"""The packing slip: ship-to, what lies in the parcel for whom, care, and how to reach the shop."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType
from typing import Final, TypeAlias

from shopledger.ledger.papers.packing_slip import PackedFor, PackedItem, PackingSlip
from shopledger.paperwork.blocks import Block, Panel, gap, heading, paragraph, text_block, twin_panels
from shopledger.paperwork.flow import page_layout
from shopledger.paperwork.fonts import respelled
from shopledger.paperwork.furniture import head_block, shop_head
from shopledger.paperwork.page import Document, save
from shopledger.paperwork.paper import NO_SPELLINGS, Labels, assembled
from shopledger.paperwork.tables import TableHead, table
from shopledger.paperwork.typeset import HEADING, STRONG
from shopledger.paperwork.wording import Wording, read_wording

_LABELS: Final = 62.0
_Part: TypeAlias = Callable[[PackingSlip, Wording, float], list[Block]]


def packing_pdf(
    content: PackingSlip,
    target: Path,
    *,
    paper: str = "letter",
    wording: Wording | None = None,
    spellings: Mapping[str, str] = NO_SPELLINGS,
) -> Path:
    """Write the slip to `target`, whole or not at all; give back where it lies."""
    return save(packing_document(content, paper=paper, wording=wording, spellings=spellings), target)


def packing_document(
    content: PackingSlip,
    *,
    paper: str = "letter",
    wording: Wording | None = None,
    spellings: Mapping[str, str] = NO_SPELLINGS,
) -> Document:
    """Give the slip as placed boxes on pages, not yet painted; the options are those of `packing_pdf`."""
    words = wording or read_wording("packing")
    said = respelled(content, spellings)
    sheet = page_layout(paper)
    width = sheet.frame_width
    number = words.fill("titles.number", number=said.order_number)
    facts = (words.fill("titles.day", day=words.day(said.day)),)
    blocks = [head_block(shop_head(said.shop, words, words["titles.paper"], number, facts), words.look, width)]
    for part in words.listed("order"):
        blocks += _PARTS[part](said, words, width)
    labels = Labels(
        title=f"{words['titles.paper']}, {number}",
        author=said.shop.name,
        subject=said.customer,
        continued=words.fill("titles.continued", number=said.order_number, customer=said.customer),
        foot=words.fill("marks.foot", number=said.order_number),
    )
    return assembled(blocks, labels, words, sheet)


def _ship_to(content: PackingSlip, words: Wording, width: float) -> list[Block]:
    ship_to = (
        (words["ship_to.name"], content.customer),
        (words["ship_to.address"], "\n".join(content.ship_to)),
    )
    parcel = [
        (words["parcel.order"], str(content.order_number)),
        (words["parcel.glasses"], str(content.glasses)),
        (words["parcel.carrier"], content.carrier or words["parcel.not_shipped"]),
    ]
    if content.tracking:
        parcel.append((words["parcel.tracking"], content.tracking))
    panels = Panel(words["ship_to.heading"], ship_to), Panel(words["parcel.heading"], tuple(parcel))
    return [twin_panels("ship to", *panels, width, _LABELS, words.look.strip)]


def _contents(content: PackingSlip, words: Wording, width: float) -> list[Block]:
    blocks: list[Block] = []
    for part in content.parcels:
        blocks += _wearer(part, words, width)
    return blocks


def _wearer(part: PackedFor, words: Wording, width: float) -> list[Block]:
    """Set one wearer's things under the wearer's name."""
    title = words.fill("contents.wearer", wearer=part.wearer) if part.wearer else words["contents.nobody"]
    marks, height = paragraph(title, 0, 10, width, HEADING)
    heads = tuple(words[f"contents.{key}"] for key in ("quantity", "job", "description"))
    head = TableHead(heads, ("right", "right", "left"), grows=2)
    rows = table(f"parcel of {part.wearer}", head, [_cells(item, words) for item in part.items], width, words.look)
    rows[-1] = replace(rows[-1], with_next=False)
    return [Block(title, height + 14, marks, with_next=True), *rows]


def _cells(item: PackedItem, words: Wording) -> tuple[str, str, str]:
    description = item.description
    if item.extras:
        description = f"{description}\n{words.fill('contents.extras', extras=', '.join(item.extras))}"
    return str(item.quantity), str(item.job_number) if item.job_number else "", description


def _care(content: PackingSlip, words: Wording, width: float) -> list[Block]:
    """Set the owner's care words, and that demonstration lenses are out, where there are glasses."""
    if not content.glasses:
        return []
    blocks = [heading("care", words["care.heading"], width, space_before=12)]
    for sentence in words.listed("care.sentences"):
        blocks += text_block("care", sentence, width)
    return [*blocks, *text_block("demonstration lenses", words["care.demo"], width, STRONG, space_before=6)]


def _reach(content: PackingSlip, words: Wording, width: float) -> list[Block]:
    shop = content.shop
    lines = (
        words.fill("reach.phone", phone=shop.phone) if shop.phone else "",
        words.fill("reach.email", email=shop.email) if shop.email else "",
        words.fill("reach.post", shop=shop.name, address=", ".join(shop.address)),
    )
    blocks = [gap("reach", 4), heading("reach", words["reach.heading"], width, space_before=8)]
    for words_of_line in filter(None, lines):
        blocks += text_block("reach", words_of_line, width)
    return blocks


_PARTS: Final[Mapping[str, _Part]] = MappingProxyType(
    {"ship_to": _ship_to, "contents": _contents, "care": _care, "reach": _reach}
)
