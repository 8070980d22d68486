"""A month's figures and its workbook: equal to its orders and payments, empty where nothing was."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook
from openpyxl.workbook import Workbook

from shopledger.desk.books.closing import prove_books
from shopledger.desk.books.reports import BookDisagreesError, export_period, period_figures
from shopledger.desk.context import Desk
from shopledger.desk.orders import cancel_order, give_refund, ship_order, take_payment
from shopledger.desk.sales import record_sale
from shopledger.errors import SetupError
from shopledger.exports.checks import FigureDiffers
from shopledger.exports.reports import ReportCheck
from shopledger.ledger.books.figures import PeriodTotals
from shopledger.ledger.books.period import Month
from shopledger.ledger.orders import AccessoryRequest, Method, OrderRequest, PaymentRequest
from shopledger.ledger.refunds import RefundedLine, RefundRequest
from shopledger.store.guards import lift_guards, set_guards
from shopledger.store.tables.journal import journal_posting
from shopledger.store.transaction import Where
from tests.counted import keep_sale
from tests.desk.before_parcels import sold_at_once
from tests.desk.books import everything, on_both
from tests.desk.family import DISTANCE, FAMILY_ORDER, later, ordered
from tests.desk.test_sales import TOTAL
from tests.exports.spreadsheet import needs_office, worked_out
from tests.rows import rows
from tests.shelf import CUSTOMER, SHADES, SHOP

MARCH = Month(2026, 3)


@pytest.fixture
def trading(desk: Desk) -> Desk:
    """Sell to the family on 2 March; another pair leaves on 31 March, and is paid in April."""
    record_sale(desk, FAMILY_ORDER)
    ship_order(later(desk, date(2026, 3, 6)), 1, "post", without_inspection="a trial")
    last = later(desk, date(2026, 3, 31))
    record_sale(last, ordered(DISTANCE))
    ship_order(last, 2, "post", without_inspection="a trial")
    april = later(desk, date(2026, 4, 1))
    take_payment(april, 2, PaymentRequest(18000, Method.CASH))
    return april


@on_both
def test_a_month_s_totals_are_those_of_its_orders(trading: Desk) -> None:
    """Orders count with their goods and payments by their day; the family's, and one of 180.00 with lenses included."""
    assert period_figures(trading, MARCH.days)[0].totals == PeriodTotals(
        orders=2,
        list_total=130545 + 26000,
        reduction_total=24000 + 8000,
        net_total=106545 + 18000,
        tax_total=326,
        payments_total=40000,
    )
    assert period_figures(trading, Month(2026, 4).days)[0].totals == PeriodTotals(0, 0, 0, 0, 0, 18000)


@on_both
@pytest.mark.parametrize("month", [Month(2026, 2), Month(2025, 3), Month(2027, 3)])
def test_another_month_is_empty(trading: Desk, month: Month) -> None:
    """Neither the month before nor the same month of another year."""
    assert period_figures(trading, month.days)[0].totals == PeriodTotals(0, 0, 0, 0, 0, 0)


@on_both
def test_a_month_is_written_as_a_workbook(trading: Desk, tmp_path: Path) -> None:
    """Named for the month, with the shop's name, and a row for each line sold, payment and item."""
    file = export_period(trading, MARCH.days, tmp_path)
    assert file == tmp_path / "month-2026-03.xlsx"
    book = load_workbook(file)
    assert f"{SHOP.name}: 2026-03" in {cell.value for cell in book["Summary"]["A"]}
    texts = {name: [cell.value for row in book[name].iter_rows() for cell in row] for name in book.sheetnames}
    sold = [value for sheet in texts.values() for value in sheet if value == "WREN-52"]
    # Sold three times, and so often out of stock and at its cost; once as an item of stock, and once as it came there.
    assert len(sold) == 3 + 3 + 3 + 1 + 1


def test_an_empty_month_has_a_workbook_too(trading: Desk, tmp_path: Path) -> None:
    """A month without sales is handed over like any other."""
    assert export_period(trading, Month(2026, 6).days, tmp_path).exists()


