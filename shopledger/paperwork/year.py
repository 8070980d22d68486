"""The year statement of a customer: what was paid in a calendar year for each wearer, by day and order, with sums."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Final, TypeAlias

from shopledger.ledger.papers.year_statement import YearRow, YearStatement, YearSums, YearWearer
from shopledger.money.amount import write_amount
from shopledger.paperwork.blocks import (
    Align,
    Block,
    Panel,
    column_heads,
    gap,
    heading,
    paragraph,
    row,
    text_block,
    twin_panels,
)
from shopledger.paperwork.flow import page_layout
from shopledger.paperwork.fonts import respelled
from shopledger.paperwork.furniture import head_block, shop_head
from shopledger.paperwork.page import Document, save
from shopledger.paperwork.paper import NO_SPELLINGS, Labels, assembled
from shopledger.paperwork.refusals import DisagreeingTotalsError
from shopledger.paperwork.tables import TableHead, fitted, kept_at_ends, ruled_row, sums
from shopledger.paperwork.typeset import HEADING, STRONG
from shopledger.paperwork.wording import Wording, read_wording

_LABELS: Final = 62.0
_SUMS: Final = ("eligible", "plan_decides", "not_eligible", "shipping_and_tax", "total")
_ALIGNED: Final[tuple[Align, ...]] = ("left", "right", "left", "right", "right", "right", "right", "right")
_Part: TypeAlias = Callable[[YearStatement, Wording, float], list[Block]]


def year_pdf(
    content: YearStatement,
    target: Path,
    *,
    paper: str = "letter",
    wording: Wording | None = None,
    spellings: Mapping[str, str] = NO_SPELLINGS,
) -> Path:
    """Write the statement to `target`, whole or not at all; give back where it lies."""
    return save(year_document(content, paper=paper, wording=wording, spellings=spellings), target)


def year_document(
    content: YearStatement,
    *,
    paper: str = "letter",
    wording: Wording | None = None,
    spellings: Mapping[str, str] = NO_SPELLINGS,
) -> Document:
    """Give the statement as placed boxes on pages, not yet painted; the options are those of `year_pdf`."""
    _demand(content)
    words = wording or read_wording("year")
    said = respelled(content, spellings)
    sheet = page_layout(paper)
    width = sheet.frame_width
    number = words.fill("titles.number", year=said.year)
    facts = (words.fill("titles.made", day=words.day(said.made_on)),)
    blocks = [head_block(shop_head(said.shop, words, words["titles.paper"], number, facts), words.look, width)]
    for part in words.listed("order"):
        blocks += _PARTS[part](said, words, width)
    labels = Labels(
        title=f"{words['titles.paper']}, {number}",
        author=said.shop.name,
        subject=said.customer,
        continued=words.fill("titles.continued", year=said.year, customer=said.customer),
        foot=words.fill("marks.foot", year=said.year),
        small=words.fill("marks.ledger", head=said.ledger_head) if said.ledger_head else "",
    )
    return assembled(blocks, labels, words, sheet)


def _demand(content: YearStatement) -> None:
    """Refuse rows that do not add up to what is stated."""
    rows = sum(row.sums.total for wearer in content.wearers for row in wearer.rows)
    if rows != content.sums.total:
        raise DisagreeingTotalsError(
            "year statement", "the payments", write_amount(rows), write_amount(content.sums.total)
        )


def _customer(content: YearStatement, words: Wording, width: float) -> list[Block]:
    customer = (
        (words["customer.name"], content.customer),
        (words["customer.address"], "\n".join(content.customer_lines)),
    )
    year = (
        (words["year.from"], words.day(f"{content.year:04d}-01-01")),
        (words["year.to"], words.day(f"{content.year:04d}-12-31")),
        (words["year.total"], write_amount(content.sums.total)),
    )
    panels = Panel(words["customer.heading"], customer), Panel(words["year.heading"], year)
    return [twin_panels("customer", *panels, width, _LABELS, words.look.strip)]


def _wearers(content: YearStatement, words: Wording, width: float) -> list[Block]:
    """Set each wearer's payments on columns that all wearers share."""
    if not content.wearers:
        return text_block("nothing", words["wearers.none"], width, STRONG, space_before=10)
    heads = tuple(words[f"wearers.{key}"] for key in ("day", "order", "goods", *_SUMS))
    head = TableHead(heads, _ALIGNED, grows=2, least=70)
    cells = [[_cells(each, words) for each in wearer.rows] for wearer in content.wearers]
    widest = [row for rows in cells for row in rows] + [("", "", "", *_amounts(content.sums))]
    columns = fitted("the table of payments", head, widest, width, STRONG)
    strip = column_heads("payments", heads, columns, width, words.look.strip)
    blocks: list[Block] = []
    for wearer, rows in zip(content.wearers, cells, strict=True):
        ruled = kept_at_ends([ruled_row("payment", row, columns, width, words.look) for row in rows])
        running = [Block(block.name, block.height, block.marks, block.with_next, strip) for block in ruled]
        total = row("sum", ("", "", words["wearers.sum"], *_amounts(wearer.sums)), columns, STRONG, pad=2)
        blocks += [_name(wearer, words, width), strip, *running, total]
    return blocks


def _name(wearer: YearWearer, words: Wording, width: float) -> Block:
    title = words.fill("wearers.wearer", wearer=wearer.name) if wearer.name else words["wearers.nobody"]
    marks, height = paragraph(title, 0, 10, width, HEADING)
    return Block("wearer", height + 14, marks, with_next=True)


def _cells(entry: YearRow, words: Wording) -> tuple[str, ...]:
    goods = ", ".join(words.word("goods", kind) for kind in entry.goods.split(", "))
    return words.day(entry.day), str(entry.order_number), goods, *_amounts(entry.sums)


def _amounts(given: YearSums) -> tuple[str, ...]:
    return tuple(write_amount(getattr(given, key)) for key in _SUMS)


def _total(content: YearStatement, words: Wording, width: float) -> list[Block]:
    """Set the sums of all wearers."""
    shown = [(words.fill(f"total.{key}", year=content.year), write_amount(getattr(content.sums, key))) for key in _SUMS]
    title = heading("total", words["total.heading"], width, space_before=12)
    return [title, sums("total", shown, width, strong=(0, -1))]


def _notices(content: YearStatement, words: Wording, width: float) -> list[Block]:
    del content
    blocks = [gap("notices", 8)]
    for key in ("rule", "decides", "once"):
        blocks += text_block(key, words[f"notices.{key}"], width)
    return blocks


_PARTS: Final[Mapping[str, _Part]] = MappingProxyType(
    {"customer": _customer, "wearers": _wearers, "total": _total, "notices": _notices}
)
