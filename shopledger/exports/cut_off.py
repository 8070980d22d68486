"""The cut-off: what a period's end leaves open, thing by thing, and what each list comes to beside its account."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from shopledger.exports.sheets import Column, Formula, Grid, Heading, Kind, RowLook, Sheet, agreement
from shopledger.ledger.books.journal import Account, AccountKind
from shopledger.ledger.books.open_rows import OpenKind, OpenRow
from shopledger.ledger.books.reports import Report

TITLE: Final = "Cut-off"
OPEN: Final = Sheet(
    OpenRow,
    "Open items",
    "OpenItems",
    (
        Column("List", lambda row: row.kind.value, "What waits for what; an order stands in one list at most.", 26),
        Column("Number", lambda row: row.number, "Number of the order, bill, deposit or draft.", 9, Kind.NUMBER),
        Column("Date", lambda row: row.day, "Day of it.", 11.5, Kind.DAY),
        Column("Who", lambda row: row.who, "Customer or supplier.", 27),
        Column("What", lambda row: row.about, "What was sent; a bill's invoice, a deposit's method, a draft's reason.",
               24),
        Column("Items", lambda _: 1, "One each, to count them.", 8, Kind.COUNT, total=True),
        Column("Comes to", lambda row: row.whole,
               "An order's charge, less what was refunded and written off; a draft has no charge yet.", 13, Kind.MONEY,
               total=True),
        Column("Paid", lambda row: row.paid, "Paid on the order, or used and given back of the deposit.", 13,
               Kind.MONEY, total=True),
        Column("Open", lambda row: row.left, "What is left of it at the {noun}'s end.", 13, Kind.MONEY, total=True),
    ),
    landscape=True,
    keys=("List",),
)  # fmt: skip

STANDING: Final = {
    Account.RECEIVABLE: "Owed by customers",
    Account.ACCOUNTS_PAYABLE: "Owed to suppliers",
    Account.CUSTOMER_DEPOSITS: "Held for customers",
}
"""The accounts on which open items stand."""


def cut_off_grid(report: Report, standing: Callable[[Account], Formula]) -> Grid:
    """Give the sheet of lists; `standing` says what an account stands at on the last day, debits above zero."""
    period = report.period
    words = f"As of {period.last}: what happened later does not count. Each thing stands on the sheet {OPEN.title}."
    headings = (
        Heading("List", 36, Kind.TEXT), Heading("How many", 12, Kind.COUNT), Heading("Comes to", 16),
        Heading("Paid", 16), Heading("Open", 16), Heading("Check", 12, Kind.COUNT),
    )  # fmt: skip
    grid = Grid(TITLE, headings, head=(f"{report.shop_name}: {period}", words, None), frozen="", verdicts="F",
                one_page=True, landscape=True)  # fmt: skip
    for kind in OpenKind:
        grid.add(f"{kind.value[:1].upper()}{kind.value[1:]}", _of(kind, "Items", Kind.COUNT), *_amounts(kind),
                 Formula('IF(B{#}=0,"none","open")'), name=kind.name)  # fmt: skip
    grid.add()
    grid.add("Against the books", "", "", "Open items", "Account", "Check", look=RowLook.HEADINGS)
    for account, said in STANDING.items():
        rows = "+".join(f"{{{kind.name}.E}}" for kind in OpenKind if kind.account is account)
        turned = account.kind is not AccountKind.ASSET
        stands = standing(account)
        books = Formula(f"ROUND({'-' if turned else ''}({stands.text}),2)")
        grid.add(said, None, None, Formula(f"ROUND({rows},2)"), books, agreement("ROUND(D{#}-E{#},2)=0"),
                 name=account.name)  # fmt: skip
    return grid


def _amounts(kind: OpenKind) -> tuple[Formula, ...]:
    return tuple(_of(kind, header, Kind.MONEY) for header in ("Comes to", "Paid", "Open"))


def _of(kind: OpenKind, header: str, shown: Kind) -> Formula:
    return Formula(f'ROUND(SUMIFS({OPEN.part(header)},{OPEN.part("List")},"{kind.value}"),2)', kind=shown)
