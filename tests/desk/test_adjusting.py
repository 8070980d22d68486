"""Adjusting entries: what they post, what they never touch, and how they are undone."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from shopledger.desk.books.adjusting import (
    adjustment_card,
    adjustments,
    open_books,
    record_adjustment,
    reverse_adjustment,
)
from shopledger.desk.books.banking import balance_sheet_of, record_move
from shopledger.desk.books.billing import record_bill
from shopledger.desk.books.bills import pay_bill
from shopledger.desk.books.closing import prove_books
from shopledger.desk.books.reports import export_period, year_report
from shopledger.desk.books.spending import record_expense
from shopledger.desk.books.voiding import void_document
from shopledger.desk.context import Desk
from shopledger.desk.people import add_supplier
from shopledger.errors import RefusedError
from shopledger.exports.reports import write_year
from shopledger.ledger.books.adjustments import ADJUSTABLE, OPENED, OWNED, Adjustment, AdjustmentLine, read_account
from shopledger.ledger.books.bill_requests import BillPaymentRequest, BillRequest
from shopledger.ledger.books.closing import PeriodDeed, PeriodEvent
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.figures import BetweenLine
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.money_moves import CashAccount, MoneyMove, MoveKind
from shopledger.ledger.books.period import Month, Period
from shopledger.ledger.books.spending import Expense, ExpenseCategory, SpendMethod
from shopledger.ledger.books.spending_rows import ExpenseRow, ExpenseSource
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.books.tax_forms import schedule_c
from shopledger.ledger.settings import Accounting, InventoryView
from shopledger.store.refusals import MonthClosedError, NumberUnknownError
from tests.desk.books import assert_sheets_meet_accounts, everything, on_both, postings
from tests.desk.family import later

DAY = date(2026, 3, 2)
MARCH = Month(2026, 3)


def entry(*lines: tuple[Account, int], day: date = DAY, reason: str = "the tax preparer's") -> Adjustment:
    """Make an adjusting entry; debits are above zero."""
    return Adjustment(day, reason, tuple(AdjustmentLine(account, amount) for account, amount in lines))


WRITTEN_DOWN = entry((Account.DEPRECIATION, 7_500), (Account.ACCUMULATED_DEPRECIATION, -7_500))
"""75.00 for a month, as the printing shop of a well-known open textbook writes its equipment down (from memory)."""


@on_both
@pytest.mark.parametrize(
    "lines",
    [
        ((Account.DEPRECIATION, 7_500), (Account.ACCUMULATED_DEPRECIATION, -7_500)),
        ((Account.BANK, 500_000), (Account.LOANS, -500_000)),
        ((Account.LOANS, 40_000), (Account.INTEREST, 2_500), (Account.BANK, -42_500)),
        ((Account.PREPAID, 120_000), (Account.INSURANCE, -120_000)),
        ((Account.OVER_SHORT, 37), (Account.CASH, -37)),
        ((Account.WAGES, 150_000), (Account.ACCRUED, -150_000)),
        ((Account.EQUIPMENT, 90_000), (Account.CONTRIBUTIONS, -90_000)),
        ((Account.DRAWS, 1_000), (Account.CAPITAL, -1_000)),
        ((Account.ACCUMULATED_DEPRECIATION, 50_000), (Account.EQUIPMENT, -45_000), (Account.OTHER_INCOME, -5_000)),
    ],
    ids=["depreciation", "loan", "repaid", "prepaid", "short", "accrued", "brought in", "capital", "sold"],
)
def test_an_entry_is_posted_as_it_was_typed(desk: Desk, lines: tuple[tuple[Account, int], ...]) -> None:
    """Account by account, and every sheet of the month still comes to what was posted."""
    record_adjustment(desk, entry(*lines))
    assert postings(desk) == [("adjustment 1", account.title, amount) for account, amount in lines]
    assert_sheets_meet_accounts(desk, MARCH.days)
    assert prove_books(desk).holds


@pytest.mark.parametrize("account", OWNED, ids=lambda account: account.title)
def test_what_documents_own_is_refused_with_what_posts_there(account: Account) -> None:
    """The refusal names the account, and the command that posts there."""
    with pytest.raises(RefusedError, match="an adjusting entry never goes there") as refused:
        entry((account, 100), (Account.CASH, -100))
    assert account.title in str(refused.value)
    assert "shopledger " in str(refused.value)


def test_whatever_is_open_to_entries_is_neither_goods_nor_anybodys() -> None:
    """Each account is either owned or open."""
    assert {*OWNED, *ADJUSTABLE} == set(Account)
    assert not set(OWNED) & set(ADJUSTABLE)


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        (((Account.DEPRECIATION, 7_500), (Account.CASH, -7_400)), "debits of 75.00 and credits of 74.00"),
        ((), "debits of 0.00 and credits of 0.00"),
        (((Account.CASH, 100), (Account.CASH, -100)), "each account stands once"),
        (((Account.CASH, 0), (Account.BANK, 0)), "it may not be 0"),
    ],
)
def test_an_entry_balances_and_names_each_account_once(lines: tuple[tuple[Account, int], ...], said: str) -> None:
    """What does not is refused with both sides."""
    with pytest.raises(RefusedError, match=said):
        entry(*lines)


@pytest.mark.parametrize(
    ("typed", "account"),
    [
        ("accumulated-depreciation", Account.ACCUMULATED_DEPRECIATION),
        ("Cash", Account.CASH),
        ("prepaid", Account.PREPAID),
    ],
)
def test_an_account_is_read_as_it_is_typed(typed: str, account: Account) -> None:
    """With hyphens, in any case, by its first words; `cash` is the cash though another begins so too."""
    assert read_account(typed) is account


def test_an_account_that_is_not_there_is_named_with_the_nearest() -> None:
    """The refusal says what was perhaps meant."""
    with pytest.raises(RefusedError, match="Did you mean depreciation"):
        read_account("deprecation")


@on_both
def test_an_entry_is_reversed_once_on_a_day_of_its_own(desk: Desk) -> None:
    """The reversal points at it; both are kept, and neither can be undone behind the other's back."""
    record_adjustment(desk, entry((Account.WAGES, 150_000), (Account.ACCRUED, -150_000)))
    april = later(desk, date(2026, 4, 1))
    reversal = reverse_adjustment(april, 1)
    assert (reversal.number, reversal.reverses, reversal.day) == (2, 1, date(2026, 4, 1))
    assert [row for row in postings(april) if row[0] == "adjustment 2"] == [
        ("adjustment 2", "wages", -150_000), ("adjustment 2", "accrued expenses", 150_000),
    ]  # fmt: skip
    assert adjustment_card(april, 1)[1] == 2
    with pytest.raises(RefusedError, match="reversed by adjustment 2"):
        reverse_adjustment(april, 1)
    with pytest.raises(RefusedError, match="Void 'adjustment 2' first"):
        void_document(april, Document(DocumentKind.ADJUSTMENT, 1), "a mistake")
    void_document(april, Document(DocumentKind.ADJUSTMENT, 2), "a mistake")
    assert reverse_adjustment(april, 1).number == 3
    assert prove_books(april).holds


