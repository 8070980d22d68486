"""Receipts as issued, each print of them, which one replaced which, and which were handed in."""

from __future__ import annotations

from shopledger.store import columns as kept
from shopledger.store.tables.base import Recorded, table


class ReceiptColumns(Recorded):
    """A receipt's frozen content and its hash."""

    number = kept.key()
    order_number = kept.number(kept.to("shop_order.number"), index=True)
    wearer_number = kept.optional(kept.number(kept.to("wearer.number"), index=True))
    canonical = kept.personal(kept.words(kept.FILLED), kept.Blank.TOMBSTONE)
    sha256 = kept.personal(kept.words(kept.SHA256), kept.Blank.HASH)


receipt = table("receipt", ReceiptColumns)


class ReceiptReplacementColumns(Recorded):
    """That a later receipt took the place of an earlier one."""

    receipt_number = kept.key(kept.to("receipt.number"))
    replaced_by = kept.number(kept.to("receipt.number"), unique=True)
    reason = kept.personal(kept.words(kept.FILLED))


receipt_replacement = table(
    "receipt_replacement", ReceiptReplacementColumns, by_a_later_one="replaced_by > receipt_number"
)


class ReceiptPrintColumns(Recorded):
    """One print of a receipt, counted from 1."""

    receipt_number = kept.key(kept.to("receipt.number"))
    position = kept.key(kept.COUNTS)
    day = kept.day()


receipt_print = table("receipt_print", ReceiptPrintColumns)


class PaperWordingColumns(Recorded):
    """The words and looks that papers were first printed with, kept once for all that used them."""

    sha256 = kept.code(kept.SHA256)
    body = kept.words(kept.FILLED)


paper_wording = table("paper_wording", PaperWordingColumns)


class ReceiptClaimColumns(Recorded):
    """That the customer handed a receipt in to a plan or an account."""

    receipt_number = kept.key(kept.to("receipt.number"))
    day = kept.day()


receipt_claim = table("receipt_claim", ReceiptClaimColumns)
