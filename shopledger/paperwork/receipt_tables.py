"""The table of charges on a claim receipt, pair by pair, with its totals."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from shopledger.ledger.claims.line_words import BETWEEN
from shopledger.ledger.receipt import ReceiptContent, ReceiptLine, ReceiptPair
from shopledger.money.amount import Cents, write_amount
from shopledger.paperwork.blocks import (
    Align,
    Block,
    Column,
    column_heads,
    gap,
    line,
    paragraph,
    row,
    side_by_side,
    stacked,
)
from shopledger.paperwork.marks import (
    Element,
    Kind,
    Mark,
    Marks,
    Rule,
    labelled_item,
    moved,
    paragraph_of,
    spanning_row,
    table_row,
)
from shopledger.paperwork.receipt_forms import form_of
from shopledger.paperwork.snug import PAD
from shopledger.paperwork.tables import (
    TableHead,
    fitted,
    gone_on,
    group_heading,
    group_row,
    raised,
    reason_blocks,
    ruled,
)
from shopledger.paperwork.typeset import BODY, LABEL, STRONG, Style, width_of
from shopledger.paperwork.wording import Wording

_KEYS: Final[tuple[tuple[str, Align], ...]] = (
    ("description", "left"),
    ("code", "left"),
    ("modifier", "left"),
    ("units", "right"),
    ("status", "left"),
    ("list_price", "right"),
    ("reduction", "right"),
    ("charge", "right"),
    ("given_back", "right"),
    ("kept", "right"),
)
"""Every column, and to which side it leans."""
_BACK: Final = ("given_back", "kept")
"""Heads of what is told beside each charge where something was given back or taken off."""
_TOTALS: Final = 190.0
_TOTALS_WITH_BACK: Final = 290.0
_AMOUNT: Final = 62.0
"""Width of each of several amounts beside one another."""
_TALLEST_NOTES: Final = 220.0
_INDENT: Final = 10.0


@dataclass(frozen=True, slots=True)
class ChargeTable:
    """The table's cells, column places and numbered reasons: worked out once, then set row by row."""

    heads: Block
    cells: tuple[tuple[str, ...], ...]
    columns: tuple[Column, ...]
    reasons: tuple[str, ...]
    room: float


def charge_blocks(content: ReceiptContent, wording: Wording, width: float, room: float) -> list[Block]:
    """Set the table, the totals beside the notes, and nothing between that could part them."""
    table = _table(content, wording, width, room)
    rows = list(_rows(content, table, wording, width))
    if rows:
        rows[-1] = replace(rows[-1], with_next=True)
    return [gap("lines", 9 * room), table.heads, *rows, *_totals_and_notes(content, table.reasons, wording, width)]


def _table(content: ReceiptContent, wording: Wording, width: float, room: float) -> ChargeTable:
    keys = _shown(content)
    heads = wording.each("lines", keys)
    reasons = tuple(dict.fromkeys(entry.reason for entry in content.lines if entry.reason))
    cells = [_cells(content, entry, reasons, wording) for entry in content.lines]
    chosen = [[each[key] for key in keys] for each in cells]
    aligned = TableHead(heads, tuple(align for key, align in _KEYS if key in keys))
    columns = fitted("the table of charges", aligned, chosen, width)
    strip = column_heads("column heads", heads, columns, width, wording.look.strip)
    lines = tuple((parted(words, columns[0].width), *rest) for words, *rest in chosen)
    return ChargeTable(strip, lines, columns, reasons if form_of(content).sorts_lines else (), room)


def _shown(content: ReceiptContent) -> tuple[str, ...]:
    """Name the columns that a receipt has."""
    hidden = {*(() if form_of(content).sorts_lines else ("status",)), *(() if tells_back(content) else _BACK)}
    return tuple(key for key, _ in _KEYS if key not in hidden)


def tells_back(content: ReceiptContent) -> bool:
    """Tell whether something was given back or taken off, line by line, which is told since form 3."""
    return content.form > 2 and bool(content.given_back)


def parted(words: str, width: float) -> str:
    """Let the shop's own name of goods begin a line of its own where not all fits on one."""
    first, *more = words.split("\n")
    what, between, called = first.partition(BETWEEN)
    if between and width_of(first, BODY) > width:
        first = f"{what}{between.rstrip()}\n{called}"
    return "\n".join([first, *more])