def test_writing_a_month_changes_nothing_and_is_noted(trading: Desk, tmp_path: Path) -> None:
    """It may be written as often as asked for; who did, with how many rows and to which file, is noted each time."""
    before = everything(trading)
    export_period(trading, MARCH.days, tmp_path)
    export_period(trading, MARCH.days, tmp_path)
    after = everything(trading)
    assert {**after, "audit_note": []} == {**before, "audit_note": []}
    with trading.reading() as work:
        noted = [(row.deed, row.detail, row.file_name) for row in rows(work, "audit_note", order=("number",))[-2:]]
        assert rows(work, "audit_note", order=("number",))[-1].records > 0
    assert noted == [("exported a period", "2026-03", "month-2026-03.xlsx")] * 2


def test_a_ledger_without_a_shop_hands_nothing_over(bare_desk: Desk, tmp_path: Path) -> None:
    """The workbook carries the shop's name."""
    with pytest.raises(SetupError, match="Run 'shopledger setup' first"):
        export_period(bare_desk, MARCH.days, tmp_path)
    assert not list(tmp_path.glob("*.xlsx"))


def test_a_workbook_that_does_not_add_up_is_not_handed_over(
    trading: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The sentence names the figures and says what to do."""
    check = ReportCheck({"Sales lines": 9}, (), (FigureDiffers("Sales tax", 326, 327),))
    monkeypatch.setattr("shopledger.exports.reports.write_report", lambda _, __: check)
    with pytest.raises(BookDisagreesError, match=r"does not add up to the ledger \(Sales tax\)\. Do not hand it over"):
        export_period(trading, MARCH.days, tmp_path)


@pytest.fixture
def taking_back(trading: Desk) -> Desk:
    """Cancel an order of before in April, refund the family's order in April with a frame and in May without.

    The order that is cancelled counted when it was recorded, as all did once; one that counts with its goods is never
    cancelled after these left.
    """
    take_payment(later(trading, date(2026, 3, 9)), 1, PaymentRequest(TOTAL - 40000, Method.CHECK, "1187"))
    shades = OrderRequest(
        CUSTOMER, accessories=(AccessoryRequest(SHADES.code, 2),), shipping=0,
        payments=(PaymentRequest(5000, Method.TRANSFER),),
    )  # fmt: skip
    sold_at_once(later(trading, date(2026, 3, 31)), shades)
    cancel_order(later(trading, date(2026, 4, 1)), 3, "changed her mind")
    sunglasses, childs_frame = RefundedLine(11), RefundedLine(8, 5000, returned=1)
    give_refund(
        later(trading, date(2026, 4, 30)), 1, RefundRequest(Method.CARD, "too small", (childs_frame, sunglasses))
    )
    may = later(trading, date(2026, 5, 1))
    give_refund(may, 1, RefundRequest(Method.CASH, "a scratch", (RefundedLine(8, 1000),)))
    return may


@on_both
def test_what_is_taken_back_counts_in_its_own_month(taking_back: Desk) -> None:
    """Two sunglasses at 45.00 and 7.25 % were sold in March and cancelled in April; refunds follow their own days."""
    march, april, may = (period_figures(taking_back, Month(2026, number).days)[0].totals for number in (3, 4, 5))
    assert march == PeriodTotals(
        orders=3,
        list_total=130545 + 26000 + 9000,
        reduction_total=24000 + 8000,
        net_total=106545 + 18000 + 9000,
        tax_total=326 + 653,
        payments_total=TOTAL + 5000,
    )
    assert april == PeriodTotals(
        0, 0, 0, 0, 0, 18000, cancellations=1, cancelled_list=9000, cancelled_net=9000, cancelled_tax=653,
        repaid=5000, refunds=1, refunded_net=9500, refunded_tax=326, refunded=9826,
    )  # fmt: skip
    assert may == PeriodTotals(0, 0, 0, 0, 0, 0, refunds=1, refunded_net=1000, refunded=1000)


@on_both
def test_a_month_in_which_things_were_taken_back_is_written(taking_back: Desk, tmp_path: Path) -> None:
    """The workbook agrees with ledger and journal, and holds the lines taken back with their days."""
    march, april, may = (
        load_workbook(export_period(taking_back, Month(2026, number).days, tmp_path)) for number in (3, 4, 5)
    )
    events = [(row[0], row[1], row[2], row[11]) for row in april["Sales lines"].iter_rows(min_row=2, values_only=True)]
    assert events[0] == (datetime(2026, 4, 1), 3, "cancelled", -90)  # noqa: DTZ001 - a cell's day has no zone
    assert {row[2] for row in march["Sales lines"].iter_rows(min_row=2, max_row=14, values_only=True)} == {"sold"}
    given = [(row[0].day, row[7], row[8], row[11]) for row in _rows(april, "Refunds")]
    assert given == [(30, 50, 0, 1), (30, 45, 3.26, 0)]
    assert [(row[3], row[4], row[6]) for row in _rows(april, "Money back")] == [
        ("cancellation", "transfer", 50), ("refund", "card", 98.26),
    ]  # fmt: skip
    assert [(row[3], row[6]) for row in _rows(may, "Money back")] == [("refund", 10)]
    assert not _rows(march, "Money back")


@needs_office
def test_a_spreadsheet_finds_every_month_in_order(taking_back: Desk, tmp_path: Path) -> None:
    """All checks hold in each month, those against the journal too."""
    months = (3, 4, 5)
    files = [export_period(taking_back, Month(2026, number).days, tmp_path) for number in months]
    for number, book in zip(months, worked_out(files, tmp_path / "out"), strict=True):
        for title in ("Summary", "Accrual and cash", "Checks"):
            assert "DIFFERS" not in {row[3] for row in book[title].iter_rows(min_row=5, values_only=True)}, title
        checks = {row[0]: row[3] for row in book["Checks"].iter_rows(min_row=5, values_only=True)}
        assert checks["All checks below"] == checks["Returns and allowances"] == "OK", number


def test_a_sale_that_never_reached_the_journal_is_not_handed_over(trading: Desk, tmp_path: Path) -> None:
    """Its rows agree with one another, but not with what was posted."""
    with trading.writing() as work:
        keep_sale(work, work.orders.add(replace(work.orders.get(2), number=None)))
    with pytest.raises(BookDisagreesError, match=r"ledger \(Net sales, as posted\)"):
        export_period(trading, MARCH.days, tmp_path)


def _rows(book: Workbook, title: str) -> list[tuple[Any, ...]]:
    """Give a sheet's rows without heading and totals, and without the empty row of an empty table."""
    rows = list(book[title].iter_rows(min_row=2, values_only=True))[:-1]
    return [row for row in rows if any(row)]


@on_both
def test_the_books_prove_themselves(trading: Desk) -> None:
    """Four opening counts, two parcels and two payments are eight entries; the head is that of the last seal."""
    with trading.reading() as work:
        head, entries = work.seals.head(), work.journal.head().count
    verdict = prove_books(trading)
    assert verdict.holds
    assert verdict.head == head
    assert entries == 8


def test_books_that_were_changed_from_outside_say_where(trading: Desk) -> None:
    """The guards are lifted and an amount is changed on both sides, so that the entry still balances."""
    with trading.writing() as work:
        connection = work.transaction.connection
        lift_guards(connection)
        second: Where = {journal_posting.c.entry_number: 2}
        work.transaction.change(journal_posting, {"amount": 1}, {**second, journal_posting.c.position: 1})
        work.transaction.change(journal_posting, {"amount": -1}, {**second, journal_posting.c.position: 2})
        set_guards(connection)
    failed = {proof.code: proof for proof in prove_books(trading).failed}
    assert "2" in failed["CHAIN"].differences[0].where
