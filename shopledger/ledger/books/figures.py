"""What a period comes to: its totals, what its accounts changed by, and its result on accrual and on cash.

What was taken back counts on the day it was taken back. On accrual things count as they were sold and billed, on cash
as money came and went. Both views come from the same books, so what lies between them can be told account by account
and adds up exactly (IRS Publication 334, chapter 2, for the two methods; the way between them is only bookkeeping).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum

from shopledger.ledger.books.journal import Account, AccountKind
from shopledger.money.amount import Cents


@dataclass(frozen=True, slots=True)
class PeriodTotals:
    """The ledger's own figures for the period, which the workbook's formulas must meet.

    What was sold is what left, less what came back undelivered; what was given up of it stands beside it.
    """

    orders: int
    """Recorded in the period, whatever left of them."""
    list_total: Cents
    reduction_total: Cents
    net_total: Cents
    tax_total: Cents
    payments_total: Cents
    cancellations: int = 0
    cancelled_list: Cents = 0
    cancelled_reduction: Cents = 0
    cancelled_net: Cents = 0
    cancelled_tax: Cents = 0
    repaid: Cents = 0
    """Payments of cancelled orders, paid back."""
    refunds: int = 0
    refunded_net: Cents = 0
    refunded_tax: Cents = 0
    """Of what counted as sold by then; what was paid ahead is given back without ever having been a sale."""
    put_right_list: Cents = 0
    """What corrections let count as sold, less what they took out as never sold."""
    put_right_reduction: Cents = 0
    put_right_net: Cents = 0
    put_right_tax: Cents = 0
    lowered_net: Cents = 0
    """What lines gave up without money: reduced, or exchanged for others."""
    lowered_tax: Cents = 0
    refunded: Cents = 0
    """Money given back by refunds."""

    @property
    def net_kept(self) -> Cents:
        """Net sales, as put right, less cancellations and what lines gave up."""
        return self.net_total + self.put_right_net - self.cancelled_net - self.given_up_net

    @property
    def tax_kept(self) -> Cents:
        """Sales tax, as put right, less that of cancellations and of what lines gave up."""
        return self.tax_total + self.put_right_tax - self.cancelled_tax - self.given_up_tax

    @property
    def given_up_net(self) -> Cents:
        """What lines gave up after the sale, with money or without."""
        return self.refunded_net + self.lowered_net

    @property
    def given_up_tax(self) -> Cents:
        """The sales tax on it."""
        return self.refunded_tax + self.lowered_tax

    @property
    def corrected(self) -> bool:
        """Whether anything was put right, exchanged or reduced."""
        return any((self.put_right_list, self.put_right_net, self.put_right_tax, self.lowered_net, self.lowered_tax))

    @property
    def money_back(self) -> Cents:
        """What customers got back, by refunds and by cancellations."""
        return self.repaid + self.refunded

    @property
    def money_kept(self) -> Cents:
        """Payments received less money given back."""
        return self.payments_total - self.money_back


@dataclass(frozen=True, slots=True)
class PeriodPosted:
    """What the journal's accounts changed by in the period: debits less credits."""

    changes: Mapping[Account, Cents]

    def change(self, *accounts: Account) -> Cents:
        """Give the change of these accounts together."""
        return sum(self.changes.get(account, 0) for account in accounts)

    def of_kind(self, kind: AccountKind) -> Cents:
        """Give the change of all accounts of a kind together."""
        return self.change(*(account for account in Account if account.kind is kind))

    @property
    def net_sales(self) -> Cents:
        """Sales and shipping income less returns, as posted."""
        return -self.change(Account.SALES, Account.DISCOUNTS, Account.SHIPPING_INCOME, Account.RETURNS)

    @property
    def tax_owed(self) -> Cents:
        """By how much the sales tax owed grew, as posted."""
        return -self.change(Account.SALES_TAX_PAYABLE)


class ViewLine(Enum):
    """The lines of both views; money out stands below zero."""

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
    PREPAYMENTS = "Customers paid ahead of their goods"
    TAX = "Sales tax charged that did not come in yet"
    DEPOSITS = "Deposits wait for their orders"
    STOCK = "Goods bought that were not shipped yet"
    JOBS = "Lenses and lab work billed for jobs that were not shipped yet"
    EQUIPMENT = "Equipment bought"
    BILLS = "Bills that were not paid yet"
    TIMED = "Paid ahead or owed by adjusting entries"


