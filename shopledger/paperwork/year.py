"""The year statement of a customer: what was paid in a calendar year for each wearer, by day and order, with sums."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from shopledger.ledger.papers.year_statement import YearRow, YearStatement, YearSums, YearWearer
from shopledger.money.amount import write_amount
from shopledger.paperwork.blocks import (
    Align,
    Block,
    column_heads,
    gap,
    heading,
    panel_of,
    paragraph,
    row,
    text_block,
    twin_panels,
)
from shopledger.paperwork.marks import Element, Kind
from shopledger.paperwork.paper import Paper
from shopledger.paperwork.refusals import DisagreeingTotalsError
from shopledger.paperwork.samples import CHILD, CUSTOMER, HEAD, HOME, SHOP
from shopledger.paperwork.snug import PAD, snug
from shopledger.paperwork.tables import TableHead, amounts, fitted, gone_on, kept_at_ends, ruled, sums
from shopledger.paperwork.typeset import HEADING, STRONG
from shopledger.paperwork.wording import Wording

_LABELS: Final = 62.0
_SUMS: Final = ("eyewear", "others", "shipping_and_tax", "total")
_ALIGNED: Final[tuple[Align, ...]] = ("left", "right", "left", "right", "right", "right", "right")


def _refuse(content: YearStatement) -> None:
    """Refuse rows that do not add up to what is stated."""
    rows = sum(row.sums.total for wearer in content.wearers for row in wearer.rows)
    if rows != content.sums.total:
        raise DisagreeingTotalsError(
            "year statement", "the payments", write_amount(rows), write_amount(content.sums.total)
        )


def _customer(content: YearStatement, words: Wording, width: float, _: float) -> list[Block]:
    customer = {"name": content.customer, "address": "\n".join(content.customer_lines)}
    year = {
        "from": words.day(f"{content.year:04d}-01-01"),
        "to": words.day(f"{content.year:04d}-12-31"),
        "total": write_amount(content.sums.total),
    }
    panels = panel_of(words, "customer", customer), panel_of(words, "year", year)
    return [twin_panels("customer", *panels, width, _LABELS, words.look.strip)]


def _wearers(content: YearStatement, words: Wording, width: float, room: float) -> list[Block]:
    """Set each wearer's payments on columns that all wearers share."""
    if not content.wearers:
        return text_block("nothing", words["wearers.none"], width, STRONG, space_before=10 * room)
    heads = words.each("wearers", ("day", "order", "goods", *_SUMS))
    head = TableHead(heads, _ALIGNED, grows=2, least=70)
    cells = [[_cells(each, words) for each in wearer.rows] for wearer in content.wearers]
    widest = [row for rows in cells for row in rows] + [("", "", "", *_amounts(content.sums))]
    columns = fitted("the table of payments", head, widest, width, STRONG)
    strip = column_heads("payments", heads, columns, width, words.look.strip)
    blocks: list[Block] = []
    for wearer, payments in zip(content.wearers, cells, strict=True):
        name = words.fill("wearers.wearer", wearer=wearer.name) if wearer.name else words["wearers.nobody"]
        running = gone_on(words.fill("wearers.continued", wearer=name), strip, width, len(columns))
        rows = [ruled(row("payment", each, columns, pad=PAD * room), width, words.look) for each in payments]
        total = row("sum", ("", "", words["wearers.sum"], *_amounts(wearer.sums)), columns, STRONG, pad=PAD * room)
        blocks += [_name(name, width, room), strip]
        blocks += [*(replace(block, running=running) for block in kept_at_ends(rows)), total]
    return blocks


def _name(name: str, width: float, room: float) -> Block:
    marks, height = paragraph(name, 0, 10 * room, width, HEADING)
    return Block("wearer", height + 10 * room + 4, (Element(Kind.HEADING, marks),), with_next=True)


def _cells(entry: YearRow, words: Wording) -> tuple[str, ...]:
    goods = ", ".join(words.word("goods", kind) for kind in entry.goods.split(", "))
    return words.day(entry.day), str(entry.order_number), goods, *_amounts(entry.sums)


def _amounts(given: YearSums) -> tuple[str, ...]:
    return tuple(write_amount(getattr(given, key)) for key in _SUMS)


def _total(content: YearStatement, words: Wording, width: float, room: float) -> list[Block]:
    """Set the sums of all wearers."""
    shown = amounts(words, "total", ((key, getattr(content.sums, key)) for key in _SUMS), year=content.year)
    title = heading("total", words["total.heading"], width, space_before=12 * room)
    return [title, sums("total", shown, width, strong=(0, -1))]


def _notices(content: YearStatement, words: Wording, width: float, room: float) -> list[Block]:
    del content
    blocks = [gap("notices", 8 * room)]
    for key in ("rule", "decides", "once"):
        blocks += text_block(key, words[f"notices.{key}"], width, space_before=3 * room)
    return blocks


def _sample() -> YearStatement:
    """Give a year with two wearers and something given back."""
    first, second = YearSums(51000, 2100, 802), YearSums(0, -900, 0)
    child = YearSums(17900, 0, 325)
    own = (
        YearRow(311, "2026-02-27", "frame, lenses, extra, accessory", first),
        YearRow(311, "2026-03-13", "frame, lenses, extra, accessory", second),
    )
    return YearStatement(
        year=2026,
        made_on="2027-01-05",
        shop=replace(SHOP, ein="12-3456789", npi="1234567893"),
        customer=CUSTOMER,
        customer_lines=HOME,
        wearers=(
            YearWearer(CUSTOMER, own, first.plus(second)),
            YearWearer(CHILD, (YearRow(311, "2026-02-27", "frame, lenses", child),), child),
        ),
        sums=first.plus(second).plus(child),
        ledger_head=HEAD,
    )


YEAR: Final = Paper(
    key="year",
    command="paper year",
    sample=_sample,
    body=snug({"customer": _customer, "wearers": _wearers, "total": _total, "notices": _notices}),
    shop=lambda year: year.shop,
    day=lambda year: year.made_on,
    names=lambda year, _: {"year": year.year, "customer": year.customer, "head": year.ledger_head},
    subject="customer",
    facts=lambda year, words: (words.fill("titles.made", day=words.day(year.made_on)),),
    refuse=_refuse,
)