@on_both
def test_an_entry_is_voided_and_listed_below_zero(desk: Desk) -> None:
    """The accounts stand as before, and the list shows both days."""
    record_adjustment(desk, WRITTEN_DOWN)
    void_document(desk, Document(DocumentKind.ADJUSTMENT, 1), "typed twice")
    assert sum(amount for _, account, amount in postings(desk) if account == "depreciation") == 0
    assert [(each.sign, each.what.total) for each in adjustments(desk, MARCH)] == [(1, 7_500), (-1, 7_500)]
    with pytest.raises(RefusedError, match="voided on 2026-03-02"):
        reverse_adjustment(desk, 1)
    assert_sheets_meet_accounts(desk, MARCH.days)
    assert prove_books(desk).holds


def test_nothing_is_stored_of_what_is_refused(desk: Desk) -> None:
    """A closed month, a day that has not come, a reversal before its entry, and a number that nobody gave."""
    record_adjustment(desk, WRITTEN_DOWN)
    stored = everything(desk)
    for day, said in ((date(2026, 3, 3), "lies after today"), (date(2026, 3, 1), "adjustment 1 is of")):
        with pytest.raises(RefusedError, match=said):
            reverse_adjustment(desk, 1, day)
    with pytest.raises(NumberUnknownError):
        reverse_adjustment(desk, 7)
    assert everything(desk) == stored
    with desk.writing() as work:
        work.periods.add(PeriodEvent(MARCH, PeriodDeed.CLOSED, "", (), work.journal.head()))
    with pytest.raises(MonthClosedError):
        record_adjustment(desk, WRITTEN_DOWN)


