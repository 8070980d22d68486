"""The money on a claim receipt: payments, what was given back, the balance, and the outcome in one strong box."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from shopledger.ledger.receipt import ReceiptContent
from shopledger.money.amount import write_amount
from shopledger.paperwork.blocks import (
    Block,
    Column,
    column_heads,
    heading,
    line,
    paragraph,
    row,
    strong_box,
    text_block,
)
from shopledger.paperwork.marks import Mark, Rule
from shopledger.paperwork.typeset import STRONG
from shopledger.paperwork.wording import Wording

_KEPT_TOGETHER: Final = 8
"""So many payments stay on one page with their sum and the outcome."""

_PAYMENT_SHARES: Final = (0.0, 0.2, 0.46, 0.8)
_REFUND_SHARES: Final = (0.0, 0.17, 0.32, 0.5, 0.8)
"""Where each column begins, as a share of the width."""


def payments_blocks(content: ReceiptContent, wording: Wording, width: float) -> list[Block]:
    """Set each payment, each refund, what was paid in all, what is owed, and how a shared order was shared."""
    top = heading("payments", wording["payments.heading"], width, space_before=10)
    sums = _sums(content, wording, width)
    if not content.payments:
        return [top, *text_block("payments", wording["payments.none"], width), *sums]
    heads = [wording[f"payments.{key}"] for key in ("day", "method", "reference", "amount")]
    cells = [
        (
            wording.day(payment.day),
            wording.word("methods", payment.method),
            payment.reference,
            write_amount(payment.amount),
        )
        for payment in content.payments
    ]
    rows = _rows("payment", heads, cells, _PAYMENT_SHARES, wording, width)
    return [top, *rows, *_refunds(content, wording, width), *sums]


def _refunds(content: ReceiptContent, wording: Wording, width: float) -> list[Block]:
    """Set what was given back with its reason; nothing where nothing was."""
    if not content.refunds:
        return []
    top = heading("refunds", wording["refunds.heading"], width, space_before=8)
    heads = [wording[f"refunds.{key}"] for key in ("day", "method", "reference", "reason", "amount")]
    cells = [
        (
            wording.day(refund.day),
            wording.word("methods", refund.method),
            refund.reference,
            refund.reason,
            write_amount(refund.amount),
        )
        for refund in content.refunds
    ]
    return [top, *_rows("refund", heads, cells, _REFUND_SHARES, wording, width)]


def _rows(
    name: str,
    heads: Sequence[str],
    cells: Sequence[Sequence[str]],
    shares: Sequence[float],
    wording: Wording,
    width: float,
) -> list[Block]:
    """Set the column heads and the rows; few rows stay on one page with what follows."""
    columns = _columns(shares, width)
    head = column_heads(f"{name}s", heads, columns, width, wording.look.strip)
    rows = [replace(row(name, texts, columns, pad=1.5), running=head) for texts in cells]
    kept = len(rows) <= _KEPT_TOGETHER
    return [head, *(replace(block, with_next=kept or at == len(rows) - 1) for at, block in enumerate(rows))]


def _columns(shares: Sequence[float], width: float) -> tuple[Column, ...]:
    """Give each column the room up to the next; the last leans to the right margin."""
    ends = [*shares[1:], 1.0]
    columns = [
        Column(4 if at == 0 else share * width, (ends[at] - share) * width - 8) for at, share in enumerate(shares)
    ]
    return (*columns[:-1], Column(shares[-1] * width, (1 - shares[-1]) * width - 4, "right"))


def _sums(content: ReceiptContent, wording: Wording, width: float) -> list[Block]:
    """Set what was paid and what is owed; between them what was given back and kept, where there is any."""
    back = (("refunded", -content.refunded), ("kept", content.paid - content.refunded)) if content.refunds else ()
    marks: list[Mark] = [Rule(0.6 * width, 2, width, 2, 0.6, 0.36)]
    top = 5.0
    for key, cents in (("paid", content.paid), *back, ("balance", content.balance)):
        label, height = paragraph(wording[f"payments.{key}"], 0.6 * width, top, 0.22 * width, STRONG)
        marks += [*label, line(write_amount(cents), 0.8 * width, top, STRONG, "right", 0.2 * width - 4)]
        top += height + 1
    blocks = [Block("paid and balance", top, tuple(marks), with_next=True)]
    if content.shared_note:
        blocks += (replace(block, with_next=True) for block in text_block("shared", content.shared_note, width))
    return blocks


def outcome_blocks(content: ReceiptContent, wording: Wording, width: float) -> list[Block]:
    """Set in one strong box whether the receipt is paid and what of it was given back; white on black when unpaid."""
    owed = content.balance > 0
    text = wording.fill(f"outcome.{_outcome(content)}", balance=write_amount(abs(content.balance)))
    if content.refunds:
        kept = write_amount(content.paid - content.refunded)
        said = wording.fill("outcome.refunded", refunded=write_amount(content.refunded), kept=kept)
        text = f"{text}\n{said}"
    return strong_box("outcome", text, width, inverse=owed)


def _outcome(content: ReceiptContent) -> str:
    if content.balance > 0:
        return "unpaid"
    return "overpaid" if content.balance < 0 else "paid"
