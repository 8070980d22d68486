"""The cut-off: what a period's end leaves open, thing by thing, and what each list comes to beside its account."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from shopledger.exports.formulas import summed, where
from shopledger.exports.sheets import Column, Formula, Grid, Heading, Kind, RowLook, Sheet, agreement
from shopledger.ledger.books.journal import Account, AccountKind
from shopledger.ledger.books.open_rows import OpenKind, OpenRow
from shopledger.ledger.books.posting_rules import STANDS_ON
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
        Column("Open", lambda row: row.left, "What is left of it at the {noun}'s end.", 12, Kind.MONEY, total=True),
        Column("Left unpaid", lambda row: row.owed, "Of an order: what left and the customer owes.", 12, Kind.MONEY,
               total=True),
        Column("Paid ahead", lambda row: row.ahead, "Of an order: what is paid and did not leave.", 12, Kind.MONEY,
               total=True),
        Column("Counts later", lambda row: row.later_net,
               "Of an order: its net charges that count as sold when the goods leave.", 12, Kind.MONEY, total=True),
        Column("Tax later", lambda row: row.later - row.later_net, "Sales tax on those.", 10, Kind.MONEY, total=True),
    ),
    landscape=True,
    keys=("List",),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Standing:
    """What open items come to together, and the accounts on which that stands."""

    words: str
    accounts: tuple[Account, ...]
    rows: Callable[[Callable[..., str], Callable[..., str]], str]
    """How the sheet adds them up, by its formulas over all rows and over those of a list."""

    @property
    def debit(self) -> bool:
        """Whether it stands there above zero as a debit."""
        return self.accounts[0].kind is AccountKind.ASSET


STANDING: Final = (
    Standing(
        "Owed by customers, less what they paid ahead",
        STANDS_ON,
        lambda summed, _: f"{summed(OPEN, 'Left unpaid')}-{summed(OPEN, 'Paid ahead')}",
    ),
    Standing(
        "Owed to suppliers", (Account.ACCOUNTS_PAYABLE,), lambda _, where: where(OPEN, "Open", List=OpenKind.BILL)
    ),
    Standing(
        "Held for customers", (Account.CUSTOMER_DEPOSITS,), lambda _, where: where(OPEN, "Open", List=OpenKind.DEPOSIT)
    ),
)
"""What open items come to, beside the accounts."""


_AMOUNTS: Final = ("Comes to", "Paid", "Open", "Left unpaid", "Paid ahead", "Counts later", "Tax later")
_MOVES: Final = {
    OpenKind.SOLD: "No sale yet; what is paid of it is a liability.",
    OpenKind.PAID: "A liability, and no sale yet.",
    OpenKind.SHIPPED: "A sale, and owed by the customer.",
    OpenKind.OVERPAID: "To be given back to the customer.",
    OpenKind.BILL: "Owed to the supplier.",
    OpenKind.DEPOSIT: "Held for the customer, for no order yet.",
    OpenKind.DRAFT: "Not in the books.",
}
"""What being open means for the books."""


def cut_off_grid(report: Report, standing: Callable[[Account], Formula]) -> Grid:
    """Give the sheet of lists; `standing` says what an account stands at on the last day, debits above zero."""
    period = report.period
    words = (
        f"As of {period.last}: what happened later does not count. Each thing stands on the sheet {OPEN.title}. An "
        "order counts as sold, with its sales tax and its cost, when its goods leave."
    )
    headings = (
        Heading("List", 30, Kind.TEXT), Heading("How many", 10, Kind.COUNT),
        *(Heading(header, 14) for header in _AMOUNTS), Heading("In the books", 38, Kind.TEXT),
    )  # fmt: skip
    grid = Grid(TITLE, headings, head=(f"{report.shop_name}: {period}", words, None), frozen="", verdicts="F",
                one_page=True, landscape=True)  # fmt: skip
    for kind in OpenKind:
        amounts = (_of(kind, header, Kind.MONEY) for header in _AMOUNTS)
        grid.add(f"{kind.value[:1].upper()}{kind.value[1:]}", _of(kind, "Items", Kind.COUNT), *amounts, _MOVES[kind],
                 name=kind.name)  # fmt: skip
    grid.add()
    grid.add("Against the books", "", "", "Open items", "Accounts", "Check", look=RowLook.HEADINGS)
    for each in STANDING:
        books = "+".join(f"({standing(account).text})" for account in each.accounts)
        rows = each.rows(summed, where)
        grid.add(each.words, None, None, Formula(f"ROUND({rows},2)"),
                 Formula(f"ROUND({'' if each.debit else '-'}({books}),2)"), agreement("ROUND(D{#}-E{#},2)=0"),
                 name=each.accounts[0].name)  # fmt: skip
    return grid


def _of(kind: OpenKind, header: str, shown: Kind) -> Formula:
    return Formula(f'ROUND(SUMIFS({OPEN.part(header)},{OPEN.part("List")},"{kind.value}"),2)', kind=shown)
