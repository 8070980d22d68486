"""A month's bank reconciliation on paper: both balances brought together, what is open, and the proof of cash."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from shopledger.ledger.books.bank_reconciliation import OpenItem, ProofOfCash, ProofRow, Reconciliation
from shopledger.ledger.books.period import Month
from shopledger.ledger.papers.shop_lines import ShopLines, shop_lines
from shopledger.ledger.parties import Shop
from shopledger.money.amount import Cents


@dataclass(frozen=True, slots=True)
class BankMonthRow:
    """One amount with what it is; the day is ISO text, empty where there is none."""

    what: str
    amount: Cents
    day: str = ""
    document: str = ""


@dataclass(frozen=True, slots=True)
class BankMonth:
    """Everything on the paper. Days are ISO text, amounts whole cents."""

    month: str
    day: str
    """The day at whose end both balances are compared."""
    made_on: str
    shop: ShopLines
    accounts: tuple[BankMonthRow, ...]
    in_transit: tuple[BankMonthRow, ...]
    outstanding: tuple[BankMonthRow, ...]
    bank_side: Cents
    books: Cents
    unbooked: tuple[BankMonthRow, ...]
    book_side: Cents
    agrees: bool
    stale: tuple[BankMonthRow, ...]
    proof: tuple[ProofRow, ...]
    """The rows of the four columns; the corrected ones stand last of their side. None where they are not known."""
    ledger_head: str
    missing_lines: Cents = 0
    """What lacks among the bank's lines of the month, by its own balances at both ends."""

    @property
    def difference(self) -> Cents:
        """What nothing explains."""
        return self.bank_side - self.book_side


def bank_month(
    month: Month,
    end: Reconciliation,
    accounts: Sequence[tuple[str, Cents]],
    proof: ProofOfCash | None,
    shop: Shop,
    *,
    made_on: date,
    ledger_head: str,
) -> BankMonth:
    """Give what the paper says of a month."""
    rows = () if proof is None else (*proof.bank, proof.corrected_bank, *proof.books, proof.corrected_books)
    return BankMonth(
        str(month),
        end.day.isoformat(),
        made_on.isoformat(),
        shop_lines(shop),
        tuple(BankMonthRow(name, balance) for name, balance in accounts),
        _rows(end.in_transit),
        _rows((*end.outstanding, *end.bank_errors)),
        end.bank_side,
        end.books,
        _rows(end.unbooked),
        end.book_side,
        end.agrees,
        _rows(end.stale),
        rows,
        ledger_head,
        0 if proof is None else proof.missing_lines,
    )


def _rows(items: Iterable[OpenItem]) -> tuple[BankMonthRow, ...]:
    return tuple(
        BankMonthRow(item.words, item.amount, item.day.isoformat() if item.day else "", item.document) for item in items
    )
