"""What the tax forms ask of the books: Schedule C, what was spent on whom, and a state's sales tax return.

Lines 1 to 7 and Part III follow IRS Publication 334 (2024), chapters 5 to 7; the numbers of the expense lines are
values from memory, after the form of 2024. A worksheet is no return: what is deductible is for the tax preparer to say.

Both views of the goods start from the same postings. As inventories, line 42 is what was there, what was bought and
what is left. As materials that are not incidental, goods count as they go to customers, and nothing stands on lines 35
and 41. Since the books issue goods first in, first out as they leave, both come to the same line 42.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Final

from shopledger.ledger.books.journal import Account, AccountKind
from shopledger.ledger.books.payee_forms import reportable
from shopledger.ledger.books.reports import MoneyEvent, YearFigures
from shopledger.ledger.books.spending_rows import PayeeRow
from shopledger.ledger.settings import Accounting, InventoryView
from shopledger.ledger.stock import StockReason
from shopledger.money.amount import Cents

OTHER: Final = "48"
"""Part V, other expenses, whose sum goes up to line 27b."""

LABELS: Final[Mapping[str, str]] = {
    "1": "Gross receipts or sales",
    "2": "Returns and allowances",
    "3": "Subtract line 2 from line 1",
    "4": "Cost of goods sold (from line 42)",
    "5": "Gross profit",
    "6": "Other income",
    "7": "Gross income",
    "8": "Advertising",
    "9": "Car and truck expenses",
    "10": "Commissions and fees",
    "11": "Contract labor",
    "13": "Depreciation and section 179 expense, as the owner entered it",
    "15": "Insurance (other than health)",
    "16b": "Interest: other",
    "17": "Legal and professional services",
    "18": "Office expense",
    "20a": "Rent or lease: vehicles, machinery, and equipment",
    "20b": "Rent or lease: other business property",
    "21": "Repairs and maintenance",
    "22": "Supplies (not included in Part III)",
    "23": "Taxes and licenses",
    "24a": "Travel",
    "24b": "Deductible meals (the whole amount)",
    "25": "Utilities",
    "26": "Wages (less employment credits)",
    "27b": "Other expenses (from line 48)",
    "28": "Total expenses before business use of home",
    "29": "Tentative profit or (loss)",
    "35": "Inventory at beginning of year",
    "36": "Purchases less cost of items withdrawn for personal use",
    "37": "Cost of labor",
    "38": "Materials and supplies",
    "39": "Other costs",
    "40": "Add lines 35 through 39",
    "41": "Inventory at end of year",
    "42": "Cost of goods sold",
}
"""Each line of the worksheet as the form calls it, in its order.

What lines 1 to 7 and 35 to 42 are stands in IRS Publication 334 (2024); the words, and all of the expense lines, are
values from memory, after the form of 2024. Line 24b adds that no part of it was taken off here.
"""

NOT_KEPT: Final[Mapping[str, str]] = {
    "12": "Depletion",
    "14": "Employee benefit programs (other than on line 19)",
    "16a": "Interest: mortgage (paid to banks, etc.)",
    "19": "Pension and profit-sharing plans",
    "27a": "Energy efficient commercial bldgs deduction",
    "30": "Expenses for business use of your home",
    "31": "Net profit or (loss)",
    "32": "If you have a loss: all or some investment at risk",
    "43": "When the vehicle was placed in service",
    "44": "Miles driven: business, commuting, other",
    "45": "Vehicle available for personal use during off-duty hours?",
    "46": "Another vehicle available for personal use?",
    "47": "Evidence to support the deduction? Written?",
}
"""The lines of the form that the books say nothing of, in the form's words (values from memory, after that of 2024)."""

_AMERICAN: Final = {"labour": "labor", "licences": "licenses"}
"""How the form spells what accounts are called, whose titles are hashed with old entries."""

GOODS: Final = (
    *(Account.INVENTORY, Account.COST_OF_GOODS, Account.STOCK_DIFFERENCES, Account.WRITTEN_OFF),
    Account.PURCHASE_ALLOWANCES,
)
LAB: Final = (Account.WORK_IN_PROGRESS, Account.LENSES, Account.SCRAP)
"""Everything that goods pass through, and everything that lens and lab bills do: what enters it was bought."""
ON_HAND: Final = (Account.INVENTORY, Account.WORK_IN_PROGRESS)
RECEIPTS: Final = (Account.SALES, Account.DISCOUNTS, Account.SHIPPING_INCOME, Account.SELLERS_TAX_CHARGED)

TAKEN_BACK: Final = (MoneyEvent.BOUNCED, MoneyEvent.DISPUTED, MoneyEvent.DISPUTE_WON)
"""What banks and the processor took back of payments, below zero, and gave again."""
ON_ORDERS: Final = (
    *(MoneyEvent.PAYMENT, MoneyEvent.FROM_DEPOSIT, MoneyEvent.MOVED, MoneyEvent.PUT_RIGHT),
    *TAKEN_BACK,
)
"""What was paid on orders and what became of it, but for refunds and cancellations."""

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
    returns, other = figures.change(Account.RETURNS), other_income(figures, accounting)
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
    """Give line 1: what was sold; or what customers paid and left as deposits, without the sales tax of the states.

    On accrual what was paid ahead comes to it where the owner counts that when he receives it.
    """
    if accounting is Accounting.ACCRUAL:
        return figures.advances - figures.change(*RECEIPTS)
    came = figures.moved(MoneyEvent.PAYMENT, MoneyEvent.DEPOSIT, *TAKEN_BACK)
    went = figures.moved(MoneyEvent.DEPOSIT_BACK, MoneyEvent.CANCELLED)
    refunds = sum(row.amount - row.tax for row in figures.of([MoneyEvent.REFUND]))
    return came - went - tax_that_came(figures) - (refunds - figures.change(Account.RETURNS))


