"""Accrual and cash as formulas over the sheets: the lines of each view, and what lies between them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from shopledger.exports.formulas import SALES, change, kept, negative, summed, where
from shopledger.exports.month_goods_sheets import GOODS_COST
from shopledger.exports.month_sheets import MONEY_BACK, PAYMENTS, REFUNDS
from shopledger.exports.month_spending_sheets import BILLS, DEPOSITS, EXPENSES, MONEY_MOVES
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.money_moves import MoveKind
from shopledger.ledger.books.month_spending import ExpenseSource
from shopledger.ledger.books.month_views import BetweenLine, MonthFigures, ViewLine
from shopledger.ledger.settings import Accounting
from shopledger.money.amount import Cents

_EQUIPMENT: Final = Account.EQUIPMENT.title
_SELLERS: Final = where(EXPENSES, "Amount", Source=ExpenseSource.SELLERS_TAX)
_SELLERS_IN: Final = f"{summed(PAYMENTS, 'Seller tax in it')}-{summed(MONEY_BACK, 'Seller tax in it')}"
_TAX_IN: Final = f"{summed(PAYMENTS, 'Tax in it')}-{summed(MONEY_BACK, 'Tax in it')}"
_MONEY_IN: Final = f"{summed(PAYMENTS, 'Amount')}-{summed(PAYMENTS, 'From deposit')}-{summed(MONEY_BACK, 'Amount')}"
_OTHER_INCOME: Final = (
    f"{where(MONEY_MOVES, 'Amount', Kind=MoveKind.OTHER_INCOME)}+{where(MONEY_MOVES, 'Fee', Kind=MoveKind.TAX_PAID)}"
)
_AT_ONCE: Final = where(EXPENSES, "Amount", Source=ExpenseSource.PAID)
_EQUIPMENT_AT_ONCE: Final = where(EXPENSES, "Amount", Source=ExpenseSource.PAID, Account=_EQUIPMENT)

ACCRUAL: Final = {
    ViewLine.CUSTOMERS: kept("Net"),
    ViewLine.SELLERS_TAX_IN: _SELLERS,
    ViewLine.OTHER_INCOME: _OTHER_INCOME,
    ViewLine.GOODS: negative(summed(GOODS_COST, "Cost")),
    ViewLine.EXPENSES: f"{where(EXPENSES, 'Amount', Account=_EQUIPMENT)}+{_SELLERS}-{summed(EXPENSES, 'Amount')}",
    ViewLine.SELLERS_TAX_OUT: negative(_SELLERS),
}
"""What was earned and used up, line by line."""

CASH: Final = {
    ViewLine.CUSTOMERS: f"{_MONEY_IN}-({_TAX_IN})-({_SELLERS_IN})",
    ViewLine.DEPOSITS: f"{summed(DEPOSITS, 'Taken')}-{summed(DEPOSITS, 'Given back')}",
    ViewLine.SELLERS_TAX_IN: _SELLERS_IN,
    ViewLine.OTHER_INCOME: _OTHER_INCOME,
    ViewLine.EXPENSES: f"{_EQUIPMENT_AT_ONCE}-{_AT_ONCE}-{where(EXPENSES, 'Amount', Source=ExpenseSource.FEE)}",
    ViewLine.SELLERS_TAX_OUT: negative(_SELLERS_IN),
    ViewLine.EQUIPMENT: negative(_EQUIPMENT_AT_ONCE),
    ViewLine.BILLS: negative(summed(BILLS, "Paid")),
}
"""What came in and was paid, line by line."""

BETWEEN: Final = {
    BetweenLine.RECEIVABLE: negative(change(Account.RECEIVABLE)),
    BetweenLine.TAX: f"{summed(SALES, 'Tax')}-{summed(REFUNDS, 'Tax')}-({_TAX_IN})-({_SELLERS_IN})",
    BetweenLine.DEPOSITS: negative(change(Account.CUSTOMER_DEPOSITS)),
    BetweenLine.STOCK: (
        f"-({change(Account.INVENTORY)})"
        f"-({change(Account.OPENING_BALANCES)})-{where(MONEY_MOVES, 'Amount', Kind=MoveKind.OPENING)}"
        f"-({change(Account.DRAWS)})+{where(MONEY_MOVES, 'Amount', Kind=MoveKind.DRAW)}"
    ),
    BetweenLine.JOBS: negative(change(Account.JOBS_IN_WORK)),
    BetweenLine.EQUIPMENT: negative(change(Account.EQUIPMENT)),
    BetweenLine.BILLS: negative(change(Account.PAYABLE)),
}
"""What is added to the result on accrual to come to that on cash."""

WHY: Final = {
    BetweenLine.RECEIVABLE: "Sold counts on accrual at once, on cash when it is paid; below nought where more is owed.",
    BetweenLine.TAX: "Sales tax is part of what customers owe, but in neither view part of what the shop earns.",
    BetweenLine.DEPOSITS: "Money taken before an order counts on cash at once, on accrual with the order.",
    BetweenLine.STOCK: "Goods count on accrual as they are shipped, on cash as their bills are paid.",
    BetweenLine.JOBS: "Lens bills count on accrual as their order is shipped, on cash as they are paid.",
    BetweenLine.EQUIPMENT: (
        "On cash it counts as it is paid, on accrual not at all: the tax preparer decides how it is written off."
    ),
    BetweenLine.BILLS: "Billed counts on accrual at once, on cash when it is paid.",
}
"""Why each line lies between the views, in a sentence."""


@dataclass(frozen=True, slots=True)
class View:
    """One way to see the month: its name, its lines as formulas, and the ledger's own figures for them."""

    name: str
    formulas: dict[ViewLine, str]
    ledger: dict[ViewLine, Cents]


def views(figures: MonthFigures, first: Accounting) -> tuple[View, View]:
    """Give both views, the one that the shop has chosen before the other."""
    accrual = View("Accrual", ACCRUAL, figures.accrual)
    cash = View("Cash", CASH, figures.cash)
    return (accrual, cash) if first is Accounting.ACCRUAL else (cash, accrual)
