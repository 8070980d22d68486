"""The parts of a claim receipt around its lines: head, parties, days, payments, outcome and notices."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final, TypeAlias

from shopledger.ledger.receipt import ReceiptContent
from shopledger.money.amount import write_amount
from shopledger.paperwork.blocks import (
    Align,
    Block,
    Column,
    Panel,
    column_heads,
    gap,
    heading,
    line,
    paragraph,
    row,
    text_block,
    twin_panels,
)
from shopledger.paperwork.looks import NUMBER, OUTCOME, OUTCOME_WHITE, ROW_RULE, SHOP, STRIP
from shopledger.paperwork.marks import Box, Mark, Marks, Rule
from shopledger.paperwork.typeset import BODY, LABEL, STRONG, TITLE, Style, width_of
from shopledger.paperwork.wording import Wording

StyledLine: TypeAlias = tuple[str, Style]
_LABELS: Final = 78.0
_KEPT_TOGETHER: Final = 8
"""So many payments stay on one page with their sum and the outcome."""


def title_of(content: ReceiptContent, wording: Wording) -> str:
    """Give the paper's title: whether it is paid stands in it."""
    return wording["titles.unpaid" if content.balance > 0 else "titles.paid"]


def head_block(content: ReceiptContent, wording: Wording, width: float) -> Block:
    """Set the shop at the left, the title with number and day at the right, over a strong rule."""
    half = width * 0.55
    left, left_height = _column(_shop(content, wording, half - 12), 0, half - 12, "left")
    right, right_height = _column(_identity(content, wording), half, width - half, "right")
    height = max(left_height, right_height) + 5
    return Block("head", height + 10, (*left, *right, Rule(0, height, width, height, 1.4)))


def _shop(content: ReceiptContent, wording: Wording, width: float) -> list[StyledLine]:
    lines = [(content.shop_name, SHOP), *((text, BODY) for text in content.shop_lines)]
    reached = (
        wording.fill("shop.phone", phone=content.shop_phone) if content.shop_phone else "",
        wording.fill("shop.email", email=content.shop_email) if content.shop_email else "",
    )
    if any(reached):
        in_one = " · ".join(filter(None, reached))
        lines.append((in_one if width_of(in_one, BODY) <= width else "\n".join(reached), BODY))
    lines.append((wording.fill("shop.ein", ein=content.ein), STRONG))
    if content.npi:
        lines.append((wording.fill("shop.npi", npi=content.npi), STRONG))
    return lines


def _identity(content: ReceiptContent, wording: Wording) -> list[StyledLine]:
    return [
        (title_of(content, wording), TITLE),
        (wording.fill("titles.number", number=content.number), NUMBER),
        (wording.fill("titles.issued", day=wording.day(content.issued_on)), BODY),
        (wording.fill("titles.order", number=content.order_number), BODY),
    ]


def _column(lines: Sequence[StyledLine], x: float, width: float, align: Align) -> tuple[Marks, float]:
    marks: list[Mark] = []
    top = 0.0
    for text, style in lines:
        words, height = paragraph(text, x, top, width, style, align)
        marks.extend(words)
        top += height
    return tuple(marks), top


def parties_blocks(content: ReceiptContent, wording: Wording, width: float) -> list[Block]:
    """Set the patient beside the customer who pays."""
    patient = [
        (wording["patient.name"], content.wearer),
        (wording["patient.birth_date"], _day_or(content.wearer_birth_date, wording, "patient.not_given")),
    ]
    if content.member_id:
        patient.append((wording["patient.member_id"], content.member_id))
    relationship = wording.word("relationships", content.relationship or "self")
    patient.append((wording["patient.relationship"], relationship))
    payer = (
        (wording["payer.name"], content.customer),
        (wording["payer.address"], "\n".join(content.customer_lines)),
    )
    panels = Panel(wording["patient.heading"], tuple(patient)), Panel(wording["payer.heading"], payer)
    return [twin_panels("parties", *panels, width, _LABELS, STRIP)]