@dataclass(frozen=True, slots=True)
class PeriodMoney:
    """What the period's own rows say of money, beside the totals: the cash view is made of it."""

    received: Cents = 0
    """Payments, without those taken from deposits, less what banks and the processor took back of them."""
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
    """What the card processor kept of its payouts, and what was taken for payments sent back or disputed."""
    other_income: Cents = 0
    """That came in as money."""
    tax_paid: Cents = 0
    """Sales tax handed on to states, with what these let the shop keep of it."""
    tax_kept: Cents = 0
    """What states let the shop keep."""
    opening_money: Cents = 0
    """There when the books began."""
    debts_taken_over: Cents = 0
    """What customers owed when the books began, less what of it was cancelled: no sale of these books."""
    drawn: Cents = 0
    """Money that the owner took out; goods taken home are not among it."""
    equipment_entered: Cents = 0
    """By adjusting entries, the opening position and what of equipment is gone: it counts in neither view."""
    tax_entered: Cents = 0
    """Sales tax that was owed when the books began, below zero."""
    expenses_entered: Cents = 0
    """By adjusting entries, without those of time alone: they count in both views."""
    income_entered: Cents = 0
    timed: Cents = 0
    """What adjusting entries of time alone took off the result on accrual, below zero where they added to it."""
    income_timed: Cents = 0
    """What of that is other income, which they added."""

    @property
    def sellers_tax(self) -> Cents:
        """Sales tax laid on the seller that came in, less what was given back."""
        return self.received_sellers_tax - self.given_back_sellers_tax

    @property
    def tax(self) -> Cents:
        """All sales tax that came in, less what was given back."""
        return self.received_tax - self.given_back_tax + self.sellers_tax


@dataclass(frozen=True, slots=True)
class PeriodFigures:
    """All of the ledger's own figures for a period."""

    totals: PeriodTotals
    posted: PeriodPosted
    money: PeriodMoney

    @property
    def accrual(self) -> dict[ViewLine, Cents]:
        """Give what was earned and used up in the period, as posted."""
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
        """Give what came in and was paid in the period, without the sales tax that belongs to the states."""
        money = self.money
        came = money.received - money.received_tax - money.received_sellers_tax
        went = money.given_back - money.given_back_tax - money.given_back_sellers_tax
        return {
            ViewLine.CUSTOMERS: came - went,
            ViewLine.DEPOSITS: money.deposits_taken - money.deposits_given_back,
            ViewLine.SELLERS_TAX_IN: money.sellers_tax,
            ViewLine.OTHER_INCOME: money.other_income + money.income_entered + money.tax_kept,
            ViewLine.EXPENSES: -money.expenses - money.expenses_entered - money.fees,
            ViewLine.SELLERS_TAX_OUT: -money.sellers_tax,
            ViewLine.EQUIPMENT: -money.equipment,
            ViewLine.BILLS: -money.bills_paid,
        }

    @property
    def between(self) -> dict[BetweenLine, Cents]:
        """Give what is added to the result on accrual to come to the result on cash."""
        change, money = self.posted.change, self.money
        # What came from the owner and went to him is no purchase and no sale: stock of the beginning, goods taken home.
        began = -change(Account.OPENING_BALANCES) - money.opening_money - money.debts_taken_over
        owners = began - change(Account.DRAWS) + money.drawn
        return {
            BetweenLine.RECEIVABLE: money.debts_taken_over - change(Account.RECEIVABLE),
            BetweenLine.PREPAYMENTS: -change(Account.PREPAYMENTS),
            BetweenLine.TAX: money.tax_paid + money.tax_entered - change(Account.SALES_TAX_PAYABLE) - money.tax,
            BetweenLine.DEPOSITS: -change(Account.CUSTOMER_DEPOSITS),
            BetweenLine.STOCK: owners - change(Account.INVENTORY),
            BetweenLine.JOBS: -change(Account.WORK_IN_PROGRESS),
            BetweenLine.EQUIPMENT: money.equipment_entered - change(Account.EQUIPMENT),
            BetweenLine.BILLS: -change(Account.ACCOUNTS_PAYABLE),
            BetweenLine.TIMED: money.timed,
        }

    @property
    def accrual_result(self) -> Cents:
        """Income less cost and expense of the period."""
        return sum(self.accrual.values())

    @property
    def cash_result(self) -> Cents:
        """What came in less what was paid."""
        return sum(self.cash.values())