@on_both
def test_depreciation_stands_on_line_13_in_both_views(desk: Desk) -> None:
    """What the owner enters counts on accrual and on cash alike."""
    record_adjustment(desk, WRITTEN_DOWN)
    with desk.reading() as work:
        figures = work.reports.year_figures(Period.of_year(2026))
    for accounting in Accounting:
        assert schedule_c(figures, accounting, InventoryView.INVENTORY)["13"] == 7_500


APRIL = Month(2026, 4)


@on_both
@pytest.mark.parametrize(
    ("lines", "timed", "accrual", "cash"),
    [
        (((Account.PREPAID, 550_000), (Account.INSURANCE, -550_000)), True, 550_000, 0),
        (((Account.INSURANCE, 50_000), (Account.PREPAID, -50_000)), True, -50_000, 0),
        (((Account.TAXES, 340_000), (Account.ACCRUED, -340_000)), True, -340_000, 0),
        (((Account.PREPAID, 35_000), (Account.OTHER_INCOME, -35_000)), True, 35_000, 0),
        (
            ((Account.PREPAID, 100), (Account.OTHER_INCOME, -900), (Account.WAGES, 1_000), (Account.ACCRUED, -200)),
            *(True, -100, 0),
        ),
        (((Account.EQUIPMENT, 700), (Account.PREPAID, -900), (Account.REPAIRS, 200)), True, -200, 0),
        (((Account.PREPAID, 700), (Account.DRAWS, 300), (Account.INSURANCE, -1_000)), True, 1_000, 0),
        (((Account.DEPRECIATION, 7_500), (Account.ACCUMULATED_DEPRECIATION, -7_500)), False, -7_500, -7_500),
        (((Account.OVER_SHORT, 37), (Account.CASH, -37)), False, -37, -37),
        (((Account.LOANS, 40_000), (Account.INTEREST, 2_500), (Account.BANK, -42_500)), False, -2_500, -2_500),
        (((Account.ACCRUED, 1_000), (Account.INTEREST, 500), (Account.BANK, -1_500)), False, -500, -500),
        (((Account.BANK, 800), (Account.OTHER_INCOME, -800)), False, 800, 800),
        (((Account.INTEREST, 900), (Account.LOANS, -900)), False, -900, -900),
        (((Account.PREPAID, 100), (Account.BANK, -100)), False, 0, 0),
    ],
    ids=["ahead", "used up", "accrued", "not collected", "mixed", "equipment", "drawn", "depreciation", "short",
         "loan", "owed and paid", "income", "owed to the lender", "paid by an entry"],
)  # fmt: skip
def test_an_entry_of_time_alone_counts_on_accrual_only(
    desk: Desk, lines: tuple[tuple[Account, int], ...], timed: bool, accrual: int, cash: int, tmp_path: Path
) -> None:
    """On cash an expense counts as it is paid (IRS Publication 334, chapter 2); month, year and both files say so."""
    asked = entry(*lines)
    assert asked.of_time_alone is asked.reversed_on(DAY, 1).of_time_alone is timed
    record_adjustment(desk, asked)
    with desk.reading() as work:
        figures = work.reports.figures(MARCH.days)
        sources = {row.source for row in work.reports.rows(ExpenseRow, MARCH.days) if row.account in OF_RESULT}
    assert (figures.accrual_result, figures.cash_result) == (accrual, cash)
    assert figures.accrual_result + sum(figures.between.values()) == figures.cash_result
    assert figures.between[BetweenLine.TIMED] == (-accrual if timed else 0)
    assert (figures.money.expenses, figures.money.other_income) == (0, 0)
    assert sources <= {ExpenseSource.TIMED if timed else ExpenseSource.ADJUSTED}
    assert line_29(desk) == (accrual, cash)
    assert_sheets_meet_accounts(desk, MARCH.days)
    assert export_period(desk, MARCH.days, tmp_path).is_file()
    assert_year_holds(desk, tmp_path)


OF_RESULT = tuple(account for account in Account if not account.kind.lasts)


