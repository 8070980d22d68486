"""Formulas over declared sheets: sums of a column, of some of its rows, and what an account changed by."""

from __future__ import annotations

from collections.abc import Iterable
from enum import Enum
from typing import Any, Final

from shopledger.exports.customer_sheets import REFUNDS, SALES
from shopledger.exports.posted_sheets import JOURNAL, TRIAL
from shopledger.exports.sheets import Sheet
from shopledger.ledger.books.customer_rows import SaleEvent
from shopledger.ledger.books.journal import Account
from shopledger.ledger.offers import LineKind

ANY: Final = "<>"
"""For a condition: whatever is not empty."""


def summed(sheet: Sheet[Any], header: str) -> str:
    """Add up a column."""
    return f"SUM({sheet.part(header)})"


def where(sheet: Sheet[Any], amounts: str, **equal: str | Enum) -> str:
    """Add up the rows in which each named column says a word; `_` stands for a space in a column's name."""
    asked = ((sheet.part(name.replace("_", " ")), _word(word)) for name, word in equal.items())
    conditions = ",".join(f'{part},"{word}"' for part, word in asked)
    return f"SUMIFS({sheet.part(amounts)},{conditions})"


def event(happened: SaleEvent, amounts: str, kind: LineKind | None = None) -> str:
    """Add up what was sold, or what was cancelled, of all kinds or of one."""
    if kind is None:
        return where(SALES, amounts, Event=happened)
    return where(SALES, amounts, Event=happened, Kind=kind)


def kept(amounts: str) -> str:
    """Take what was refunded from what was sold and not cancelled."""
    return f"{summed(SALES, amounts)}-{summed(REFUNDS, amounts)}"


def change(*accounts: Account) -> str:
    """Take the credits of accounts from their debits, as the journal has them."""
    parts = (
        f"{where(JOURNAL, 'Debit', Account=account.title)}-{where(JOURNAL, 'Credit', Account=account.title)}"
        for account in accounts
    )
    return "+".join(parts)


def closing(account: Account) -> str:
    """Give what stands on an account at the period's end."""
    return where(TRIAL, "Closing", Account=account.title)


def joined(formulas: Iterable[str]) -> str:
    """Add formulas up."""
    return "+".join(f"({formula})" for formula in formulas)


def negative(formula: str) -> str:
    """Turn a formula's sign."""
    return f"-({formula})"


def _word(word: str | Enum) -> str:
    return word if isinstance(word, str) else str(word.value)
