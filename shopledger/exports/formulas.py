"""Formulas over declared sheets, and figures that they check: from one side, from the other, whether they agree."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Any, Final

from shopledger.exports.customer_sheets import REFUNDS, SALES
from shopledger.exports.posted_sheets import JOURNAL, TRIAL
from shopledger.exports.sheets import AGREES, Formula, Grid, Heading, Kind, Number, RowLook, Sheet, TextFit, agreement
from shopledger.ledger.books.customer_rows import SaleEvent
from shopledger.ledger.books.documents import DocumentKind
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.reports import PeriodReport
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


def adjusted(account: Account) -> str:
    """Take the credits of an account from its debits, as adjusting entries, disposals and their voiding posted them."""
    kinds = (DocumentKind.ADJUSTMENT, DocumentKind.DISPOSAL)
    return posted_by(account, *kinds, *(kind.voiding for kind in kinds))


def posted_by(account: Account, *kinds: DocumentKind) -> str:
    """Take the credits of an account from its debits, as documents of some kinds posted them."""
    parts = (
        f"{where(JOURNAL, 'Debit', Account=account.title, Kind=kind.value)}"
        f"-{where(JOURNAL, 'Credit', Account=account.title, Kind=kind.value)}"
        for kind in kinds
    )
    return "+".join(parts)


def closing(*accounts: Account) -> str:
    """Give what stands on accounts together at the period's end."""
    return "+".join(where(TRIAL, "Closing", Account=account.title) for account in accounts)


def joined(formulas: Iterable[str]) -> str:
    """Add formulas up."""
    return "+".join(f"({formula})" for formula in formulas)


def negative(formula: str) -> str:
    """Turn a formula's sign."""
    return f"-({formula})"


def _word(word: str | Enum) -> str:
    return word if isinstance(word, str) else str(word.value)


_DEBT_KINDS: Final = (DocumentKind.OPENING_DEBT, DocumentKind.CANCELLATION)
DEBTS_TAKEN_OVER: Final = f"-({posted_by(Account.OPENING_BALANCES, *_DEBT_KINDS)})"
"""What customers owed when the books began, less what of it was cancelled."""


_KINDS = (Kind.TEXT, Kind.MONEY, Kind.MONEY, Kind.COUNT, Kind.TEXT)


@dataclass(frozen=True, slots=True)
class Figure:
    """One line: what it is, the formula over the sheets, and the ledger's own figure or a formula for it."""

    label: str
    formula: str
    ledger: int | str
    kind: Kind = Kind.MONEY


@dataclass(frozen=True, slots=True)
class Section:
    """Figures under a heading of their own."""

    heading: str
    figures: tuple[Figure, ...]


def figure_grid(
    report: PeriodReport, title: str, words: str, headings: Sequence[str], widths: Sequence[float], frozen: str = ""
) -> Grid:
    """Give a sheet of figures that are checked, with the head that says whose they are; figures begin in row 5."""
    columns = tuple(
        Heading(heading, width, kind, text=TextFit.ONE_LINE if heading else TextFit.PROSE)
        for heading, width, kind in zip(headings, widths, _KINDS, strict=False)
    )
    return Grid(
        title, columns, head=(f"{report.shop_name}: {report.period}", words, None), frozen=frozen, verdicts="D",
    )  # fmt: skip


def add_figure(grid: Grid, figure: Figure, name: str, *, bold: bool = False, said: str | None = None) -> None:
    """Add a figure with its check, and what is said about it; sums of cents are rounded, or traces of them show."""
    known = figure.ledger if isinstance(figure.ledger, int) else None
    ledger = whole(figure.ledger, kind=figure.kind) if known is None else Number(known, figure.kind)
    agrees = agreement("ROUND(B{#}-C{#},2)=0")
    grid.add(
        figure.label,
        whole(figure.formula, known, figure.kind),
        ledger,
        Formula(agrees.text, agrees.value, plain=True),
        *([said] if said else []),
        name=name,
        look=RowLook.BOLD if bold else RowLook.PLAIN,
    )


def whole(formula: str | int, value: int | None = None, kind: Kind = Kind.MONEY) -> Formula:
    """Round a formula to cents."""
    return Formula(f"ROUND({formula},2)", value, kind)


def add_sections(grid: Grid, sections: Iterable[Section]) -> int:
    """Add figures under their headings; gives how many they are. The first row and the last have a name."""
    count = 0
    for section in sections:
        grid.title_row(section.heading, name="" if count else "first")
        for figure in section.figures:
            count += 1
            add_figure(grid, figure, f"check {count}")
    return count


def all_agree(grid: Grid, count: int) -> Formula:
    """Say whether all checks hold; one that is an error or gone does not."""
    column = grid.verdicts
    return agreement(f'COUNTIF({{first.{column}}}:{{check {count}.{column}}},"{AGREES}")={count}')


def add_verdict(grid: Grid, words: str, formula: Formula, name: str) -> None:
    """Say in one cell whether all of something holds."""
    grid.add(words, None, None, formula, name=name, look=RowLook.BOLD)
