"""The balance sheet of a day: it adds up, and capital is told apart by where it came from."""

from __future__ import annotations

from datetime import date

from hypothesis import given
from hypothesis import strategies as st

from shopledger.ledger.books.balance_sheet import CapitalMoves, balance_sheet
from shopledger.ledger.books.journal import Account

DAY = date(2026, 12, 31)
CENTS = st.integers(-10_000_000, 10_000_000)
OTHERS: list[Account] = [account for account in Account if account is not Account.CASH]


@st.composite
def balanced(draw: st.DrawFn) -> dict[Account, int]:
    """Draw what accounts stand at: debits come to as much as credits."""
    sums = draw(st.dictionaries(st.sampled_from(OTHERS), CENTS))
    return {**sums, Account.CASH: -sum(sums.values())}


@given(before=balanced(), now=balanced())
def test_assets_are_liabilities_and_capital(before: dict[Account, int], now: dict[Account, int]) -> None:
    """Whatever was posted, as long as it balances; and what the year began with is what the year before ended with."""
    sheet = balance_sheet(DAY, before, now)
    assert sheet.adds_up
    assert sheet.capital.at_first == balance_sheet(date(2025, 12, 31), {}, before).capital.at_last


def test_a_damaged_journal_does_not_add_up() -> None:
    """A cent that came from nowhere shows."""
    assert not balance_sheet(DAY, {}, {Account.CASH: 1}).adds_up


def test_a_well_known_merchandiser_ends_with_the_capital_that_is_printed() -> None:
    """Its capital at the end is that at first, with net income and less withdrawals."""
    # The sporting goods shop of a widely used principles course, by its adjusted trial balance (values from memory):
    # net sales 314,700 (321,000 less returns 2,000 and discounts 4,300), cost of goods 230,400, expenses 71,400, net
    # income 12,900, capital at first 42,600, withdrawals 4,000, so 51,500 at the end. Stock and payables are made up.
    before = {Account.BANK: 4_260_000, Account.CAPITAL: -4_260_000}
    now = {
        Account.SALES: -32_100_000,
        Account.RETURNS: 630_000,
        Account.COST_OF_GOODS: 23_040_000,
        Account.WAGES: 7_140_000,
        Account.DRAWS: 400_000,
        Account.CAPITAL: -4_260_000,
        Account.INVENTORY: 2_100_000,
        Account.ACCOUNTS_PAYABLE: -1_600_000,
    }
    now[Account.BANK] = -sum(now.values())
    sheet = balance_sheet(DAY, before, now)
    assert sheet.capital == CapitalMoves(4_260_000, 0, 0, 400_000, 0, 1_290_000)
    assert sheet.capital.at_last == 5_150_000
    assert (sheet.has, sheet.owes) == (6_750_000, 1_600_000)
