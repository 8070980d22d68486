"""A month on accrual and on cash: what each counts, and that what lies between them leaves no cent over."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.ledger.books.customer_rows import PaymentRow
from shopledger.ledger.books.figures import (
    BetweenLine,
    PeriodFigures,
    PeriodMoney,
    PeriodPosted,
    PeriodTotals,
    ViewLine,
)
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.money_moves import WHOLE, WITH_FEE, CashAccount, MoveKind
from shopledger.ledger.books.posted_rows import EARLIER_YEARS, AccountSums, trial_balance
from shopledger.ledger.books.spending_rows import MoneyMoveRow

NOTHING = PeriodTotals(0, 0, 0, 0, 0, 0)
DAY = date(2026, 3, 2)


def figures(changes: dict[Account, int], money: PeriodMoney) -> PeriodFigures:
    """Give a month of these postings and sums; debits are above zero."""
    assert sum(changes.values()) == 0, "postings balance"
    return PeriodFigures(NOTHING, PeriodPosted(changes), money)


def test_a_sale_counts_on_accrual_at_once_and_on_cash_as_it_is_paid() -> None:
    """100.00 and 8.00 of tax are sold, half of it is paid: 50.00 less its tax of 3.70 is the shop's."""
    month = figures(
        {Account.RECEIVABLE: 5_800, Account.CASH: 5_000, Account.SALES: -10_000, Account.SALES_TAX_PAYABLE: -800},
        PeriodMoney(received=5_000, received_tax=370),
    )
    assert (month.accrual_result, month.cash_result) == (10_000, 4_630)
    assert month.between[BetweenLine.RECEIVABLE] == -5_800
    assert month.between[BetweenLine.TAX] == 800 - 370
    assert month.accrual_result + sum(month.between.values()) == month.cash_result


def test_goods_count_as_they_are_shipped_or_as_their_bill_is_paid() -> None:
    """Three of ten at 6.00 are shipped and 20.00 of the bill of 60.00 is paid."""
    month = figures(
        {
            Account.INVENTORY: 4_200,
            Account.COST_OF_GOODS: 1_800,
            Account.ACCOUNTS_PAYABLE: -4_000,
            Account.BANK: -2_000,
        },
        PeriodMoney(bills_paid=2_000),
    )
    assert month.accrual[ViewLine.GOODS] == -1_800
    assert month.cash[ViewLine.BILLS] == -2_000
    assert (month.between[BetweenLine.STOCK], month.between[BetweenLine.BILLS]) == (-4_200, 4_000)
    assert month.accrual_result + sum(month.between.values()) == month.cash_result == -2_000


def test_what_the_owner_brings_or_takes_is_in_neither_view() -> None:
    """Stock and money of the beginning, goods taken home, money put in and taken out: no income and no expense."""
    month = figures(
        {
            Account.INVENTORY: 9_000 - 400,
            Account.BANK: 5_000 + 2_000 - 300,
            Account.OPENING_BALANCES: -14_000,
            Account.CONTRIBUTIONS: -2_000,
            Account.DRAWS: 300 + 400,
        },
        PeriodMoney(opening_money=5_000, drawn=300),
    )
    assert month.accrual_result == month.cash_result == 0
    assert not any(month.between.values())


def test_tax_that_is_laid_on_the_seller_is_income_and_expense() -> None:
    """On accrual as charged, on cash as it came in; the result is the same as without it."""
    month = figures(
        {
            Account.RECEIVABLE: 5_400,
            Account.CASH: 5_400,
            Account.SALES: -10_000,
            Account.SALES_TAX_PAYABLE: -800,
            Account.TAXES: 800,
            Account.SELLERS_TAX_CHARGED: -800,
        },
        PeriodMoney(received=5_400, received_sellers_tax=400),
    )
    assert (month.accrual[ViewLine.SELLERS_TAX_IN], month.accrual[ViewLine.SELLERS_TAX_OUT]) == (800, -800)
    assert (month.cash[ViewLine.SELLERS_TAX_IN], month.cash[ViewLine.SELLERS_TAX_OUT]) == (400, -400)
    assert (month.accrual[ViewLine.EXPENSES], month.accrual_result, month.cash_result) == (0, 10_000, 5_000)
    assert month.accrual_result + sum(month.between.values()) == month.cash_result


