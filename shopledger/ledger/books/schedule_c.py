"""The year on the lines of Schedule C, in both accounting views and both views of the goods.

Lines 1 to 7 and Part III follow IRS Publication 334 (2024), chapters 5 to 7; the numbers of the expense lines are
values from memory, after the form of 2024. A worksheet is no return: what is deductible is for the tax preparer to say.

Both views of the goods start from the same postings. As inventories, line 42 is what was there, what was bought and
what is left. As materials that are not incidental, goods count as they go to customers, and nothing stands on lines 35
and 41. Since the books issue goods first in, first out as they leave, both come to the same line 42.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from shopledger.ledger.books.journal import Account, AccountKind
from shopledger.ledger.books.year import MoneyEvent, YearFigures
from shopledger.ledger.settings import Accounting, InventoryView
from shopledger.ledger.stock import StockReason
from shopledger.money.amount import Cents

OTHER: Final = "48"
"""Part V, other expenses, whose sum goes up to line 27b."""

LABELS: Final[Mapping[str, str]] = {
    "1": "Gross receipts or sales",
    "2": "Returns and allowances",
    "3": "Line 1 less line 2",
    "4": "Cost of goods sold (line 42)",
    "5": "Gross profit",
    "6": "Other income",
    "7": "Gross income",
    "8": "Advertising",
    "9": "Car and truck",
    "10": "Commissions and fees",
    "11": "Contract labour",
    "15": "Insurance, other than health",
    "16b": "Interest, other than mortgage",
    "17": "Legal and professional services",
    "18": "Office expense",
    "20a": "Rent of vehicles, machinery and equipment",
    "20b": "Rent of other business property",
    "21": "Repairs and maintenance",
    "22": "Supplies",
    "23": "Taxes and licences",
    "24a": "Travel",
    "24b": "Meals, whole",
    "25": "Utilities",
    "26": "Wages",
    "27b": "Other expenses (line 48)",
    "28": "Total expenses",
    "29": "Tentative profit or loss",
    "35": "Inventory at the beginning of the year",
    "36": "Purchases less items taken for own use and given away",
    "37": "Cost of labour",
    "38": "Materials and supplies: lens and lab bills",
    "39": "Other costs",
    "40": "Lines 35 to 39",
    "41": "Inventory at the end of the year",
    "42": "Cost of goods sold",
}
"""Each line of the worksheet in a few words of its own, in the order of the form."""

GOODS: Final = (Account.INVENTORY, Account.COST_OF_GOODS, Account.STOCK_DIFFERENCES, Account.WRITTEN_OFF)
LAB: Final = (Account.JOBS_IN_WORK, Account.LENSES, Account.SCRAP)
"""Everything that goods pass through, and everything that lens and lab bills do: what enters it was bought."""
ON_HAND: Final = (Account.INVENTORY, Account.JOBS_IN_WORK)
RECEIPTS: Final = (Account.SALES, Account.DISCOUNTS, Account.SHIPPING_INCOME, Account.SELLERS_TAX_CHARGED)

_PLACE: Final = re.compile(r"([0-9]+)([a-z]?)")


@dataclass(frozen=True, slots=True)
class ScheduleC:
    """What each line comes to, in one accounting view and one view of the goods."""

    accounting: Accounting
    view: InventoryView
    amounts: Mapping[str, Cents]

    def __getitem__(self, line: str) -> Cents:
        """Give what a line comes to."""
        return self.amounts[line]


def schedule_c(figures: YearFigures, accounting: Accounting, view: InventoryView) -> ScheduleC:
    """Work every line of the worksheet out."""
    goods = _goods(figures, view)
    first = gross_receipts(figures, accounting)
    returns, other = figures.change(Account.RETURNS), -figures.change(Account.OTHER_INCOME)
    income = {
        "1": first,
        "2": returns,
        "3": first - returns,
        "4": goods["42"],
        "5": first - returns - goods["42"],
        "6": other,
        "7": first - returns - goods["42"] + other,
    }
    spent = {line: line_expense(figures, accounting, line) for line in expense_lines()}
    total = sum(spent.values())
    sums = {"27b": line_expense(figures, accounting, OTHER), "28": total, "29": income["7"] - total}
    amounts = {**income, **spent, **sums, **goods}
    return ScheduleC(accounting, view, {line: amounts[line] for line in LABELS})


def gross_receipts(figures: YearFigures, accounting: Accounting) -> Cents:
    """Give line 1: what was sold; or what customers paid and left as deposits, without the sales tax of the states."""
    if accounting is Accounting.ACCRUAL:
        return -figures.change(*RECEIPTS)
    came = figures.moved(MoneyEvent.PAYMENT, MoneyEvent.DEPOSIT)
    went = figures.moved(MoneyEvent.DEPOSIT_BACK, MoneyEvent.CANCELLED)
    refunds = sum(row.amount - row.tax for row in figures.of([MoneyEvent.REFUND]))
    return came - went - _tax_that_came(figures) - (refunds - figures.change(Account.RETURNS))


def expense(figures: YearFigures, accounting: Accounting, account: Account) -> Cents:
    """Give what an expense comes to: as it arose, or as far as it was paid."""
    arisen = figures.change(account)
    if accounting is Accounting.ACCRUAL:
        return arisen
    return arisen - figures.bills.billed.get(account, 0) + figures.bills.paid.get(account, 0)


def line_expense(figures: YearFigures, accounting: Accounting, line: str) -> Cents:
    """Give what the accounts of a line come to; line 27b is what Part V adds up to."""
    return sum(expense(figures, accounting, account) for account in accounts_of(OTHER if line == "27b" else line))


def accounts_of(line: str) -> tuple[Account, ...]:
    """Give the expense accounts that go to a line."""
    return tuple(account for account in Account if account.kind is AccountKind.EXPENSE and account.schedule_c == line)


def expense_lines() -> tuple[str, ...]:
    """Give the lines that have an expense account, in the form's order; Part V stands on line 27b."""
    found = {account.schedule_c for account in Account if account.kind is AccountKind.EXPENSE}
    return tuple(sorted(("27b" if line == OTHER else line for line in found), key=_order))


