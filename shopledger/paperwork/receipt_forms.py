"""What receipts of earlier forms print otherwise than those of today: the one place that asks for the form.

Up to form 3 a receipt printed how each of its lines was sorted, with reasons, and said so among its notices. Receipts
issued since leave that to the plan. A receipt keeps the words of its own form on every later print.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from shopledger.ledger.receipt import ReceiptContent


@dataclass(frozen=True, slots=True)
class ReceiptForm:
    """What differs from form to form."""

    sorts_lines: bool
    """Whether the table says how each line is sorted, with numbered reasons below it."""
    repeats_pairs: bool
    """Whether a table that goes on over the page names again the pair and the wearer."""
    decides: str
    """Key of the notice on who decides what is paid back."""
    title: Callable[[ReceiptContent], str]
    """Gives the key of the title."""


def form_of(content: ReceiptContent) -> ReceiptForm:
    """Give how a receipt of its form is printed."""
    return _SORTED if content.form < 4 else _PLAIN


def _earlier_title(content: ReceiptContent) -> str:
    if _unpaid(content):
        return "titles.unpaid"
    return "titles.refunded" if content.fully_refunded else "titles.paid"


def _title(content: ReceiptContent) -> str:
    """Name the title that says already in the head whether it is paid, and whether something of it was given back."""
    in_part = bool(content.refunds) and not content.fully_refunded
    if _unpaid(content):
        return "titles.unpaid_refunded_in_part" if in_part else "titles.unpaid"
    if content.fully_refunded:
        return "titles.refunded"
    if content.nothing_charged:
        return "titles.nothing"
    return "titles.refunded_in_part" if in_part else "titles.paid_in_full"


def _unpaid(content: ReceiptContent) -> bool:
    return content.balance > 0 or content.written_off > 0


_SORTED: Final = ReceiptForm(sorts_lines=True, repeats_pairs=False, decides="notices.eligibility", title=_earlier_title)
_PLAIN: Final = ReceiptForm(sorts_lines=False, repeats_pairs=True, decides="notices.decides", title=_title)
