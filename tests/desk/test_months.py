"""A month's figures and its workbook: equal to its orders and payments, empty where nothing was."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from openpyxl import load_workbook

from shopledger.desk.context import Desk
from shopledger.desk.handover import BookDisagreesError, export_month
from shopledger.desk.months import month_figures
from shopledger.desk.payments import take_payment
from shopledger.desk.proof import prove_books
from shopledger.desk.sales import record_sale
from shopledger.errors import SetupError
from shopledger.exports.month_book import FigureDiffers, MonthBookCheck
from shopledger.ledger.month import Month, MonthTotals
from shopledger.ledger.orders import Method, PaymentRequest
from shopledger.store.guards import lift_guards, set_guards
from shopledger.store.refusals import JournalBrokenError
from tests.desk.books import everything, on_both
from tests.desk.family import DISTANCE, FAMILY_ORDER, later, ordered
from tests.shelf import SHOP

MARCH = Month(2026, 3)


@pytest.fixture
def trading(desk: Desk) -> Desk:
    """Sell to the family on 2 March, and another pair on 31 March that is paid in April."""
    record_sale(desk, FAMILY_ORDER)
    record_sale(later(desk, date(2026, 3, 31)), ordered(DISTANCE))
    april = later(desk, date(2026, 4, 1))
    take_payment(april, 2, PaymentRequest(18000, Method.CASH))
    return april


@on_both
def test_a_month_s_totals_are_those_of_its_orders(trading: Desk) -> None:
    """Orders count by their day and payments by theirs; the family's order and one of 180.00 with lenses included."""
    assert month_figures(trading, MARCH) == MonthTotals(
        orders=2,
        list_total=130545 + 26000,
        reduction_total=24000 + 8000,
        net_total=106545 + 18000,
        tax_total=326,
        payments_total=40000,
    )
    assert month_figures(trading, Month(2026, 4)) == MonthTotals(0, 0, 0, 0, 0, 18000)


@on_both
@pytest.mark.parametrize("month", [Month(2026, 2), Month(2025, 3), Month(2027, 3)])
def test_another_month_is_empty(trading: Desk, month: Month) -> None:
    """Neither the month before nor the same month of another year."""
    assert month_figures(trading, month) == MonthTotals(0, 0, 0, 0, 0, 0)


@on_both
def test_a_month_is_written_as_a_workbook(trading: Desk, tmp_path: Path) -> None:
    """Named for the month, with the shop's name, and a row for each line sold, payment and item."""
    file = export_month(trading, MARCH, tmp_path)
    assert file == tmp_path / "month-2026-03.xlsx"
    book = load_workbook(file)
    assert f"{SHOP.name}: 2026-03" in {cell.value for cell in book["Summary"]["A"]}
    texts = {name: [cell.value for row in book[name].iter_rows() for cell in row] for name in book.sheetnames}
    sold = [value for sheet in texts.values() for value in sheet if value == "WREN-52"]
    assert len(sold) == 4  # sold three times, and once as an item of stock


def test_an_empty_month_has_a_workbook_too(trading: Desk, tmp_path: Path) -> None:
    """A month without sales is handed over like any other."""
    assert export_month(trading, Month(2026, 6), tmp_path).exists()


def test_writing_a_month_changes_nothing(trading: Desk, tmp_path: Path) -> None:
    """It may be written as often as asked for."""
    before = everything(trading)
    export_month(trading, MARCH, tmp_path)
    export_month(trading, MARCH, tmp_path)
    assert everything(trading) == before


def test_a_ledger_without_a_shop_hands_nothing_over(bare_desk: Desk, tmp_path: Path) -> None:
    """The workbook carries the shop's name."""
    with pytest.raises(SetupError, match="Run 'shopledger setup' first"):
        export_month(bare_desk, MARCH, tmp_path)
    assert not list(tmp_path.glob("*.xlsx"))


def test_a_workbook_that_does_not_add_up_is_not_handed_over(
    trading: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The sentence names the figures and says what to do."""
    check = MonthBookCheck(9, 0, 1, 0, 3, 4, (FigureDiffers("Sales tax", 326, 327),))
    monkeypatch.setattr("shopledger.desk.handover.write_month_book", lambda _, __: check)
    with pytest.raises(BookDisagreesError, match=r"does not add up to the ledger \(Sales tax\)\. Do not hand it over"):
        export_month(trading, MARCH, tmp_path)


@on_both
def test_the_books_prove_themselves(trading: Desk) -> None:
    """Two sales and two payments are four entries, and the head is that of the last."""
    with trading.reading() as work:
        head = work.journal.head()
    assert prove_books(trading) == head
    assert head.count == 4


def test_books_that_were_changed_from_outside_say_where(trading: Desk) -> None:
    """The guards are lifted and an amount is changed on both sides, so that the entry still balances."""
    with trading.writing() as work:
        connection = work._transaction.connection
        lift_guards(connection)
        work._transaction.change("journal_posting", {"amount": 1}, entry_number=2, position=1)
        work._transaction.change("journal_posting", {"amount": -1}, entry_number=2, position=2)
        set_guards(connection)
    with pytest.raises(JournalBrokenError, match="journal entry 2 does not fit"):
        prove_books(trading)