def purchases(figures: YearFigures) -> dict[str, Cents]:
    """Give what line 36 is made of: goods bought, and what of them the owner took home or gave away, all at cost."""
    own, given = -figures.goods.get(StockReason.OWN_USE, 0), -figures.goods.get(StockReason.GIVEN, 0)
    less = figures.change(*GOODS) - brought_in(figures)
    return {"bought": less + own + given, "own use": own, "given away": given}


def brought_in(figures: YearFigures) -> Cents:
    """Give the stock that the books began with, where they began in this year: it was there before them."""
    return figures.goods.get(StockReason.OPENING, 0)


def _goods(figures: YearFigures, view: InventoryView) -> dict[str, Cents]:
    """Give lines 35 to 42."""
    if view is InventoryView.INVENTORY:
        lines = {
            "35": figures.opened_at(*ON_HAND) + brought_in(figures),
            "36": figures.change(*GOODS) - brought_in(figures),
            "37": 0,
            "38": figures.change(*LAB),
            "39": 0,
        }
        left = figures.closed_at(*ON_HAND)
    else:
        lines = {
            "35": 0,
            "36": figures.change(Account.COST_OF_GOODS),
            "37": 0,
            "38": figures.change(Account.LENSES, Account.SCRAP),
            "39": figures.change(Account.STOCK_DIFFERENCES, Account.WRITTEN_OFF),
        }
        left = 0
    whole = sum(lines.values())
    return {**lines, "40": whole, "41": left, "42": whole - left}


def _tax_that_came(figures: YearFigures) -> Cents:
    """Give the states' sales tax in what orders were paid, less that in what cancelled orders were paid back."""
    came = sum(row.tax for row in figures.of([MoneyEvent.PAYMENT, MoneyEvent.FROM_DEPOSIT]))
    return came - sum(row.tax for row in figures.of([MoneyEvent.CANCELLED, MoneyEvent.CANCELLED_DEPOSIT]))


def _order(line: str) -> tuple[int, str]:
    found = _PLACE.fullmatch(line)
    return (int(found[1]), found[2]) if found else (0, line)
