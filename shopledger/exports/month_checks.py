"""What must agree if a month is whole: sheet against sheet, and each against the accounts of the journal."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from shopledger.exports.columns import Kind
from shopledger.exports.formulas import ANY, SALES, change, closing, negative, summed, where
from shopledger.exports.month_books_sheets import JOURNAL, TRIAL
from shopledger.exports.month_figures import Figure, Section, across
from shopledger.exports.month_goods_sheets import GOODS_COST, MOVEMENTS, STOCK
from shopledger.exports.month_sheets import MONEY_BACK, PAYMENTS, REFUNDS
from shopledger.exports.month_spending_sheets import BILLS, DEPOSITS, EXPENSES, MONEY_MOVES
from shopledger.exports.view_figures import ACCRUAL, BETWEEN, CASH
from shopledger.ledger.books.journal import Account, AccountKind
from shopledger.ledger.books.money_moves import MoveKind
from shopledger.ledger.books.month import MonthTotals
from shopledger.ledger.books.month_rows import MoneyBackCause
from shopledger.ledger.books.month_spending import BilledFor, ExpenseSource
from shopledger.ledger.books.postings import MONEY_ACCOUNTS
from shopledger.ledger.books.spending import SpendMethod
from shopledger.ledger.offers import LineKind
from shopledger.ledger.stock import StockReason

_GOODS_KINDS: Final = tuple(kind for kind in LineKind if kind is not LineKind.SHIPPING)


def checks(totals: MonthTotals) -> tuple[Section, ...]:
    """Give all checks, by heading: each from two sides that must be equal."""
    return (
        Section("The journal in itself", tuple(_books())),
        Section("The sheets against one another", across(totals)),
        Section("Customers, against the journal", tuple(_customers())),
        Section("Money, against the journal", tuple(_money())),
        Section("Goods, against the journal", tuple(_goods())),
        Section("Spending, against the journal", tuple(_spending())),
        Section("Accrual and cash", tuple(_views())),
    )


def _books() -> Iterator[Figure]:
    debits = summed(JOURNAL, "Debit")
    yield Figure("Debits are credits", debits, summed(JOURNAL, "Credit"))
    yield Figure("Debits of the trial balance", summed(TRIAL, "Debits"), debits)
    yield Figure("Credits of the trial balance", summed(TRIAL, "Credits"), summed(JOURNAL, "Credit"))
    yield Figure("The trial balance opens at nought", summed(TRIAL, "Opening"), 0)
    yield Figure("The trial balance closes at nought", summed(TRIAL, "Closing"), 0)


def _customers() -> Iterator[Figure]:
    # Together, since the sales of ledgers begun before offers were posted apart stand there net.
    sold = "+".join(where(SALES, "Net", Kind=kind) for kind in _GOODS_KINDS)
    yield Figure("Sales less offers and discounts", sold, negative(change(Account.SALES, Account.DISCOUNTS)))
    yield Figure(
        "Shipping income", where(SALES, "Net", Kind=LineKind.SHIPPING), negative(change(Account.SHIPPING_INCOME))
    )
    yield Figure("Returns and allowances", summed(REFUNDS, "Net"), change(Account.RETURNS))
    charged = f"{summed(SALES, 'Tax')}-{summed(REFUNDS, 'Tax')}"
    handed_on = where(MONEY_MOVES, "Amount", Kind=MoveKind.TAX_PAID)
    yield Figure("Sales tax owed", f"{charged}-{handed_on}", negative(change(Account.SALES_TAX_PAYABLE)))
    sellers = where(EXPENSES, "Amount", Source=ExpenseSource.SELLERS_TAX)
    yield Figure("Sales tax laid on the seller", sellers, negative(change(Account.SELLERS_TAX_CHARGED)))
    back = f"{where(MONEY_BACK, 'Amount', Cause=MoneyBackCause.CANCELLATION)}+{summed(MONEY_BACK, 'To deposit')}"
    owed = f"{summed(SALES, 'Net')}+{summed(SALES, 'Tax')}-{summed(PAYMENTS, 'Amount')}+{back}"
    yield Figure("Owed by customers", owed, change(Account.RECEIVABLE))
    left = f"{summed(DEPOSITS, 'Left')}-{summed(DEPOSITS, 'Before')}"
    yield Figure("Customers' deposits", left, negative(change(Account.CUSTOMER_DEPOSITS)))
    yield Figure(
        "Customers' deposits at the month's end", summed(DEPOSITS, "Left"), negative(closing(Account.CUSTOMER_DEPOSITS))
    )
    yield Figure(
        "Deposits used",
        f"{summed(PAYMENTS, 'From deposit')}-{summed(MONEY_BACK, 'To deposit')}",
        summed(DEPOSITS, "Used"),
    )


def _money() -> Iterator[Figure]:
    for account in dict.fromkeys(MONEY_ACCOUNTS.values()):
        yield Figure(account.title.capitalize(), _through(account), change(account))
    moved = f"{where(MONEY_MOVES, 'Amount', Kind=MoveKind.CARD_PAID)}"
    yield Figure("Credit card owed", f"{moved}-({_spent(SpendMethod.CARD)})", change(Account.CREDIT_CARD))
    put_in = where(MONEY_MOVES, "Amount", Kind=MoveKind.CONTRIBUTION)
    yield Figure(
        "Owner contributions", f"{put_in}+{_spent(SpendMethod.OWNER)}", negative(change(Account.CONTRIBUTIONS))
    )
    taken = where(MONEY_MOVES, "Amount", Kind=MoveKind.DRAW)
    own_use = where(MOVEMENTS, "Cost", Reason=StockReason.OWN_USE)
    yield Figure("Owner draws, goods taken home included", f"{taken}-{own_use}", change(Account.DRAWS))
    income = where(MONEY_MOVES, "Amount", Kind=MoveKind.OTHER_INCOME)
    let_keep = where(MONEY_MOVES, "Fee", Kind=MoveKind.TAX_PAID)
    yield Figure("Other income", f"{income}+{let_keep}", negative(change(Account.OTHER_INCOME)))


def _through(account: Account) -> str:
    """Give what came into an account of money less what went out of it, by the methods that go through it."""
    methods = [method for method, into in MONEY_ACCOUNTS.items() if into is account]
    came, went = [], []
    for method in methods:
        came += [where(PAYMENTS, "Amount", Method=method), where(DEPOSITS, "Taken", Method=method)]
        went += [
            where(PAYMENTS, "From deposit", Method=method),
            where(MONEY_BACK, "Amount", Method=method),
            where(DEPOSITS, "Given back", Method=method),
        ]
    spent = [f"({_spent(method)})" for method in SpendMethod if method.account is account]
    moved = summed(MONEY_MOVES, account.title.capitalize())
    return "-".join(["+".join([*came, moved]), *went, *spent])


def _spent(method: SpendMethod) -> str:
    """Add up what was paid by a method, at once and on bills."""
    return f"{where(EXPENSES, 'Amount', Method=method)}+{where(BILLS, 'Paid', Method=method)}"


def _goods() -> Iterator[Figure]:
    yield Figure("Inventory", summed(MOVEMENTS, "Cost"), change(Account.INVENTORY))
    yield Figure("Inventory at the month's end", summed(STOCK, "Closing value"), closing(Account.INVENTORY))
    counted = f"{summed(STOCK, 'Closing')}-{summed(STOCK, 'Opening')}"
    yield Figure("Items that came and went", summed(MOVEMENTS, "Count"), counted, Kind.COUNT)
    for account in Account:
        if account.kind is AccountKind.COST:
            cost = where(GOODS_COST, "Cost", Account=account.title)
            yield Figure(account.title.capitalize(), cost, change(account))
    moved = "+".join(where(MOVEMENTS, "Cost", Reason=each) for each in (StockReason.SOLD, StockReason.RETURNED))
    yield Figure("Cost of goods sold, from Stock movements", negative(moved), change(Account.COST_OF_GOODS))
    written_off = where(MOVEMENTS, "Cost", Reason=StockReason.WRITTEN_OFF)
    yield Figure("Written off, from Stock movements", negative(written_off), change(Account.WRITTEN_OFF))
    billed = where(BILLS, "Billed", For=BilledFor.JOB)
    stand = change(Account.JOBS_IN_WORK, Account.LENSES, Account.SCRAP)
    yield Figure("Billed for jobs: in work, shipped or scrapped", billed, stand)


def _spending() -> Iterator[Figure]:
    for account in Account:
        if account.kind is AccountKind.EXPENSE or account is Account.EQUIPMENT:
            spent = where(EXPENSES, "Amount", Account=account.title)
            yield Figure(account.title.capitalize(), spent, change(account))
    on_bills = where(EXPENSES, "Amount", Source=ExpenseSource.BILLED)
    yield Figure("Expenses on bills, from Bills", where(BILLS, "Billed", For=BilledFor.EXPENSE), on_bills)
    owed = f"{summed(BILLS, 'Owed')}-{summed(BILLS, 'Before')}"
    yield Figure("Bills to pay", owed, negative(change(Account.PAYABLE)))
    yield Figure("Bills to pay at the month's end", summed(BILLS, "Owed"), negative(closing(Account.PAYABLE)))
    yield Figure(
        "Goods billed, from Stock movements",
        where(BILLS, "Billed", For=BilledFor.STOCK),
        where(MOVEMENTS, "Cost", Reason=StockReason.RECEIVED, Bill=ANY),
    )


def _views() -> Iterator[Figure]:
    earned = (
        negative(f"{where(TRIAL, 'Debits', Kind=kind)}-{where(TRIAL, 'Credits', Kind=kind)}")
        for kind in AccountKind
        if not kind.lasts
    )
    accrual = "+".join(f"({formula})" for formula in ACCRUAL.values())
    between = "+".join(f"({formula})" for formula in BETWEEN.values())
    cash = "+".join(f"({formula})" for formula in CASH.values())
    yield Figure("Result on accrual, from the trial balance", accrual, "+".join(earned))
    yield Figure("Result on accrual and what lies between, result on cash", f"{accrual}+{between}", cash)
