"""A year as the ledger sees it: how it is read, when it is a draft, and what its worksheet makes of the accounts."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.errors import RefusedError
from shopledger.ledger.books.journal import Account, AccountKind
from shopledger.ledger.books.payee_forms import limit_of, reportable
from shopledger.ledger.books.period import Month, Period
from shopledger.ledger.books.reports import MoneyEvent, MoneyRow, ReportState, YearBills, YearFigures
from shopledger.ledger.books.spending_rows import PayeeRow
from shopledger.ledger.books.tax_forms import (
    LABELS,
    ON_HAND,
    accounts_of,
    brought_in,
    expense_lines,
    line_expense,
    purchases,
    schedule_c,
)
from shopledger.ledger.settings import Accounting, InventoryView
from shopledger.ledger.stock import StockReason

YEAR = Period.of_year(2026)
MARCH = Month(2026, 3)


def figures(
    changes: Mapping[Account, int],
    opening: Mapping[Account, int] | None = None,
    goods: Mapping[StockReason, int] | None = None,
    *money: MoneyRow,
    bills: YearBills | None = None,
    tax: int = 0,
) -> YearFigures:
    """Give a year in which everything happened in March."""
    return YearFigures(
        YEAR, {MARCH: changes}, opening or {}, goods or {}, money, bills or YearBills(), {MARCH: tax} if tax else {}
    )


def test_a_year_has_its_days_and_months() -> None:
    """From the first of January to the last of December, and the year before it."""
    assert (YEAR.first, YEAR.last, str(YEAR.year_before)) == (date(2026, 1, 1), date(2026, 12, 31), "2025")
    assert [str(month) for month in YEAR.months][::11] == ["2026-01", "2026-12"]
    assert Period.read_year(" 2026 ") == YEAR


@pytest.mark.parametrize("text", ["", "26", "2026-01", "1826", "20266", "\u0662\u0660\u0662\u0666"])
def test_anything_else_is_no_year(text: str) -> None:
    """Only four digits of this century or the last are taken."""
    with pytest.raises(RefusedError, match="a year is YYYY"):
        Period.read_year(text)


@pytest.mark.parametrize(
    ("months", "said"),
    [
        ((1, 2, 3), "2026-01 to 2026-03"),
        ((2,), "2026-02"),
        ((1, 3, 4, 5, 12), "2026-01, 2026-03 to 2026-05, 2026-12"),
    ],
)
def test_a_draft_says_which_months_are_open(months: tuple[int, ...], said: str) -> None:
    """Months that follow one another are named by the first and the last of them."""
    state = ReportState(tuple(Month(2026, month) for month in months))
    assert state.sentence == f"DRAFT, figures may still change: not closed: {said}."


def test_each_expense_account_goes_to_one_line_of_the_worksheet() -> None:
    """No account is left out and none counts twice, whatever accounts are added later."""
    lines = expense_lines()
    assert set(lines) <= set(LABELS)
    found = [account for line in (*lines, "48") if line != "27b" for account in accounts_of(line)]
    assert sorted(found, key=lambda account: account.title) == sorted(
        (account for account in Account if account.kind is AccountKind.EXPENSE), key=lambda account: account.title
    )


def test_lines_stand_in_the_order_of_the_form() -> None:
    """16b after 15 and before 17, 27b last."""
    lines = expense_lines()
    assert lines[:3] == ("8", "9", "10")
    assert lines[-1] == "27b"
    assert lines.index("15") < lines.index("16b") < lines.index("17")


def test_stock_that_the_books_began_with_in_the_year_is_opening_stock() -> None:
    """It was bought before, so it stands on line 35 and not on line 36; gifts and own use lower line 36."""
    year = figures(
        {Account.INVENTORY: 9_000, Account.COST_OF_GOODS: 7_000, Account.ACCOUNTS_PAYABLE: -12_300},
        {Account.INVENTORY: 500},
        {StockReason.OPENING: 5_000, StockReason.OWN_USE: -1_000, StockReason.GIVEN: -300},
    )
    lines = schedule_c(year, Accounting.ACCRUAL, InventoryView.INVENTORY)
    assert brought_in(year) == 5_000
    assert purchases(year) == {"bought": 12_300, "own use": 1_000, "given away": 300}
    assert [lines[line] for line in ("35", "36", "40", "41", "42")] == [5_500, 11_000, 16_500, 9_500, 7_000]


AMOUNTS = st.integers(-1_000_000, 1_000_000)


@given(
    changes=st.dictionaries(st.sampled_from(Account), AMOUNTS),
    opening=st.dictionaries(st.sampled_from(Account), AMOUNTS),
    goods=st.dictionaries(st.sampled_from(StockReason), AMOUNTS),
)
def test_both_views_of_the_goods_agree_whatever_was_posted(
    changes: dict[Account, int], opening: dict[Account, int], goods: dict[StockReason, int]
) -> None:
    """Line 42 is what the cost accounts changed by, line 29 what all of the year's accounts did."""
    year = figures(changes, opening, goods)
    views = [schedule_c(year, Accounting.ACCRUAL, view) for view in InventoryView]
    costs = [account for account in Account if account.kind is AccountKind.COST]
    yearly = [account for account in Account if not account.kind.lasts]
    for lines in views:
        assert lines["42"] == lines["4"] == year.change(*costs)
        assert lines["29"] == -year.change(*yearly)
    assert views[0]["41"] == year.closed_at(*ON_HAND)


def test_on_cash_what_came_in_counts_without_the_states_tax() -> None:
    """A payment, a deposit and a cancelled payment: 107.25 - 7.25 + 50.00 - 21.45 + 1.45 = 130.00."""
    rows = (
        MoneyRow(MARCH, MoneyEvent.PAYMENT, "card", 1, 10_725, tax=725),
        MoneyRow(MARCH, MoneyEvent.DEPOSIT, "cash", 1, 5_000),
        MoneyRow(MARCH, MoneyEvent.CANCELLED, "card", 1, 2_145, tax=145),
        MoneyRow(MARCH, MoneyEvent.PAYOUT, "card", 1, 99_999, fee=9),
    )
    lines = schedule_c(figures({}, {}, {}, *rows), Accounting.CASH, InventoryView.INVENTORY)
    assert lines["1"] == 13_000


def test_on_cash_a_billed_expense_counts_as_far_as_it_was_paid() -> None:
    """Rent of 900.00 of which 700.00 were billed and 200.00 of bills were paid: 400.00."""
    bills = YearBills({Account.RENT: 70_000}, {Account.RENT: 20_000})
    year = figures({Account.RENT: 90_000}, bills=bills)
    assert line_expense(year, Accounting.ACCRUAL, "20b") == 90_000
    assert line_expense(year, Accounting.CASH, "20b") == 40_000


@pytest.mark.parametrize(("year", "least"), [(2025, 60_000), (2026, 200_000), (2030, 200_000)])
def test_payees_are_reported_from_a_sum_on(year: int, least: int) -> None:
    """600 up to 2025 (value from memory), 2,000 since 2026; what is paid for services is added over its headings."""
    rows = (
        PayeeRow("contract labour", "Imke", 1, least, least - 1),
        PayeeRow("legal and professional services", "Imke", 1, 1, 1),
        PayeeRow("rent of premises", "Imke", 1, least, least - 1),
        PayeeRow("supplies", "Corin", 1, 9 * least, 9 * least),
    )
    assert limit_of(year).amount == least
    assert reportable(rows, least) == {
        ("contract labour", "Imke"): "1099-NEC",
        ("legal and professional services", "Imke"): "1099-NEC",
    }
