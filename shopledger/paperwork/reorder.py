"""The reorder record: everything that new lenses for an old frame are made from, with both shapes at 1:1."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Final

from shopledger.ledger.pair_words import names_in_a_row
from shopledger.ledger.papers.reorder_record import EyeFigures, PowerChange, ReorderRecord
from shopledger.ledger.papers.strips import ON_REORDER
from shopledger.money.amount import write_amount
from shopledger.optics.lengths import as_given, at_least, at_most, worked_out
from shopledger.paperwork.blocks import (
    Block,
    Column,
    Panel,
    column_heads,
    heading,
    line,
    pairs_of_words,
    paragraph,
    row,
    side_by_side,
    stacked,
    text_block,
    twin_panels,
)
from shopledger.paperwork.flow import PageLayout
from shopledger.paperwork.marks import Kind, Rule, labelled_item, table_row
from shopledger.paperwork.paper import Flowing, Paper
from shopledger.paperwork.reorder_lenses import profile_blocks, thickness_blocks
from shopledger.paperwork.reorder_sample import sample_reorder
from shopledger.paperwork.reorder_shapes import drawing_width, shapes_blocks, worn_blocks
from shopledger.paperwork.snug import accompanied
from shopledger.paperwork.strips import strips_blocks
from shopledger.paperwork.tables import ruled
from shopledger.paperwork.typeset import BODY, MM, NOTE, STRONG
from shopledger.paperwork.wording import Wording

_APART = 16.0
_AMOUNTS: Final = 0.13
"""Share of the width of each column of amounts."""
_STRIPS: Final = 0.9
"""How large the strips are, beside those of the sheet for the bench."""
_TOGETHER: Final = 8
"""Up to so many lines the table is not broken between pages."""


def _parties(record: ReorderRecord, wording: Wording, width: float) -> list[Block]:
    """Set the customer beside the wearer with frame and prescriber."""
    customer = (
        (wording["parties.name"], record.customer),
        (wording["parties.address"], "\n".join(record.customer_lines)),
    )
    wearer = (
        (wording["parties.name"], record.wearer),
        (wording["parties.frame"], record.frame),
        (wording["parties.earlier"], record.earlier_pair),
        (wording["parties.prescriber"], record.prescriber),
    )
    shown = tuple((label, value) for label, value in wearer if value)
    panels = Panel(wording["parties.customer"], customer), Panel(wording["parties.wearer"], shown)
    return [twin_panels("parties", *panels, width, 70, wording.look.strip)]


def _figures(record: ReorderRecord, wording: Wording, width: float) -> list[Block]:
    """Set the frame's numbers beside the measurements and the blank, right and left in columns."""
    half = (width - _APART) / 2
    frame = _eye_table("frame", _frame_rows(record, wording), wording, half, wording["figures.frame"])
    placing = _eye_table("placing", _placing_rows(record, wording), wording, half, wording["figures.placing"])
    top = heading("figures", wording["figures.heading"], width)
    return [top, side_by_side("figures", frame, placing, half + _APART)]


def _frame_rows(record: ReorderRecord, wording: Wording) -> list[tuple[str, str, str]]:
    keys = ("a", "b", "ed", "circumference")
    rows = [
        (wording[f"figures.{key}"], worked_out(getattr(record.right, key)), worked_out(getattr(record.left, key)))
        for key in keys
    ]
    return [*rows, (wording["figures.dbl"], as_given(record.dbl), "")]


def _placing_rows(record: ReorderRecord, wording: Wording) -> list[tuple[str, str, str]]:
    def both(key: str, shown: Callable[[EyeFigures], str]) -> tuple[str, str, str]:
        return wording[f"figures.{key}"], shown(record.right), shown(record.left)

    none = wording["figures.none"]
    return [
        both("mono_pd", lambda eye: _number(eye.mono_pd, none)),
        both("near_pd", lambda eye: _number(eye.near_pd, none)),
        both("fitting_height", lambda eye: _number(eye.fitting_height, none)),
        both("decentration", lambda eye: _directed(eye.decentration_in, "inward", "outward", wording)),
        both("offset", lambda eye: _directed(eye.offset_up, "upward", "downward", wording)),
        both("blank_needed", lambda eye: worked_out(at_least(eye.blank_needed))),
        both("blank_by_rule", lambda eye: worked_out(at_least(eye.blank_by_rule))),
        both("blank", lambda eye: _number(eye.blank, wording["figures.too_small"])),
        both("to_spare", lambda eye: _spare(eye, none)),
    ]


