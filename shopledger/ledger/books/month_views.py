"""A month seen twice: on accrual, as things were sold and billed; and on cash, as money came and went.

Both come from the same books, so what lies between them can be told account by account and adds up exactly
(IRS Publication 334, chapter 2, for the two methods; the way from one to the other is only bookkeeping).
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from shopledger.ledger.books.journal import Account, AccountKind
from shopledger.ledger.books.month import MonthPosted, MonthTotals
from shopledger.money.amount import Cents


class ViewLine(Enum):
    """The lines of both views; money out stands below nought."""

    CUSTOMERS = "Sold to customers, less refunds, without sales tax"
    DEPOSITS = "Deposits taken less given back"
    SELLERS_TAX_IN = "Sales tax that is laid on the seller, charged"
    OTHER_INCOME = "Other income"
    GOODS = "Cost of goods shipped, with lenses and lab work"
    EXPENSES = "Expenses"
    SELLERS_TAX_OUT = "Sales tax that is laid on the seller, owed"
    EQUIPMENT = "Equipment paid at once"
    BILLS = "Suppliers' bills paid"


class BetweenLine(Enum):
    """What leads from the result on accrual to the result on cash."""

    RECEIVABLE = "Customers owe more than before"
    TAX = "Sales tax charged that did not come in yet"
    DEPOSITS = "Deposits wait for their orders"
    STOCK = "Goods bought that were not shipped yet"
    JOBS = "Lenses and lab work billed for jobs that were not shipped yet"
    EQUIPMENT = "Equipment bought"
    BILLS = "Bills that were not paid yet"


@dataclass(frozen=True, slots=True)
class MonthMoney:
    """What the month's own rows say of money, beside the totals: the cash view is made of it."""

    received: Cents = 0
    """Payments, without those taken from deposits."""
    from_deposits: Cents = 0
    received_tax: Cents = 0
    """Sales tax of the state's in all payments."""
    received_sellers_tax: Cents = 0
    given_back: Cents = 0
    """Money back to customers; what became a deposit again is not among it."""
    to_deposits: Cents = 0
    given_back_tax: Cents = 0
    given_back_sellers_tax: Cents = 0
    deposits_taken: Cents = 0
    deposits_given_back: Cents = 0
    expenses: Cents = 0
    """Paid at once, without equipment."""
    equipment: Cents = 0
    bills_paid: Cents = 0
    fees: Cents = 0
    """What the card processor kept of its payouts."""
    other_income: Cents = 0
    tax_paid: Cents = 0
    """Sales tax handed on to states, with what these let the shop keep of it."""
    tax_kept: Cents = 0
    """What states let the shop keep."""
    opening_money: Cents = 0
    """There when the books began."""
    drawn: Cents = 0
    """Money that the owner took out; goods taken home are not among it."""

    @property
    def sellers_tax(self) -> Cents:
        """Sales tax laid on the seller that came in, less what was given back."""
        return self.received_sellers_tax - self.given_back_sellers_tax

    @property
    def tax(self) -> Cents:
        """All sales tax that came in, less what was given back."""
        return self.received_tax - self.given_back_tax + self.sellers_tax


@dataclass(frozen=True, slots=True)
class MonthFigures:
    """All of the ledger's own figures for a month."""

    totals: MonthTotals
    posted: MonthPosted
    money: MonthMoney

    @property
    def accrual(self) -> dict[ViewLine, Cents]:
        """Give what was earned and used up in the month, as posted."""
        posted = self.posted
        return {
            ViewLine.CUSTOMERS: posted.net_sales,
            ViewLine.SELLERS_TAX_IN: -posted.change(Account.SELLERS_TAX_CHARGED),
            ViewLine.OTHER_INCOME: -posted.change(Account.OTHER_INCOME),
            ViewLine.GOODS: -posted.of_kind(AccountKind.COST),
            ViewLine.EXPENSES: -posted.of_kind(AccountKind.EXPENSE) - posted.change(Account.SELLERS_TAX_CHARGED),
            ViewLine.SELLERS_TAX_OUT: posted.change(Account.SELLERS_TAX_CHARGED),
        }

    @property
    def cash(self) -> dict[ViewLine, Cents]:
        """Give what came in and was paid in the month, without the sales tax that belongs to the states."""
        money = self.money
        came = money.received - money.received_tax - money.received_sellers_tax
        went = money.given_back - money.given_back_tax - money.given_back_sellers_tax
        return {
            ViewLine.CUSTOMERS: came - went,
            ViewLine.DEPOSITS: money.deposits_taken - money.deposits_given_back,
            ViewLine.SELLERS_TAX_IN: money.sellers_tax,
            ViewLine.OTHER_INCOME: money.other_income + money.tax_kept,
            ViewLine.EXPENSES: -money.expenses - money.fees,
            ViewLine.SELLERS_TAX_OUT: -money.sellers_tax,
            ViewLine.EQUIPMENT: -money.equipment,
            ViewLine.BILLS: -money.bills_paid,
        }

    @property
    def between(self) -> dict[BetweenLine, Cents]:
        """Give what is added to the result on accrual to come to the result on cash."""
        change, money = self.posted.change, self.money
        # What came from the owner and went to him is no purchase and no sale: stock of the beginning, goods taken home.
        owners = -change(Account.OPENING_BALANCES) - money.opening_money - change(Account.DRAWS) + money.drawn
        return {
            BetweenLine.RECEIVABLE: -change(Account.RECEIVABLE),
            BetweenLine.TAX: money.tax_paid - change(Account.SALES_TAX_PAYABLE) - money.tax,
            BetweenLine.DEPOSITS: -change(Account.CUSTOMER_DEPOSITS),
            BetweenLine.STOCK: owners - change(Account.INVENTORY),
            BetweenLine.JOBS: -change(Account.JOBS_IN_WORK),
            BetweenLine.EQUIPMENT: -change(Account.EQUIPMENT),
            BetweenLine.BILLS: -change(Account.PAYABLE),
        }

    @property
    def accrual_result(self) -> Cents:
        """Income less cost and expense of the month."""
        return sum(self.accrual.values())

    @property
    def cash_result(self) -> Cents:
        """What came in less what was paid."""
        return sum(self.cash.values())
