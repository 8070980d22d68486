"""The tables of money on a claim receipt: payments and refunds, with what was paid in all and what is owed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from shopledger.ledger.receipt import ReceiptContent, ReceiptPayment
from shopledger.money.amount import write_amount
from shopledger.paperwork.blocks import Block, Column, column_heads, heading, line, paragraph, row, text_block
from shopledger.paperwork.marks import Kind, Mark, Rule, table_row
from shopledger.paperwork.typeset import STRONG
from shopledger.paperwork.wording import Wording

_KEPT_TOGETHER: Final = 3
"""So many payments, or refunds, stay on one page."""
_PAYMENT_SHARES: Final = (0.0, 0.2, 0.46, 0.8)
_REFUND_SHARES: Final = (0.0, 0.17, 0.32, 0.5, 0.8)
"""Where each column begins, as a share of the width."""
_SHARED_PAYMENT_SHARES: Final = (0.0, 0.18, 0.62, 0.8)
"""The same where a payment is shared, which takes more words."""


def payments_blocks(content: ReceiptContent, wording: Wording, width: float, room: float) -> list[Block]:
    """Set each payment, each refund, what was paid in all, what is owed, and how a shared order was shared.

    The sums stay with the last payment or refund and with the outcome; nothing more is held together than a few rows.
    """
    top = heading("payments", wording["payments.heading"], width, space_before=10 * room)
    sums = _paid_and_owed(content, wording, width, room)
    if not content.payments:
        return [top, *text_block("payments", wording["payments.none"], width), *sums]
    heads = wording.each("payments", ("day", "method", "reference", "amount"))
    cells = [
        (
            wording.day(payment.day),
            _paid_by(payment, wording),
            payment.reference,
            write_amount(payment.amount),
        )
        for payment in content.payments
    ]
    shares = _SHARED_PAYMENT_SHARES if any(each.shared for each in content.payments) else _PAYMENT_SHARES
    rows = _money_rows("payment", heads, cells, shares, wording, width)
    refunds = _refunds(content, wording, width, room)
    (refunds or rows)[-1] = replace((refunds or rows)[-1], with_next=True)
    return [top, *rows, *refunds, *sums]


def _paid_by(payment: ReceiptPayment, wording: Wording) -> str:
    """Say how something was paid; of a payment that is for others too, which part of it this is."""
    method = wording.word("methods", payment.method)
    if not payment.shared:
        return method
    share, whole = write_amount(payment.amount), write_amount(payment.whole)
    return wording.fill("payments.share", share=share, whole=whole, method=method)


def _refunds(content: ReceiptContent, wording: Wording, width: float, room: float) -> list[Block]:
    """Set what was given back with its reason; nothing where nothing was."""
    if not content.refunds:
        return []
    top = heading("refunds", wording["refunds.heading"], width, space_before=8 * room)
    heads = wording.each("refunds", ("day", "method", "reference", "reason", "amount"))
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
    return [top, *_money_rows("refund", heads, cells, _REFUND_SHARES, wording, width)]


def _money_rows(
    name: str,
    heads: Sequence[str],
    cells: Sequence[Sequence[str]],
    shares: Sequence[float],
    wording: Wording,
    width: float,
) -> list[Block]:
    """Set the column heads and the rows; few rows stay on one page."""
    columns = _money_columns(shares, width)
    head = column_heads(f"{name}s", heads, columns, width, wording.look.strip)
    rows = [replace(row(name, texts, columns, pad=1.5), running=head) for texts in cells]
    kept = len(rows) <= _KEPT_TOGETHER
    return [head, *(replace(block, with_next=kept and at < len(rows) - 1) for at, block in enumerate(rows))]


def _money_columns(shares: Sequence[float], width: float) -> tuple[Column, ...]:
    """Give each column the width up to the next; the last leans to the right margin."""
    ends = [*shares[1:], 1.0]
    columns = [
        Column(4 if at == 0 else share * width, (ends[at] - share) * width - 8) for at, share in enumerate(shares)
    ]
    return (*columns[:-1], Column(shares[-1] * width, (1 - shares[-1]) * width - 4, "right"))


def _paid_and_owed(content: ReceiptContent, wording: Wording, width: float, room: float) -> list[Block]:
    """Set what was paid and what is owed; between them what was given back and kept, where there is any."""
    back = (("refunded", -content.refunded), ("kept", content.paid - content.refunded)) if content.refunds else ()
    marks: list[Mark] = [Rule(0.6 * width, 2, width, 2, 0.6, 0.36)]
    top = 3 + 2 * room
    off = (("written_off", content.written_off),) if content.written_off else ()
    for key, cents in (("paid", content.paid), *back, *off, ("balance", content.balance)):
        label, height = paragraph(wording[f"payments.{key}"], 0.6 * width, top, 0.22 * width, STRONG)
        amount = line(write_amount(cents), 0.8 * width, top, STRONG, "right", 0.2 * width - 4)
        marks.append(table_row(((Kind.ROW_HEAD, label), (Kind.CELL, (amount,)))))
        top += height + 1
    blocks = [Block("paid and balance", top, tuple(marks), within=(Kind.TABLE,))]
    if content.shared_note:
        blocks += (replace(block, with_next=True) for block in text_block("shared", content.shared_note, width))
    return blocks