def dates_blocks(content: ReceiptContent, wording: Wording, width: float) -> list[Block]:
    """Set order day, day of dispensing, prescriber and prescription day in one band."""
    prescriber = content.prescriber or wording["dates.not_given"]
    if content.prescriber_npi:
        prescriber = f"{prescriber}\n{wording.fill('dates.prescriber_npi', npi=content.prescriber_npi)}"
    cells = (
        (wording["dates.ordered"], wording.day(content.order_day), 0.18),
        (wording["dates.dispensed"], _day_or(content.dispensed_on, wording, "dates.not_dispensed"), 0.24),
        (wording["dates.prescriber"], prescriber, 0.36),
        (wording["dates.prescription"], _day_or(content.prescription_day, wording, "dates.not_given"), 0.22),
    )
    marks: list[Mark] = []
    x, tallest = 6.0, 0.0
    for label, value, share in cells:
        words, height = paragraph(value, x, LABEL.leading, share * (width - 6) - 10, STRONG)
        marks += [*paragraph(label, x, 0, share * (width - 6) - 4, LABEL)[0], *words]
        tallest = max(tallest, height)
        x += share * (width - 6)
    return [gap("dates", 9), Block("dates", LABEL.leading + tallest, tuple(marks))]


def _day_or(iso: str, wording: Wording, otherwise: str) -> str:
    return wording.day(iso) if iso else wording[otherwise]


def payments_blocks(content: ReceiptContent, wording: Wording, width: float) -> list[Block]:
    """Set each payment, what was paid in all, what is still owed, and how a shared order was shared."""
    top = heading("payments", wording["payments.heading"], width, space_before=10)
    columns = _payment_columns(width)
    heads = [wording[f"payments.{key}"] for key in ("day", "method", "reference", "amount")]
    head = column_heads("payments", heads, columns, width, STRIP)
    rows = [
        replace(row("payment", cells, columns, pad=1.5), running=head)
        for cells in (
            (
                wording.day(payment.day),
                wording.word("methods", payment.method),
                payment.reference,
                write_amount(payment.amount),
            )
            for payment in content.payments
        )
    ]
    if not rows:
        return [top, *text_block("payments", wording["payments.none"], width), *_sums(content, wording, width)]
    kept = len(rows) <= _KEPT_TOGETHER
    rows = [replace(block, with_next=kept or at == len(rows) - 1) for at, block in enumerate(rows)]
    return [top, head, *rows, *_sums(content, wording, width)]


def _payment_columns(width: float) -> tuple[Column, ...]:
    return (
        Column(4, 0.2 * width - 8),
        Column(0.2 * width, 0.26 * width - 8),
        Column(0.46 * width, 0.34 * width - 8),
        Column(0.8 * width, 0.2 * width - 4, "right"),
    )


def _sums(content: ReceiptContent, wording: Wording, width: float) -> list[Block]:
    marks: list[Mark] = [Rule(0.6 * width, 2, width, 2, 0.6, ROW_RULE / 2)]
    top = 5.0
    for key, cents in (("paid", content.paid), ("balance", content.balance)):
        marks.append(line(wording[f"payments.{key}"], 0.6 * width, top, STRONG))
        marks.append(line(write_amount(cents), 0.8 * width, top, STRONG, "right", 0.2 * width - 4))
        top += STRONG.leading + 1
    blocks = [Block("paid and balance", top, tuple(marks), with_next=True)]
    if content.shared_note:
        blocks += (replace(block, with_next=True) for block in text_block("shared", content.shared_note, width))
    return blocks


def outcome_blocks(content: ReceiptContent, wording: Wording, width: float) -> list[Block]:
    """Set in one strong box whether the receipt is paid; in white on black when it is not."""
    owed = content.balance > 0
    key = "unpaid" if owed else "overpaid" if content.balance < 0 else "paid"
    text = wording.fill(f"outcome.{key}", balance=write_amount(abs(content.balance)))
    words, height = paragraph(text, 10, 7, width - 20, OUTCOME_WHITE if owed else OUTCOME, "centre")
    box = Box(0, 0, width, height + 14, line=1.6, fill=0.0 if owed else None)
    return [gap("outcome", 9), Block("outcome", height + 14, (box, *words))]


def notices_blocks(content: ReceiptContent, wording: Wording, width: float) -> list[Block]:
    """Set what the reader must know: no assignment, who decides, which code release, and the owner's own words."""
    blocks = [gap("notices", 5), *text_block("assignment", wording["notices.assignment"], width, STRONG)]
    blocks += text_block("eligibility", wording["notices.eligibility"], width)
    if content.code_release:
        blocks += text_block("codes", wording.fill("notices.codes", release=content.code_release), width)
    if content.wording:
        blocks += text_block("owner's words", content.wording, width, space_before=6)
    return blocks