def other_income(figures: YearFigures, accounting: Accounting) -> Cents:
    """Give line 6: as it was earned, or without what adjusting entries only moved in time."""
    earned = -figures.change(Account.OTHER_INCOME)
    return earned if accounting is Accounting.ACCRUAL else earned + figures.timed.get(Account.OTHER_INCOME, 0)


def expense(figures: YearFigures, accounting: Accounting, account: Account) -> Cents:
    """Give what an expense comes to: as it arose, or as far as it was paid.

    On cash what adjusting entries only moved in time is left out: it counts as it was paid.
    What customers never paid was no income on the cash basis, so there it is no loss (IRS Publication 334, bad debts;
    value from memory).
    """
    arisen = figures.change(account)
    if accounting is Accounting.ACCRUAL:
        return arisen
    if account is Account.NEVER_PAID:
        return 0
    put_off = figures.bills.billed.get(account, 0) + figures.timed.get(account, 0)
    return arisen - put_off + figures.bills.paid.get(account, 0)


def line_expense(figures: YearFigures, accounting: Accounting, line: str) -> Cents:
    """Give what the accounts of a line come to; line 27b is what Part V adds up to."""
    return sum(expense(figures, accounting, account) for account in accounts_of(OTHER if line == "27b" else line))


def accounts_of(line: str) -> tuple[Account, ...]:
    """Give the expense accounts that go to a line."""
    return tuple(account for account in Account if account.kind is AccountKind.EXPENSE and account.schedule_c == line)


def called(account: Account) -> str:
    """Give what a sheet for the tax preparer calls an account: as the form does, where a line is of it alone.

    Everything else is in the form's spelling.
    """
    if account.schedule_c in LABELS and len(accounts_of(account.schedule_c)) == 1:
        return LABELS[account.schedule_c]
    return " ".join(_AMERICAN.get(word, word) for word in account.title.split()).capitalize()


def expense_lines() -> tuple[str, ...]:
    """Give the lines that have an expense account, in the form's order; Part V stands on line 27b."""
    found = {account.schedule_c for account in Account if account.kind is AccountKind.EXPENSE}
    return tuple(sorted(("27b" if line == OTHER else line for line in found), key=form_order))


def not_kept(first: int, last: int) -> tuple[str, ...]:
    """Give the lines from one number to another that the books say nothing of."""
    return tuple(line for line in NOT_KEPT if first <= form_order(line)[0] <= last)


def purchases(figures: YearFigures) -> dict[str, Cents]:
    """Give what line 36 is made of: goods bought, and what of them the owner took home or gave away, all at cost."""
    own = -figures.goods_against(Account.DRAWS)
    given = -sum(figures.goods_against(account) for account in given_accounts())
    less = figures.change(*GOODS) - brought_in(figures)
    return {"bought": less + own + given, "own use": own, "given away": given}


def given_accounts() -> tuple[Account, ...]:
    """Give the expense accounts that goods go to which leave for nothing."""
    accounts = dict.fromkeys(reason.account for reason in StockReason)
    return tuple(account for account in accounts if account.kind is AccountKind.EXPENSE)


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
            "36": figures.change(Account.COST_OF_GOODS, Account.PURCHASE_ALLOWANCES),
            "37": 0,
            "38": figures.change(Account.LENSES, Account.SCRAP),
            "39": figures.change(Account.STOCK_DIFFERENCES, Account.WRITTEN_OFF),
        }
        left = 0
    whole = sum(lines.values())
    return {**lines, "40": whole, "41": left, "42": whole - left}


def tax_that_came(figures: YearFigures) -> Cents:
    """Give the states' sales tax in what orders were paid, less that in what cancelled orders were paid back."""
    came = sum(row.tax for row in figures.of(ON_ORDERS))
    return came - sum(row.tax for row in figures.of([MoneyEvent.CANCELLED, MoneyEvent.CANCELLED_DEPOSIT]))


def form_order(line: str) -> tuple[int, str]:
    """Give where a line stands on the form."""
    found = _PLACE.fullmatch(line)
    return (int(found[1]), found[2]) if found else (0, line)


def spent_on(figures: YearFigures, payees: Iterable[PayeeRow], limit: Cents) -> Iterator[PayeeRow]:
    """Give what was spent: payees with their forms, and what no payee got, from fees that were kept to sales tax."""
    paid = tuple(payees)
    forms = reportable(paid, limit)
    yield from (replace(row, form=forms.get((row.category, row.payee), "")) for row in paid)
    payouts, reversals = list(figures.of([MoneyEvent.PAYOUT])), list(figures.of(ON_ORDERS))
    for account, payee, count, amount in (
        (Account.FEES, "(kept by the card processor)", sum(row.count for row in payouts),
         sum(row.fee for row in payouts)),
        (Account.FEES, "(taken for payments sent back or disputed)", 0, sum(row.fee for row in reversals)),
        (Account.NEVER_PAID, "(sales never paid, written off)", 0, figures.change(Account.NEVER_PAID)),
        *((each, "(goods given away, at cost)", 0, -figures.goods_against(each)) for each in given_accounts()),
        (Account.TAXES, "(sales tax laid on the shop)", 0, -figures.change(Account.SELLERS_TAX_CHARGED)),
    ):  # fmt: skip
        if amount:
            yield PayeeRow(account.title, payee, count, amount)
