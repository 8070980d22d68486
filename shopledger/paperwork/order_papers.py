"""The papers of an order: the packing slip, and confirmation and quote, which are one layout with two wordings."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType
from typing import Any, Final

from shopledger.ledger.pair_words import names_in_a_row
from shopledger.ledger.papers.order_summary import OrderSummary, SummaryGroup, SummaryLine, order_confirmation
from shopledger.ledger.papers.packing_slip import PackedFor, PackedItem, PackingSlip, packing_slip
from shopledger.money.amount import write_amount
from shopledger.paperwork.blocks import (
    Align,
    Block,
    column_heads,
    gap,
    heading,
    panel_of,
    strong_box,
    text_block,
    twin_panels,
)
from shopledger.paperwork.paper import Flowing, OrderPaper, Paper
from shopledger.paperwork.refusals import DisagreeingTotalsError
from shopledger.paperwork.samples import CHILD, CUSTOMER, HOME, SHOP
from shopledger.paperwork.tables import (
    TableHead,
    amounts,
    fitted,
    gone_on,
    group_heading,
    kept_at_ends,
    ruled_row,
    sums,
)
from shopledger.paperwork.typeset import NOTE, STRONG
from shopledger.paperwork.wording import Wording

_LABELS: Final = 62.0
_KEYS: Final = ("description", "quantity", "list_price", "reduction", "net")
_FEW: Final = 8
_BACK: Final = ("given_back", "kept")
"""Told beside each line where something was given back or taken off."""


def _ship_to(content: PackingSlip, words: Wording, width: float) -> list[Block]:
    ship_to = {"name": content.customer, "address": "\n".join(content.ship_to)}
    parcel = {
        "order": str(content.order_number),
        "glasses": str(content.glasses or "") or None,
        "own_frames": str(content.own_frames or "") or None,
        "goods": str(content.goods or "") or None,
        "carrier": content.carrier or words["parcel.not_shipped"],
        "tracking": content.tracking or None,
    }
    panels = panel_of(words, "ship_to", ship_to), panel_of(words, "parcel", parcel)
    return [twin_panels("ship to", *panels, width, _LABELS, words.look.strip)]


def _contents(content: PackingSlip, words: Wording, width: float) -> list[Block]:
    """Set what lies in the parcel wearer by wearer on shared columns, then what goes in other parcels."""
    heads = words.each("contents", ("quantity", "job", "description"))
    head = TableHead(heads, ("right", "right", "left"), grows=2)
    cells = [[_item_cells(item, words) for item in part.items] for part in content.parcels]
    columns = fitted("the table of contents", head, [row for rows in cells for row in rows], width)
    strip = column_heads("contents", heads, columns, width, words.look.strip)
    rows: list[Block] = []
    for part, texts in zip(content.parcels, cells, strict=True):
        title = words.fill("contents.wearer", wearer=part.wearer) if part.wearer else words["contents.nobody"]
        again = gone_on(words.fill("contents.continued", group=title), strip, width, len(columns))
        rows.append(replace(group_heading("group", title, width, len(columns)), running=strip))
        rows += [replace(ruled_row("item", row, columns, width, words.look), running=again) for row in texts]
    said = [
        words.fill("contents.apart", day=words.day(each.day), what="; ".join(each.contents)) for each in content.apart
    ]
    said += [words.fill("contents.follows", what="; ".join(content.follows))] if content.follows else []
    blocks = [gap("contents", 9), strip, *rows]
    for sentence in said:
        blocks += text_block("other parcels", sentence, width, STRONG, space_before=6)
    return blocks


def _item_cells(item: PackedItem, words: Wording) -> tuple[str, str, str]:
    said = (
        item.description,
        words.fill("contents.extras", extras=names_in_a_row(item.extras)) if item.extras else "",
        words["contents.own_frame"] if item.own_frame else "",
        words.fill("contents.new_lens", side=words.word("contents", item.new_lens)) if item.new_lens else "",
        words[f"contents.demo_{item.demo_lenses}"] if item.demo_lenses else "",
    )
    return str(item.quantity), str(item.job_number) if item.job_number else "", "\n".join(filter(None, said))


def _care(content: PackingSlip, words: Wording, width: float) -> list[Block]:
    """Set how lenses are worn and cared for, and when not to, where there are some: only what fits the parcel."""
    if not content.glasses + content.own_frames:
        return []
    worn = [words[f"care.{kind}"] for kind in content.care]
    parts = (
        ("care", [*worn, *words.listed("care.sentences")]),
        ("stop", [*words.listed("stop.sentences")]),
    )
    blocks: list[Block] = []
    for part, sentences in parts:
        blocks.append(heading(part, words[f"{part}.heading"], width, space_before=8))
        for sentence in sentences:
            blocks += text_block(part, sentence, width, NOTE, space_before=2)
    return blocks


def _reach(content: PackingSlip, words: Wording, width: float) -> list[Block]:
    shop = content.shop
    lines = (
        words.fill("reach.phone", phone=shop.phone) if shop.phone else "",
        words.fill("reach.email", email=shop.email) if shop.email else "",
        words.fill("reach.post", shop=shop.name, address=", ".join(shop.address)),
    )
    blocks = [heading("reach", words["reach.heading"], width, space_before=8)]
    return [*blocks, *text_block("reach", " ".join(filter(None, lines)), width, NOTE, space_before=2)]


def _refuse(content: OrderSummary) -> None:
    """Refuse lines that do not add up."""
    net = sum(line.net for group in content.groups for line in group.lines)
    kept_money = content.paid - content.refunded
    for sum_of, come_to, stated in (
        ("the lines", net, content.net_total),
        ("net and tax", net + content.tax, content.total),
        ("total less payments", content.stands - content.written_off - kept_money, content.balance),
    ):
        if come_to != stated:
            raise DisagreeingTotalsError("order's paper", sum_of, write_amount(come_to), write_amount(stated))


def _until(content: OrderSummary, words: Wording) -> str:
    return words.day(content.valid_until) if content.valid_until else ""


def _parties(content: OrderSummary, words: Wording, width: float) -> list[Block]:
    customer = {"name": content.customer, "address": "\n".join(content.customer_lines)}
    ship_to = {"address": "\n".join(content.ship_to)}
    panels = panel_of(words, "customer", customer), panel_of(words, "ship_to", ship_to)
    return [twin_panels("parties", *panels, width, _LABELS, words.look.strip)]


def _priced_lines(content: OrderSummary, words: Wording, width: float) -> list[Block]:
    """Set the lines group by group on shared columns, then the sums, which lead to the outcome."""
    keys = (*_KEYS, *_BACK) if content.given_back else _KEYS
    aligned: tuple[Align, ...] = ("left", "right", "right", "right", "right", "right", "right")
    head = TableHead(words.each("lines", keys), aligned[: len(keys)])
    cells = [[row[: len(keys)] for row in _line_cells(group)] for group in content.groups]
    columns = fitted("the table of lines", head, [row for rows in cells for row in rows], width)
    heads = column_heads("lines", head.heads, columns, width, words.look.strip)
    rows: list[Block] = []
    for group, texts in zip(content.groups, cells, strict=True):
        title = _group_title(group, words)
        again = gone_on(words.fill("lines.continued", group=title), heads, width, len(columns))
        rows.append(replace(group_heading("group", title, width, len(columns)), running=heads))
        lines = (ruled_row("line", row, columns, width, words.look) for row in texts)
        rows += _together([replace(block, running=again) for block in lines])
    return [
        gap("lines", 9),
        heads,
        *kept_at_ends(rows),
        replace(sums("sums", _summed(content, words), width, strong=(4, -1)), with_next=True),
    ]


def _together(rows: Sequence[Block]) -> list[Block]:
    """Keep the few lines of a pair on one page; what has many may be parted."""
    few = len(rows) <= _FEW
    return [replace(block, with_next=few and at < len(rows)) for at, block in enumerate(rows, start=1)]


def _line_cells(group: SummaryGroup) -> list[tuple[str, ...]]:
    return [
        (
            line.description,
            str(line.quantity),
            write_amount(line.list_price),
            write_amount(line.reduction),
            write_amount(line.net),
            write_amount(-line.given_back),
            write_amount(line.kept),
        )
        for line in group.lines
    ]


def _group_title(group: SummaryGroup, words: Wording) -> str:
    if group.position:
        return words.fill("lines.pair", position=group.position, wearer=group.wearer, title=group.title)
    return words["lines.other"]


def _summed(content: OrderSummary, words: Wording) -> list[tuple[str, str]]:
    """Give the sums; paid and balance only where an order exists on which something can be paid."""
    entries = [
        ("list_total", content.list_total),
        ("reduction", -content.reduction_total),
        ("net", content.net_total),
        ("tax", content.tax),
        ("total", content.total),
    ]
    if content.given_back:
        entries += [("given_back", -content.given_back), ("stands", content.stands)]
    if not content.valid_until:
        entries += [("paid", -content.paid)]
        entries += [("refunded", content.refunded)] if content.refunded else []
        entries += [("written_off", -content.written_off)] if content.written_off else []
        entries += [("balance", content.balance)]
    return amounts(words, "sums", entries)


def _outcome(content: OrderSummary, words: Wording, width: float) -> list[Block]:
    """Say what the paper is not; a notice alone makes no page of its own."""
    *before, box = strong_box("not a receipt", words.fill("outcome.plain", number=content.number), width)
    return [*before, replace(box, with_next=True)]


def _notices(content: OrderSummary, words: Wording, width: float) -> list[Block]:
    terms = words.fill("notices.terms", until=_until(content, words))
    blocks = [*text_block("terms", terms, width), *text_block("currency", words["notices.currency"], width)]
    return [gap("notices", 5), *(replace(block, with_next=True) for block in blocks[:-1]), blocks[-1]]


def _sample_packing() -> PackingSlip:
    """Give a slip for two wearers with goods beside the glasses."""
    return PackingSlip(
        order_number=311,
        day="2026-03-09",
        shop=SHOP,
        customer=CUSTOMER,
        ship_to=HOME,
        carrier="post",
        tracking="9400 1000 0000 0000 0000 00",
        parcels=(
            PackedFor(
                CUSTOMER,
                (
                    PackedItem(
                        "Even progressive in Harrow Row Finch, moss", 1, 57, ("Anti-reflective coating",),
                        demo_lenses="out",
                    ),
                    PackedItem("Clear single vision, for reading in Harrow Row Lark, brick", 1, 58, own_frame=True),
                    PackedItem("Hard case", 2),
                ),
            ),
            PackedFor(CHILD, (PackedItem("Tough single vision in Harrow Row Wren, sand", 1, 59),)),
            PackedFor(
                "",
                (
                    PackedItem("Harrow Row Wren, moss, without lenses", 1, demo_lenses="marked"),
                    PackedItem("Cleaning kit", 1),
                ),
            ),
        ),
        care=("prescribed", "progressive", "near"),
    )  # fmt: skip


def _sample_confirmation() -> OrderSummary:
    """Give an order of one pair with a part paid."""
    pair = (
        SummaryLine("Harrow Row Finch, moss, 50-19-140", 1, 16800, 0, 16800),
        SummaryLine("Even progressive", 1, 26000, 0, 26000),
        SummaryLine("Anti-reflective coating", 1, 12995, 2599, 10396),
    )
    other = (SummaryLine("Hard case", 2, 2400, 0, 2400), SummaryLine("Shipping", 1, 650, 0, 650))
    listed, reduced = 58845, 2599
    return OrderSummary(
        number=311,
        day="2026-02-27",
        valid_until="",
        shop=SHOP,
        customer=CUSTOMER,
        customer_lines=HOME,
        ship_to=HOME,
        groups=(
            SummaryGroup(1, "Even progressive in Harrow Row Finch, moss, 50-19-140", CUSTOMER, pair),
            SummaryGroup(0, "", "", other),
        ),
        list_total=listed,
        reduction_total=reduced,
        net_total=listed - reduced,
        tax=174,
        total=listed - reduced + 174,
        paid=30000,
        balance=listed - reduced + 174 - 30000,
    )


def _sample_quote() -> OrderSummary:
    """Give the same goods as a quote."""
    order = _sample_confirmation()
    return replace(order, number=0, valid_until="2026-03-29", paid=0, balance=order.total)


def _made_on(content: OrderSummary, words: Wording) -> tuple[str, ...]:
    return (words.fill("titles.day", day=words.day(content.day)),)


def _summary_names(content: OrderSummary, words: Wording) -> dict[str, object]:
    return {"number": content.number, "until": _until(content, words), "customer": content.customer}


_SUMMARY: Final = Flowing({"parties": _parties, "lines": _priced_lines, "outcome": _outcome, "notices": _notices})

PACKING: Final = OrderPaper(
    key="packing",
    command="paper slip",
    file="slip",
    sample=_sample_packing,
    make=packing_slip,
    body=Flowing({"ship_to": _ship_to, "contents": _contents, "care": _care, "reach": _reach}),
    shop=lambda slip: slip.shop,
    day=lambda slip: slip.day,
    names=lambda slip, _: {"number": slip.order_number, "customer": slip.customer},
    subject="customer",
    facts=lambda slip, words: (words.fill("titles.day", day=words.day(slip.day)),),
)

CONFIRMATION: Final = OrderPaper(
    key="confirmation",
    command="paper confirmation",
    sample=_sample_confirmation,
    make=order_confirmation,
    body=_SUMMARY,
    shop=lambda order: order.shop,
    day=lambda order: order.day,
    names=_summary_names,
    subject="customer",
    facts=_made_on,
    refuse=_refuse,
)

QUOTE: Final = Paper(
    key="quote",
    command="paper quote",
    sample=_sample_quote,
    body=_SUMMARY,
    shop=lambda order: order.shop,
    day=lambda order: order.day,
    names=_summary_names,
    subject="customer",
    facts=_made_on,
    refuse=_refuse,
)

ORDER_PAPERS: Final[Mapping[str, OrderPaper[Any]]] = MappingProxyType(
    {paper.key: paper for paper in (PACKING, CONFIRMATION)}
)
"""The papers that any recorded order has, by key."""
