"""The order confirmation and the quote: one layout with two wordings, each saying that it is not a receipt."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Final, TypeAlias

from shopledger.ledger.papers.order_summary import OrderSummary, SummaryGroup
from shopledger.money.amount import write_amount
from shopledger.paperwork.blocks import Block, Panel, column_heads, gap, paragraph, strong_box, text_block, twin_panels
from shopledger.paperwork.flow import page_layout
from shopledger.paperwork.fonts import respelled
from shopledger.paperwork.furniture import head_block, shop_head
from shopledger.paperwork.page import Document, save
from shopledger.paperwork.paper import NO_SPELLINGS, Labels, assembled
from shopledger.paperwork.refusals import DisagreeingTotalsError
from shopledger.paperwork.tables import TableHead, fitted, kept_at_ends, ruled_row, sums
from shopledger.paperwork.typeset import STRONG
from shopledger.paperwork.wording import Wording, read_wording

_LABELS: Final = 62.0
_KEYS: Final = ("description", "quantity", "list_price", "reduction", "net")
_Part: TypeAlias = Callable[[OrderSummary, Wording, float], list[Block]]


def order_pdf(
    content: OrderSummary,
    target: Path,
    *,
    paper: str = "letter",
    wording: Wording | None = None,
    spellings: Mapping[str, str] = NO_SPELLINGS,
) -> Path:
    """Write the confirmation or quote to `target`, whole or not at all; give back where it lies."""
    return save(order_document(content, paper=paper, wording=wording, spellings=spellings), target)


def order_document(
    content: OrderSummary,
    *,
    paper: str = "letter",
    wording: Wording | None = None,
    spellings: Mapping[str, str] = NO_SPELLINGS,
) -> Document:
    """Give the paper as placed boxes on pages, not yet painted; the options are those of `order_pdf`.

    Content with a last day is a quote and takes the wording `quote`, any other takes `confirmation`.
    """
    _demand(content)
    words = wording or read_wording(wording_of(content))
    said = respelled(content, spellings)
    sheet = page_layout(paper)
    width = sheet.frame_width
    number = words.fill("titles.number", number=said.number, until=_until(said, words))
    facts = (words.fill("titles.day", day=words.day(said.day)),)
    blocks = [head_block(shop_head(said.shop, words, words["titles.paper"], number, facts), words.look, width)]
    for part in words.listed("order"):
        blocks += _PARTS[part](said, words, width)
    labels = Labels(
        title=f"{words['titles.paper']}, {number}",
        author=said.shop.name,
        subject=said.customer,
        continued=words.fill("titles.continued", number=said.number, customer=said.customer),
        foot=words.fill("marks.foot", number=said.number),
    )
    return assembled(blocks, labels, words, sheet)


def wording_of(content: OrderSummary) -> str:
    """Name the wording that the content takes: quote or confirmation."""
    return "quote" if content.valid_until else "confirmation"


def _demand(content: OrderSummary) -> None:
    """Refuse lines that do not add up."""
    net = sum(line.net for group in content.groups for line in group.lines)
    for sum_of, come_to, stated in (
        ("the lines", net, content.net_total),
        ("net and tax", net + content.tax, content.total),
    ):
        if come_to != stated:
            raise DisagreeingTotalsError("order's paper", sum_of, write_amount(come_to), write_amount(stated))


def _until(content: OrderSummary, words: Wording) -> str:
    return words.day(content.valid_until) if content.valid_until else ""


def _parties(content: OrderSummary, words: Wording, width: float) -> list[Block]:
    customer = (
        (words["customer.name"], content.customer),
        (words["customer.address"], "\n".join(content.customer_lines)),
    )
    ship_to = ((words["ship_to.address"], "\n".join(content.ship_to)),)
    panels = Panel(words["customer.heading"], customer), Panel(words["ship_to.heading"], ship_to)
    return [twin_panels("parties", *panels, width, _LABELS, words.look.strip)]


def _lines(content: OrderSummary, words: Wording, width: float) -> list[Block]:
    """Set the lines group by group on shared columns, then the sums."""
    head = TableHead(tuple(words[f"lines.{key}"] for key in _KEYS), ("left", "right", "right", "right", "right"))
    cells = [_cells(group) for group in content.groups]
    columns = fitted("the table of lines", head, [row for rows in cells for row in rows], width)
    heads = column_heads("lines", head.heads, columns, width, words.look.strip)
    rows: list[Block] = []
    for group, texts in zip(content.groups, cells, strict=True):
        rows.append(_group_heading(group, words, width))
        rows += [ruled_row("line", row, columns, width, words.look) for row in texts]
    running = [Block(block.name, block.height, block.marks, block.with_next, heads) for block in rows]
    return [gap("lines", 9), heads, *kept_at_ends(running), sums("sums", _sums(content, words), width, strong=(4, -1))]


def _cells(group: SummaryGroup) -> list[tuple[str, ...]]:
    return [
        (
            line.description,
            str(line.quantity),
            write_amount(line.list_price),
            write_amount(line.reduction),
            write_amount(line.net),
        )
        for line in group.lines
    ]


def _group_heading(group: SummaryGroup, words: Wording, width: float) -> Block:
    title = words["lines.other"]
    if group.position:
        title = words.fill("lines.pair", position=group.position, wearer=group.wearer, title=group.title)
    marks, height = paragraph(title, 4, 4, width - 8, STRONG)
    return Block("group", height + 6, marks, with_next=True)


def _sums(content: OrderSummary, words: Wording) -> list[tuple[str, str]]:
    """Give the sums; paid and balance only where an order exists on which something can be paid."""
    entries = [
        ("list_total", content.list_total),
        ("reduction", -content.reduction_total),
        ("net", content.net_total),
        ("tax", content.tax),
        ("total", content.total),
    ]
    if not content.valid_until:
        entries += [("paid", -content.paid), ("balance", content.balance)]
    return [(words[f"sums.{key}"], write_amount(cents)) for key, cents in entries]


def _outcome(content: OrderSummary, words: Wording, width: float) -> list[Block]:
    return strong_box("not a receipt", words.fill("outcome.plain", number=content.number), width)


def _notices(content: OrderSummary, words: Wording, width: float) -> list[Block]:
    terms = words.fill("notices.terms", until=_until(content, words))
    back: list[Block] = []
    if content.refunded:
        back = text_block("refunded", words.fill("notices.refunded", refunded=write_amount(content.refunded)), width)
    return [
        gap("notices", 5),
        *back,
        *text_block("terms", terms, width),
        *text_block("currency", words["notices.currency"], width),
    ]


_PARTS: Final[Mapping[str, _Part]] = MappingProxyType(
    {"parties": _parties, "lines": _lines, "outcome": _outcome, "notices": _notices}
)
