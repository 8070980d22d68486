"""The bank reconciliation of a month: both balances down to what they agree on, what is stale, and the proof of cash.

It stands in the month's workbook, where the books' own balance of the bank lies, when a statement tells of the month;
the page that `bank page` prints says the same on paper.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Final

from shopledger.exports.formulas import closing
from shopledger.exports.sheets import Formula, Grid, Heading, Kind, Number, RowLook, agreement
from shopledger.ledger.books.bank_matches import STALE_DAYS
from shopledger.ledger.books.bank_reconciliation import MonthAtBank, OpenItem, ProofRow, Reconciliation
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.reports import PeriodReport
from shopledger.money.amount import Cents

TITLE: Final = "Bank"
_COLUMNS: Final = ("B", "C", "D", "E")


def bank_grid(report: PeriodReport, found: MonthAtBank) -> Grid:
    """Give the sheet; what differs on it is for the owner to put right, and does not stop the workbook."""
    words = f"At the end of {found.end.day.isoformat()}: what bank and books say, and what stands between them."
    headings = (
        Heading("What", 50, Kind.TEXT), Heading("Document", 18), Heading("Date", 14), Heading("Days open", 14),
        Heading("Amount", 16), Heading("Check", 12, Kind.COUNT),
    )  # fmt: skip
    grid = Grid(TITLE, headings, head=(f"{report.shop_name}: {report.period}", words, None), frozen="", verdicts="F",
                landscape=True)  # fmt: skip
    _balances(grid, found)
    _stale(grid, found.end)
    _proof(grid, found)
    return grid


def _balances(grid: Grid, found: MonthAtBank) -> None:
    """Lead both balances down to what they come to once each knows what the other does."""
    end = found.end
    for place, (account, balance) in enumerate(found.accounts):
        grid.add(f"Balance of {account.name}, as the bank says", None, None, None, balance, name=f"account {place}")
    _sum(grid, "The bank's balance", "statement", end.statement, [f"account {n}" for n, _ in enumerate(found.accounts)])
    parts = ["statement"]
    for words, name, items in (
        ("Deposits in transit", "transit", end.in_transit),
        ("Outstanding", "outstanding", end.outstanding),
        ("Errors of the bank's", "errors", end.bank_errors),
    ):
        parts += _items(grid, words, name, items, end.day)
    _sum(grid, "The bank's balance, corrected", "bank side", end.bank_side, parts)
    grid.add()
    books = Formula(f"ROUND({closing(Account.BANK)},2)", end.books)
    grid.add("The books' balance", None, None, None, books, name="books", look=RowLook.TOTAL)
    more = _items(grid, "Known to the bank, and not in the books", "unbooked", end.unbooked, end.day)
    _sum(grid, "The books' balance, corrected", "book side", end.book_side, ["books", *more])
    apart = Formula("ROUND({bank side}-{book side},2)", end.difference)
    grid.add("Difference", None, None, None, apart, agreement("E{#}=0", agrees=not end.difference),
             name="difference", look=RowLook.TOTAL)  # fmt: skip


def _items(grid: Grid, words: str, name: str, items: Sequence[OpenItem], day: date) -> list[str]:
    """Add what is open of one kind, one by one; gives the names of the rows."""
    if not items:
        return []
    grid.title_row(words)
    names = [f"{name} {place}" for place, _ in enumerate(items)]
    for each, item in zip(names, items, strict=True):
        grid.add(*_said(item, day), item.amount, name=each)
    return names


def _said(item: OpenItem, day: date) -> tuple[str, str, str, Number | None]:
    """Give what is open, and for how many days."""
    since = Number((day - item.day).days, Kind.COUNT) if item.day else None
    return f"   {item.words}", item.document, item.day.isoformat() if item.day else "", since


def _sum(grid: Grid, words: str, name: str, amount: Cents, names: Iterable[str]) -> None:
    """Add up rows that are named; titles lie between some of them."""
    added = "+".join(f"{{{each}}}" for each in names)
    grid.add(words, None, None, None, Formula(f"ROUND({added},2)", amount), name=name, look=RowLook.TOTAL)


def _stale(grid: Grid, end: Reconciliation) -> None:
    if not end.stale:
        return
    grid.add()
    grid.title_row(f"Outstanding for more than {STALE_DAYS} days: a bank need not pay it any more; ask whom it was for")
    for place, item in enumerate(end.stale):
        named = next(n for n, each in enumerate(end.outstanding) if each is item)
        grid.add(*_said(item, end.day), Formula(f"{{outstanding {named}}}", item.amount), name=f"stale {place}")


def _proof(grid: Grid, found: MonthAtBank) -> None:
    """Set the month out in four columns; each row adds across, and both sides come to the same."""
    grid.add()
    if found.proof is None:
        grid.title_row("No proof of cash: no statement says what lay there when the month began.")
        return
    grid.add("Proof of cash", "Beginning", "Received", "Paid", "End", "Check", look=RowLook.HEADINGS)
    for side, rows, total, closes in (
        ("bank", found.proof.bank, found.proof.corrected_bank, "statement"),
        ("books", found.proof.books, found.proof.corrected_books, "books"),
    ):
        names = [f"{side} proof {place}" for place, _ in enumerate(rows)]
        for place, row in enumerate(rows):
            end = Formula(f"{{{closes}}}", row.closing) if not place else row.closing
            _proof_row(grid, row, names[place], (row.opening, row.receipts, row.disbursements, end))
        sums = (
            Formula(f"ROUND(SUM({{{names[0]}.{column}}}:{{{names[-1]}.{column}}}),2)", amount)
            for column, amount in zip(_COLUMNS, _figures(total), strict=True)
        )
        _proof_row(grid, total, f"{side} corrected", tuple(sums), look=RowLook.TOTAL)
    pairs = zip(_figures(found.proof.corrected_bank), _figures(found.proof.corrected_books), strict=True)
    apart = [
        Formula(f"ROUND({{bank corrected.{column}}}-{{books corrected.{column}}},2)", one - other)
        for column, (one, other) in zip(_COLUMNS, pairs, strict=True)
    ]
    holds = agreement("AND(B{#}=0,C{#}=0,D{#}=0,E{#}=0)", agrees=not any(each.amount for each in apart))
    grid.add("Between both", *apart, holds, name="proof", look=RowLook.TOTAL)


def _proof_row(
    grid: Grid,
    row: ProofRow,
    name: str,
    cells: Sequence[Cents | Formula],
    look: RowLook = RowLook.PLAIN,
) -> None:
    across = agreement("ROUND(B{#}+C{#}-D{#}-E{#},2)=0", agrees=row.adds_across)
    words = row.line.value
    grid.add(f"{words[:1].upper()}{words[1:]}", *cells, across, name=name, look=look)


def _figures(row: ProofRow) -> tuple[Cents, Cents, Cents, Cents]:
    return row.opening, row.receipts, row.disbursements, row.closing
