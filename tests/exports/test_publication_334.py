"""The worked example of IRS Publication 334 (2024), chapter 7, through the whole program: events in, workbook out.

The publication gives yearly sums: opening inventory 37,845; purchases 285,900, of which 2,650 were taken for own use;
gross receipts 400,000; returns and allowances 14,940; closing inventory 32,955. Counts, prices and days are made up
here so that the events of a year come to these sums: everything cost 5.00, and two articles sold at 6.94 and 6.95.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from datetime import UTC, date, datetime, time
from pathlib import Path

import pytest

from shopledger.desk.books.goods_moves import take_out
from shopledger.desk.books.reports import YearShown, export_year, year_figures
from shopledger.desk.books.stocking import receive_stock
from shopledger.desk.context import Desk
from shopledger.desk.goods import load_catalogue
from shopledger.desk.orders import give_refund, ship_order
from shopledger.desk.people import add_customer
from shopledger.desk.sales import record_sale
from shopledger.ledger.books.period import Period
from shopledger.ledger.books.tax_forms import purchases, schedule_c
from shopledger.ledger.catalogue import Accessory, Catalogue
from shopledger.ledger.orders import AccessoryRequest, Method, OrderRequest, PaymentRequest
from shopledger.ledger.refunds import RefundedLine, RefundRequest
from shopledger.ledger.settings import Accounting, InventoryView, Settings
from shopledger.ledger.stock import StockedKind, StockMovement, StockReason
from shopledger.store.opening import open_ledger
from tests.desk.family import TWICE, set_shop
from tests.exports.spreadsheet import needs_office, worked_out
from tests.shelf import CUSTOMER, HOME, SHOP

pytestmark = pytest.mark.slow

YEAR = Period.of_year(2026)
DEARER, CHEAPER = Accessory("DEARER", "Case, felt", price=695, cost=500), Accessory("CHEAPER", "Case", 694, 500)
MOST = 999
"""How many of one article an order may hold."""

PRINTED = {
    "1": 400_000,
    "2": 14_940,
    "3": 385_060,
    "35": 37_845,
    "36": 283_250,
    "40": 321_095,
    "41": 32_955,
    "42": 288_140,
    "4": 288_140,
    "5": 96_920,
}
"""Lines of Schedule C with the dollars that the publication prints."""


@pytest.fixture
def example(sqlite_address: str, tmp_path: Path) -> Iterator[Desk]:
    """Give the desk after the year of the example: 7,569 articles there, 57,180 bought, 530 taken home, 57,628 sold."""
    with closing(open_ledger(sqlite_address)) as ledger:
        desk = on(Desk(ledger, "tester", datetime.now(UTC), YEAR.last, tmp_path / "own"), date(2025, 12, 31))
        set_shop(desk, SHOP, Settings())
        add_customer(desk, CUSTOMER, HOME, "555-0142")
        load_catalogue(desk, Catalogue(accessories=((CHEAPER, 7_569), (DEARER, 0))), (), ())
        for day, article, count in (
            (date(2026, 1, 5), CHEAPER, 20_000),
            (date(2026, 2, 9), DEARER, 8_000),
            (date(2026, 7, 6), CHEAPER, 29_180),
        ):
            receive_stock(on(desk, day), StockedKind.ACCESSORY, article.code, count, 500)
        take_home(on(desk, date(2026, 7, 20)), 530)
        sell(desk, CHEAPER, 51_460, month=7)
        sell(desk, DEARER, 6_168, month=11)
        give_back(on(desk, YEAR.last), 1_494_000)
        yield on(desk, date(2027, 1, 20))


def on(desk: Desk, day: date) -> Desk:
    """Give the desk on another day."""
    return replace(desk, today=day, now=datetime.combine(day, time(10), UTC))


def sell(desk: Desk, article: Accessory, count: int, month: int) -> None:
    """Sell so many, paid by card and shipped, in orders as large as may be."""
    for place in range(0, count, MOST):
        many = min(MOST, count - place)
        there = on(desk, date(2026, month, 21 + place // MOST % 8))
        paid = PaymentRequest(many * article.price, Method.CARD, "4242")
        goods = (AccessoryRequest(article.code, many),)
        order = record_sale(there, OrderRequest(CUSTOMER, (), goods, payments=(paid,), accept=TWICE))
        ship_order(there, order.order.number or 0, "Parcel post")


def take_home(desk: Desk, count: int) -> None:
    """Let the owner take some for own use."""
    with desk.writing() as work:
        take_out(work, StockMovement(desk.today, StockedKind.ACCESSORY, CHEAPER.code, -count, 0, StockReason.OWN_USE))


def give_back(desk: Desk, amount: int) -> None:
    """Give an amount back on the first orders, whose goods the customers keep."""
    number = 0
    while amount:
        number += 1
        part = min(amount, MOST * CHEAPER.price)
        give_refund(desk, number, RefundRequest(Method.CARD, "an allowance", (RefundedLine(1, part),)))
        amount -= part


def whole(shown: YearShown, accounting: Accounting, view: InventoryView) -> dict[str, int]:
    """Give the printed lines in dollars; every one comes out without cents."""
    lines = schedule_c(shown.figures, accounting, view)
    assert all(lines[line] % 100 == 0 for line in PRINTED)
    return {line: lines[line] // 100 for line in PRINTED}


def test_the_events_of_the_example_come_to_its_printed_lines(example: Desk) -> None:
    """Net receipts, purchases less own use, cost of goods sold and gross profit are those of the publication."""
    shown = year_figures(example, YEAR)
    assert whole(shown, Accounting.ACCRUAL, InventoryView.INVENTORY) == PRINTED
    assert purchases(shown.figures) == {"bought": 28_590_000, "own use": 265_000, "given away": 0}


def test_all_was_paid_so_the_cash_view_prints_the_same(example: Desk) -> None:
    """Customers paid everything in the year, and the goods are shown alike in both views."""
    shown = year_figures(example, YEAR)
    assert whole(shown, Accounting.CASH, InventoryView.INVENTORY) == PRINTED


def test_as_materials_the_goods_that_went_to_customers_count_alone(example: Desk) -> None:
    """Nothing stands on lines 35 and 41, and the cost of goods sold is the same."""
    lines = whole(year_figures(example, YEAR), Accounting.ACCRUAL, InventoryView.MATERIALS)
    assert [lines[line] for line in ("35", "36", "41", "42", "5")] == [0, 288_140, 0, 288_140, 96_920]


@needs_office
def test_a_spreadsheet_works_the_example_out(example: Desk, tmp_path: Path) -> None:
    """The workbook's own formulas give the printed lines, 285,900 bought and 2,650 for own use among them."""
    file = export_year(example, YEAR, tmp_path).files[0]
    (book,) = worked_out([file], tmp_path / "worked")
    rows = list(book["Schedule C"].iter_rows(values_only=True))
    behind = {row[1]: row[2] for row in rows}
    lines = {line: next(row[2] for row in rows if row[0] == line) for line in PRINTED}
    assert lines == PRINTED
    bought = "Goods bought, less what was sent back, discounts and allowances"
    assert (behind[bought], behind["Taken home by the owner, at cost"]) == (285_900, 2_650)