def test_a_deposit_counts_on_cash_at_once_and_brings_nothing_as_it_is_used() -> None:
    """30.00 taken, of which 20.00 pay an order later: no new money then."""
    taken = figures({Account.CASH: 3_000, Account.CUSTOMER_DEPOSITS: -3_000}, PeriodMoney(deposits_taken=3_000))
    used = figures(
        {Account.CUSTOMER_DEPOSITS: 2_000, Account.SALES: -2_000}, PeriodMoney(received=0, from_deposits=2_000)
    )
    assert (taken.accrual_result, taken.cash_result) == (0, 3_000)
    assert (used.accrual_result, used.cash_result) == (2_000, 0)
    assert used.between[BetweenLine.DEPOSITS] == -2_000
    row = PaymentRow(DAY, 1, "Odalys Fernhollow", "check", "", 2_000, deposit_number=7)
    assert (row.from_deposit, row.money) == (2_000, 0)


def test_what_entries_move_in_time_is_neither_paid_nor_on_cash() -> None:
    """Of 60.00 of insurance paid 55.00 are for later, 3.50 of interest is not collected; 5.00 of depreciation stays."""
    month = figures(
        {
            Account.BANK: -6_000,
            Account.INSURANCE: 500,
            Account.PREPAID: 5_500 + 350,
            Account.OTHER_INCOME: -350,
            Account.DEPRECIATION: 500,
            Account.ACCUMULATED_DEPRECIATION: -500,
        },
        PeriodMoney(expenses=6_000, expenses_entered=500, timed=-5_500 - 350, income_timed=350),
    )
    assert (month.accrual[ViewLine.EXPENSES], month.accrual[ViewLine.OTHER_INCOME]) == (-1_000, 350)
    assert (month.cash[ViewLine.EXPENSES], month.cash[ViewLine.OTHER_INCOME]) == (-6_500, 0)
    assert month.between[BetweenLine.TIMED] == -5_850
    assert month.accrual_result + sum(month.between.values()) == month.cash_result


@pytest.mark.parametrize("kind", MoveKind)
@pytest.mark.parametrize("sign", [1, -1])
def test_every_money_move_balances(kind: MoveKind, sign: int) -> None:
    """What its row says of the accounts sums to zero, and a move that was voided says the opposite."""
    fee = 30 if kind in WITH_FEE else 1_000 if kind in WHOLE else 0
    row = MoneyMoveRow(DAY, 1, kind, kind.till or CashAccount.BANK, "", "", "", 1_000, fee, sign)
    changes = {account: row.change(account) for account in Account}
    assert sum(changes.values()) == 0
    assert any(changes.values())
    assert row.signed_fee == (0 if kind in {MoveKind.RESERVED, MoveKind.RELEASED} else sign * fee)


def test_income_cost_and_expense_begin_the_year_at_zero() -> None:
    """What they came to in earlier years is one line with equity, so that the openings sum to zero."""
    sums = (
        AccountSums(Account.BANK, 700, 200, 50, 20),
        AccountSums(Account.SALES, -1_000, -300, 0, 50),
        AccountSums(Account.RENT, 300, 100, 20, 0),
    )
    rows = {row.title: (row.opening, row.debits, row.credits, row.closing) for row in trial_balance(sums)}
    assert rows == {
        "bank": (900, 50, 20, 930),
        EARLIER_YEARS: (-700, 0, 0, -700),
        "sales": (-300, 0, 50, -350),
        "rent of premises": (100, 20, 0, 120),
    }
    assert list(rows).index(EARLIER_YEARS) == 1


amounts = st.integers(-10_000, 10_000)


@given(st.dictionaries(st.sampled_from(Account), st.tuples(amounts, amounts), min_size=1))
def test_a_trial_balance_of_balanced_books_sums_to_zero(before: dict[Account, tuple[int, int]]) -> None:
    """Whatever the accounts hold: the bank takes the other side."""
    year, month = (-sum(amount[place] for amount in before.values()) for place in (0, 1))
    mine = before.get(Account.BANK, (0, 0))
    balanced = {**before, Account.BANK: (mine[0] + year, mine[1] + month)}
    rows = list(trial_balance(AccountSums(account, *amount, 0, 0) for account, amount in balanced.items()))
    assert sum(row.opening for row in rows) == sum(row.closing for row in rows) == 0