def line_29(desk: Desk) -> tuple[int, int]:
    """Give the year's tentative profit on accrual and on cash."""
    with desk.reading() as work:
        figures = work.reports.year_figures(Period.of_year(2026))
    accrual, cash = (schedule_c(figures, each, InventoryView.INVENTORY)["29"] for each in Accounting)
    return accrual, cash


def results(desk: Desk, month: Month) -> tuple[int, int]:
    """Give the result of a month on accrual and on cash; what lies between leaves no cent over."""
    with desk.reading() as work:
        figures = work.reports.figures(month.days)
    assert figures.accrual_result + sum(figures.between.values()) == figures.cash_result
    assert_sheets_meet_accounts(desk, month.days)
    return figures.accrual_result, figures.cash_result


def assert_year_holds(desk: Desk, folder: Path) -> None:
    """Every check of the year's workbook holds."""
    with year_report(desk, Period.of_year(2026)) as book:
        assert write_year(book, folder / "year.xlsx").differences == ()


@on_both
def test_what_is_owed_at_the_months_end_counts_on_cash_as_it_is_paid(desk: Desk, tmp_path: Path) -> None:
    """Tax of 3,400 of March is paid in April: the entry is reversed, and the payment is a spend of its own."""
    record_adjustment(desk, entry((Account.TAXES, 340_000), (Account.ACCRUED, -340_000)))
    april = later(desk, date(2026, 4, 1))
    reverse_adjustment(april, 1)
    assert (results(april, MARCH), results(april, APRIL)) == ((-340_000, 0), (340_000, 0))
    paid = Expense(april.today, "State of Ohio", ExpenseCategory.TAXES, "tax", 340_000, SpendMethod.BANK)
    record_expense(april, paid, accept=frozenset({"CASH-SHORT"}))
    assert (results(april, MARCH), results(april, APRIL)) == ((-340_000, 0), (0, -340_000))
    assert line_29(april) == (-340_000, -340_000)
    for month in (MARCH, APRIL):
        assert export_period(april, month.days, tmp_path).is_file()
    assert_year_holds(april, tmp_path)


@on_both
def test_an_entry_of_time_alone_is_voided_the_same_way_round(desk: Desk, tmp_path: Path) -> None:
    """What a later month takes back of expense and of income counts on accrual there, and not on cash."""
    record_adjustment(desk, entry((Account.PREPAID, 900), (Account.OTHER_INCOME, -350), (Account.INSURANCE, -550)))
    with desk.writing() as work:
        work.periods.add(PeriodEvent(MARCH, PeriodDeed.CLOSED, "", (), work.journal.head()))
    april = later(desk, date(2026, 4, 3))
    void_document(april, Document(DocumentKind.ADJUSTMENT, 1), "not ours")
    assert (results(april, MARCH), results(april, APRIL)) == ((900, 0), (-900, 0))
    assert line_29(april) == (0, 0)
    assert export_period(april, APRIL.days, tmp_path).is_file()
    assert_year_holds(april, tmp_path)


def test_what_stood_ahead_or_owed_at_first_is_no_matter_of_a_month(desk: Desk) -> None:
    """An opening position with prepaid and accrued expenses counts in neither view."""
    position = opening((Account.PREPAID, 5_000), (Account.ACCRUED, -700))
    assert not position.of_time_alone
    open_books(desk, position)
    assert results(desk, MARCH) == (0, 0)


def opening(*lines: tuple[Account, int], day: date = DAY, tax: int = 0) -> Adjustment:
    """Make an opening position, with tax owed to Ohio."""
    owed = (AdjustmentLine(Account.SALES_TAX_PAYABLE, -tax, "oh"),) if tax else ()
    return Adjustment.opening_of(day, (*(AdjustmentLine(account, amount) for account, amount in lines), *owed))


MOVED_IN = opening(
    *((Account.CASH, 15_000), (Account.BANK, 250_000), (Account.CARD_CLEARING, 8_250), (Account.EQUIPMENT, 180_000)),
    *((Account.ACCUMULATED_DEPRECIATION, -60_000), (Account.LOANS, -90_000), (Account.CREDIT_CARD, -7_000)),
    tax=4_410,
)
"""4,532.50 of money, card money and equipment, of which 600.00 is written off, less 1,014.10 owed: 2,918.40."""


