"""What the new lenses cost today: each line with list price, reduction and net, then tax and the sum."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from shopledger.ledger.papers.reorder_record import ReorderRecord
from shopledger.money.amount import write_amount
from shopledger.paperwork.blocks import Block, Column, column_heads, heading, row, text_block
from shopledger.paperwork.marks import Rule
from shopledger.paperwork.typeset import NOTE, STRONG
from shopledger.paperwork.wording import Wording

_AMOUNTS: Final = 0.13
"""Share of the width of each column of amounts."""

_TOGETHER: Final = 8
"""Up to so many lines the table is not broken between pages."""


def price_blocks(sheet: ReorderRecord, wording: Wording, width: float) -> list[Block]:
    """Set the lines and the sum; nothing where nothing was priced."""
    price = sheet.price
    if price is None:
        return []
    share = width * _AMOUNTS
    columns = (
        Column(4, width - 3 * share - 12),
        *(Column(width - left * share, share - 6, "right") for left in (3, 2)),
        Column(width - share, share - 4, "right"),
    )
    head = column_heads(
        "price", [wording[f"price.{key}"] for key in ("what", "list", "off", "net")], columns, width, wording.look.strip
    )
    rows = [
        row(
            "price",
            (
                each.description,
                write_amount(each.list_price),
                write_amount(each.reduction) if each.reduction else "",
                write_amount(each.net),
            ),
            columns,
            pad=1.5,
        )
        for each in price.lines
    ]
    rows.append(row("price", (wording["price.tax"], "", "", write_amount(price.tax)), columns, pad=1.5))
    total = row("price total", (wording["price.total"], "", "", write_amount(price.total)), columns, STRONG, pad=1.5)
    rule = Rule(0, 0, width, 0, 0.6)
    short = len(rows) <= _TOGETHER
    kept = [replace(block, running=head, with_next=short) for block in rows]
    kept[-1] = replace(kept[-1], with_next=True)
    top = heading("price", wording.fill("price.heading", day=wording.day(sheet.day)), width)
    return [
        top,
        head,
        *kept,
        replace(total, marks=(rule, *total.marks), with_next=True),
        *text_block("price note", wording["price.note"], width, NOTE, space_before=1.0),
    ]