def _cells(content: ReceiptContent, entry: ReceiptLine, reasons: Sequence[str], wording: Wording) -> dict[str, str]:
    status = wording.word("reimbursement", entry.reimbursement)
    if entry.reason:
        status = f"{status} {raised(reasons.index(entry.reason) + 1)}"
    words = entry.said
    if entry.changed:
        words = f"{words}\n{wording.fill('lines.changed', number=content.replaces)}"
    return {
        "description": words,
        "code": entry.code,
        "modifier": entry.modifier,
        "units": str(entry.units),
        "status": status,
        "list_price": write_amount(entry.list_price),
        "reduction": write_amount(entry.reduction),
        "charge": write_amount(entry.charge),
        "given_back": write_amount(-entry.given_back),
        "kept": write_amount(entry.kept),
    }


def _rows(content: ReceiptContent, table: ChargeTable, wording: Wording, width: float) -> Iterator[Block]:
    """Give the rows pair by pair under their headings, then what belongs to no pair."""
    known = {pair.position: pair for pair in content.pairs}
    positions = dict.fromkeys([*known, *(entry.pair for entry in content.lines if entry.pair is not None)])
    for position in (*positions, None):
        entries = [at for at, entry in enumerate(content.lines) if entry.pair == position]
        title = ""
        if position is not None:
            title = _pair_title(position, known.get(position), wording)
            head = _pair_heading(title, position, known.get(position), wording, table, width)
            yield replace(head, running=table.heads)
        elif entries and positions:
            title = wording["lines.other"]
            others = group_heading("other items", title, width, len(table.columns), table.room)
            yield replace(others, running=table.heads)
        running = _continued(content, table, title, wording, width)
        for at in entries:
            yield replace(_charge_row(content.lines[at], table, at, wording, width), running=running)


def _continued(content: ReceiptContent, table: ChargeTable, title: str, wording: Wording, width: float) -> Block:
    """Give what stands above a row that opens a page: the heads, and of which pair and wearer the table goes on."""
    if not title or not form_of(content).repeats_pairs:
        return table.heads
    words = wording.fill("lines.continued", group=title, wearer=content.whose)
    return gone_on(words, table.heads, width, len(table.columns))


def _charge_row(entry: ReceiptLine, table: ChargeTable, at: int, wording: Wording, width: float) -> Block:
    """Set a charge; below it the offer that reduced it, over the whole width."""
    block = row("charge", table.cells[at], table.columns, pad=PAD * table.room)
    if entry.offer:
        words = wording.fill("lines.offer", offer=entry.offer, amount=write_amount(-entry.reduction))
        left = table.columns[0].x + _INDENT
        marks, height = paragraph(words, left, block.height - PAD * table.room, width - left - 4)
        below = spanning_row(Kind.CELL, marks, len(table.columns))
        block = replace(block, height=block.height + height, marks=(*block.marks, below))
    return ruled(block, width, wording.look)


def _pair_title(position: int, pair: ReceiptPair | None, wording: Wording) -> str:
    return wording.fill("lines.pair", position=position, title=pair.title if pair else "").rstrip(" –")


def _pair_heading(
    title: str, position: int, pair: ReceiptPair | None, wording: Wording, table: ChargeTable, width: float
) -> Block:
    """Set a pair's title, its job number at the right, and the powers made on the line below."""
    name, columns, room = f"pair {position}", len(table.columns), table.room
    if pair is None:
        return group_heading(name, title, width, columns, room)
    words, height = paragraph(title, 4, 4 * room, width - 68, STRONG)
    job = line(wording.fill("lines.job", number=pair.job_number), 0, 4 * room + 1, LABEL, "right", width - 4)
    height += 6 * room
    powers, taken = _powers(pair, wording, height, width)
    return group_row(name, (paragraph_of(words), paragraph_of((job,)), *powers), height + taken, columns)