def _number(value: float | None, otherwise: str) -> str:
    return otherwise if value is None else as_given(value)


def _spare(eye: EyeFigures, otherwise: str) -> str:
    """Say how much the blank is larger than needed, never more than it is."""
    return otherwise if eye.blank is None else worked_out(at_most(eye.blank - eye.blank_needed))


def _directed(value: float, toward: str, away: str, wording: Wording) -> str:
    """Write a distance with its direction; what rounds to nothing has none."""
    shown = worked_out(abs(value))
    if shown == "0.0":
        return shown
    return wording.fill(f"figures.{toward if value > 0 else away}", mm=shown)


def _eye_table(name: str, rows: Sequence[tuple[str, str, str]], wording: Wording, width: float, title: str) -> Block:
    columns = (
        Column(4, width * 0.5 - 8),
        Column(width * 0.5, width * 0.25 - 6, "right"),
        Column(width * 0.75, width * 0.25 - 4, "right"),
    )
    head = column_heads(
        name, (title, wording["figures.right"], wording["figures.left"]), columns, width, wording.look.strip
    )
    set_rows = [row(name, cells, columns, pad=1.5, headed=True) for cells in rows]
    return stacked(name, [head, *(ruled(block, width, wording.look) for block in set_rows)])


def _prescriptions(record: ReorderRecord, wording: Wording, width: float) -> list[Block]:
    """Set both eyes side by side, each with before, now and the change; a change to ask about in strong type."""
    half = (width - _APART) / 2
    right = _power_table("right powers", record.right_powers, wording, half, wording["prescriptions.right"])
    left = _power_table("left powers", record.left_powers, wording, half, wording["prescriptions.left"])
    before = wording.day(record.before_day) if record.before_day else wording["prescriptions.no_before"]
    days = [
        wording.fill("prescriptions.dated_before", day=before),
        wording.fill("prescriptions.dated_now", day=wording.day(record.now_day)),
    ]
    if any(power.notable for power in (*record.right_powers, *record.left_powers)):
        days.append(wording["prescriptions.notable"])
    top = heading("prescriptions", wording["prescriptions.heading"], width)
    tables = replace(side_by_side("prescriptions", right, left, half + _APART), with_next=True)
    return [top, tables, *_changes(record, wording, width), *text_block("prescriptions", " · ".join(days), width, NOTE)]


def _changes(record: ReorderRecord, wording: Wording, width: float) -> list[Block]:
    """Say what changed in words; nothing where there is no earlier prescription."""
    said = [("right", record.right_change), ("left", record.left_change)]
    words = [wording.fill(f"prescriptions.{side}_words", change=change) for side, change in said if change]
    return [replace(block, with_next=True) for each in words for block in text_block("changes", each, width)]


def _power_table(name: str, powers: Sequence[PowerChange], wording: Wording, width: float, title: str) -> Block:
    share = width * 0.22
    columns = (
        Column(4, width - 3 * share - 8),
        *(Column(width - left * share, share - 6, "right") for left in (3, 2)),
        Column(width - share, share - 4, "right"),
    )
    heads = (title, *(wording[f"prescriptions.{key}"] for key in ("before", "now", "change")))
    rows = [
        row(
            name,
            (wording.word("quantities", power.quantity), power.before, power.now, power.change),
            columns,
            STRONG if power.notable else BODY,
            pad=1.5,
            headed=True,
        )
        for power in powers
    ]
    return stacked(
        name,
        [
            column_heads(name, heads, columns, width, wording.look.strip),
            *(ruled(block, width, wording.look) for block in rows),
        ],
    )


def _lens(record: ReorderRecord, wording: Wording, width: float) -> list[Block]:
    """Set what is to be made in words."""
    made = [
        wording.fill(f"lens.{side}", power=power)
        for side, power in (("right", record.right_made), ("left", record.left_made))
        if power
    ]
    what = (
        (wording["lens.lens"], record.lens),
        (wording["lens.use"], record.use),
        (wording["lens.extras"], names_in_a_row(record.extras)),
    )
    how = (
        (wording["lens.powers"], "\n".join(made)),
        (wording["lens.base_curve"], "" if record.base_curve is None else f"{record.base_curve:.2f} D"),
    )
    half = (width - _APART) / 2
    left, right = (
        Block("lens", height, marks)
        for marks, height in (
            pairs_of_words([entry for entry in entries if entry[1]], 4, 0, half - 4, 80) for entries in (what, how)
        )
    )
    top = heading("lens", wording["lens.heading"], width)
    return [top, side_by_side("lens", left, right, half + _APART)]