@on_both
def test_a_shop_moves_in_with_what_it_had_and_owed(desk: Desk) -> None:
    """The difference is the owner's capital, and neither view of the month earns or loses by it."""
    before = balance_sheet_of(desk)
    stored = open_books(desk, MOVED_IN)
    assert stored.lines[-1] == AdjustmentLine(Account.CAPITAL, -291_840)
    sheet = balance_sheet_of(desk)
    assert (sheet.capital.entered, sheet.capital.at_last - before.capital.at_last) == (291_840, 291_840)
    with desk.reading() as work:
        figures, year = work.reports.figures(MARCH.days), work.reports.year_figures(Period.of_year(2026))
        assert work.balances.sales_tax_owed("OH") == 4_410
    assert (figures.accrual_result, figures.cash_result) == (0, 0)
    assert sum(figures.between.values()) == 0
    assert schedule_c(year, Accounting.CASH, InventoryView.INVENTORY)["29"] == 0
    assert_sheets_meet_accounts(desk, MARCH.days)
    assert prove_books(desk).holds


@on_both
def test_an_opening_position_is_given_once_and_first(desk: Desk) -> None:
    """A second is refused until the first was voided, and so is one after something was posted."""
    open_books(desk, MOVED_IN)
    with pytest.raises(RefusedError, match="the books have one, adjustment 1"):
        open_books(desk, MOVED_IN)
    with pytest.raises(RefusedError, match="never reversed"):
        reverse_adjustment(desk, 1)
    void_document(desk, Document(DocumentKind.ADJUSTMENT, 1), "typed too early", accept=frozenset({"CASH-SHORT"}))
    assert open_books(desk, MOVED_IN).number == 2
    void_document(desk, Document(DocumentKind.ADJUSTMENT, 2), "typed too early", accept=frozenset({"CASH-SHORT"}))
    tomorrow = later(desk, date(2026, 3, 3))
    with pytest.raises(RefusedError, match="something is posted on 2026-03-02 already"):
        open_books(tomorrow, replace(MOVED_IN, day=date(2026, 3, 3)))
    with desk.reading() as work:
        assert work.balances.sales_tax_owed("OH") == 0
    assert prove_books(desk).holds


def test_cash_is_opened_once(desk: Desk) -> None:
    """What 'money open' said is not said again."""
    record_move(desk, MoneyMove(DAY, MoveKind.OPENING, CashAccount.CASH, 15_000))
    with pytest.raises(RefusedError, match="money 1 says what lay there"):
        open_books(desk, MOVED_IN)
    assert open_books(desk, opening((Account.BANK, 100))).number == 1


@pytest.mark.parametrize("account", [each for each in Account if each not in {*OPENED, Account.CAPITAL}])
def test_no_shop_begins_with_income_or_with_what_has_a_deed_of_its_own(account: Account) -> None:
    """Goods are counted in, bills recorded; the refusal names what an opening position may hold."""
    with pytest.raises(RefusedError, match="no opening position names it"):
        opening((account, 100))


def test_sales_tax_is_owed_to_a_state() -> None:
    """Tax without a state is refused, and a state without tax."""
    for line in (AdjustmentLine(Account.SALES_TAX_PAYABLE, -100), AdjustmentLine(Account.LOANS, -100, "OH")):
        with pytest.raises(RefusedError, match="sales tax is owed to a state"):
            Adjustment.opening_of(DAY, (line,))


@on_both
def test_a_bill_of_before_the_books_is_owed_and_paid(desk: Desk) -> None:
    """It stands against the opening balances, brings nothing, and is paid and discounted as any other."""
    add_supplier(desk, Supplier("Tollgate Frames"))
    record_bill(desk, BillRequest("Tollgate", "OLD-1", owed_before=12_000))
    assert postings(desk) == [("bill 1", "opening balances", 12_000), ("bill 1", "bills to pay", -12_000)]
    with desk.reading() as work:
        figures = work.reports.figures(MARCH.days)
    assert (figures.accrual_result, figures.cash_result) == (0, 0)
    assert pay_bill(desk, 1, BillPaymentRequest(11_880, SpendMethod.BANK, discount=120)).balance == 0
    assert_sheets_meet_accounts(desk, MARCH.days)
    assert prove_books(desk).holds
    with pytest.raises(RefusedError, match="brings nothing else"):
        BillRequest("Tollgate", owed_before=5, freight=5)