def _powers(pair: ReceiptPair, wording: Wording, top: float, width: float) -> tuple[Marks, float]:
    items: list[Mark] = []
    tallest = 0.0
    half = (width - 8) / 2
    for x, key, power in ((4.0, "lines.right", pair.right), (4.0 + half, "lines.left", pair.left)):
        if power:
            label = line(wording[key], x, top + BODY.drop - LABEL.drop, LABEL)
            words, height = paragraph(_prescribed_below(power, half - 42), x + 36, top, half - 42, BODY)
            items.append(labelled_item((label,), words))
            tallest = max(tallest, height)
    return ((Element(Kind.LIST, tuple(items)),), tallest + 2) if items else ((), 0.0)


def _prescribed_below(power: str, width: float) -> str:
    """Let what was prescribed begin a line of its own where it does not fit beside the power made."""
    return power if width_of(power, BODY) <= width else power.replace(" (", "\n(", 1)


def _totals_and_notes(content: ReceiptContent, reasons: Sequence[str], wording: Wording, width: float) -> list[Block]:
    """Put the notes at the left of the totals where they fit there, else below them line by line."""
    totals = _totals_with_back(content, wording) if tells_back(content) else _totals(content, wording)
    offset = width - (_TOTALS_WITH_BACK if tells_back(content) else _TOTALS)
    beside = reason_blocks(wording["totals.currency"], wording["lines.notes"], reasons, offset - 22)
    notes = stacked("notes", beside)
    if notes.height <= _TALLEST_NOTES:
        return [side_by_side("totals and notes", replace(notes, marks=moved(notes.marks, 4, 0)), totals, offset)]
    empty = Block("notes", 0, ())
    below = reason_blocks(wording["totals.currency"], wording["lines.notes"], reasons, width - 8)
    return [side_by_side("totals", empty, totals, offset), *below]


def _totals(content: ReceiptContent, wording: Wording) -> Block:
    """Set the subtotal, shipping, tax and the total over its rule."""
    charges = sum(entry.charge for entry in content.lines)
    amounts = (("charges", charges), ("shipping", content.shipping), ("tax", content.tax))
    marks: list[Mark] = []
    top = 5.0
    for key, cents in amounts:
        marks.append(_summed(wording[f"totals.{key}"], (cents,), (_TOTALS - 4,), top, BODY))
        top += BODY.leading + 1.5
    marks.append(Rule(0, top + 1, _TOTALS, top + 1, 0.9))
    marks.append(_summed(wording["totals.total"], (content.total,), (_TOTALS - 4,), top + 4, STRONG))
    return Block("totals", top + 4 + STRONG.leading, tuple(marks), within=(Kind.TABLE,))


def _summed(label: str, money: Sequence[Cents], right: Sequence[float], top: float, style: Style) -> Element:
    """Set a label and its amounts, each up to its right end."""
    set_money = (line(write_amount(cents), 0, top, style, "right", at) for cents, at in zip(money, right, strict=True))
    return table_row(((Kind.ROW_HEAD, (line(label, 0, top, style),)), *((Kind.CELL, (each,)) for each in set_money)))


def _totals_with_back(content: ReceiptContent, wording: Wording) -> Block:
    """Set the same sums as charged, as given back or taken off, and as they stand."""
    lines = content.lines
    sums = (
        ("charges", sum(entry.charge for entry in lines), sum(entry.given_back for entry in lines)),
        ("shipping", content.shipping, content.shipping_back),
        ("tax", content.tax, content.tax_back),
        ("total", content.total, content.given_back),
    )
    right = [_TOTALS_WITH_BACK - 4 - _AMOUNT * more for more in (2, 1, 0)]
    heads = wording.each("lines", ("charge", *_BACK))
    over = (line(head, 0, 4, LABEL, "right", at) for head, at in zip(heads, right, strict=True))
    marks: list[Mark] = [table_row(((Kind.COLUMN_HEAD, ()), *((Kind.COLUMN_HEAD, (each,)) for each in over)))]
    top = 4 + LABEL.leading
    for key, charged, back in sums:
        style = STRONG if key == "total" else BODY
        if key == "total":
            marks.append(Rule(0, top + 1, _TOTALS_WITH_BACK, top + 1, 0.9))
            top += 4
        marks.append(_summed(wording[f"totals.{key}"], (charged, -back, charged - back), right, top, style))
        top += style.leading + 1.5
    return Block("totals", top, tuple(marks), within=(Kind.TABLE,))