def _findings(record: ReorderRecord, wording: Wording, width: float) -> list[Block]:
    """Set each finding with its severity, the grave ones in strong type."""
    top = heading("findings", wording["findings.heading"], width)
    if not record.findings:
        return [top, *text_block("findings", wording["findings.none"], width)]
    columns = Column(4, 74), Column(82, width - 86)
    return [top, *(_finding(entry.severity, entry.sentence, columns, wording) for entry in record.findings)]


def _finding(severity: str, sentence: str, columns: Sequence[Column], wording: Wording) -> Block:
    words = wording.word("findings", severity)
    label = line(words, columns[0].x, 1.5, BODY if severity == "note" else STRONG)
    said, height = paragraph(sentence, columns[1].x, 1.5, columns[1].width, BODY)
    cells = table_row(((Kind.ROW_HEAD, (label,)), (Kind.CELL, said)))
    return Block("finding", height + 3, (cells,), within=(Kind.TABLE,), goes_on=1)


def _cautions(record: ReorderRecord, wording: Wording, width: float) -> list[Block]:  # noqa: ARG001 - every part is called alike
    """Set the usual cautions of lens work, one a bullet."""
    items = [_bulleted(text, width) for text in wording.listed("cautions.lines")]
    kept = [replace(block, with_next=True) for block in items[:-1]]
    return [heading("cautions", wording["cautions.heading"], width), *kept, *items[-1:]]


def _bulleted(text: str, width: float) -> Block:
    said, height = paragraph(text, 14, 1, width - 18, BODY)
    item = labelled_item((line("•", 4, 1, BODY),), said)
    return Block("caution", height + 2, (item,), within=(Kind.LIST,), goes_on=1)


def _price(record: ReorderRecord, wording: Wording, width: float) -> list[Block]:
    """Set the lines and the sum; nothing where nothing was priced."""
    price = record.price
    if price is None:
        return []
    share = width * _AMOUNTS
    columns = (
        Column(4, width - 3 * share - 12),
        *(Column(width - left * share, share - 6, "right") for left in (3, 2)),
        Column(width - share, share - 4, "right"),
    )
    head = column_heads(
        "price", wording.each("price", ("what", "list", "off", "net")), columns, width, wording.look.strip
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
    top = heading("price", wording.fill("price.heading", day=wording.day(record.day)), width)
    return [
        top,
        head,
        *kept,
        replace(total, marks=(rule, *total.marks), with_next=True),
        *text_block("price note", wording["price.note"], width, NOTE, space_before=1.0),
    ]


@dataclass(frozen=True, slots=True)
class _UnderStrips(Flowing[ReorderRecord]):
    """The parts, with what nobody may miss between them and the head, whatever their order."""

    def blocks(self, content: ReorderRecord, words: Wording, layout: PageLayout, head: Block) -> list[Block]:
        """Give head, strips and parts."""
        first, *rest = Flowing.blocks(self, content, words, layout, head)
        strips = strips_blocks(content.strips, ON_REORDER, words, layout.frame_width, _STRIPS)
        return accompanied([first, *strips, *rest], layout)


REORDER: Final = Paper(
    key="reorder",
    command="reorder",
    sample=sample_reorder,
    body=_UnderStrips(
        {
            "parties": _parties,
            "shapes": shapes_blocks,
            "worn": worn_blocks,
            "figures": _figures,
            "prescriptions": _prescriptions,
            "lens": _lens,
            "price": _price,
            "thickness": thickness_blocks,
            "profile": profile_blocks,
            "findings": _findings,
            "cautions": _cautions,
        }
    ),
    shop=lambda record: record.shop,
    day=lambda record: record.day,
    names=lambda record, _: {"number": record.number, "wearer": record.wearer, "head": record.ledger_head},
    subject="wearer",
    facts=lambda record, words: (words.fill("titles.made", day=words.day(record.day)),),
    true_width=lambda record: drawing_width(record) * MM,
)
