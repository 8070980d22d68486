"""Closed stays closed: a closed month or year that is exported again says the same, whatever was named anew since."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from shopledger.desk.books.closing import close_month, month_states, plan_closing, reopen_month
from shopledger.desk.books.deposits import DepositRequest, take_deposit
from shopledger.desk.books.reports import export_period, export_plain, export_year
from shopledger.desk.books.stocking import count_stock
from shopledger.desk.books.voiding import void_document
from shopledger.desk.changing_orders import LinesAdded, Reduction
from shopledger.desk.context import Desk
from shopledger.desk.goods import ACCESSORIES, FRAMES
from shopledger.desk.known_people import customer_card
from shopledger.desk.order_lookups import order_account
from shopledger.desk.orders import cancel_order, give_refund, take_payment
from shopledger.desk.parcels import parcel_back, parcels, send_again
from shopledger.desk.payment_corrections import reverse_payment, write_rest_off
from shopledger.desk.people import add_customer, change_customer, change_supplier, change_wearer
from shopledger.desk.putting_right import CorrectionTerms, record_correction
from shopledger.desk.sales import record_sale
from shopledger.desk.shop import change_shop
from shopledger.errors import RefusedError
from shopledger.ledger.books.customer_rows import PaymentRow, SalesRow
from shopledger.ledger.books.documents import Document
from shopledger.ledger.books.period import Month, Period
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import AccessoryRequest, Method, OrderRequest, PaymentRequest
from shopledger.ledger.parties import Address, Customer
from shopledger.ledger.payment_corrections import Reversal, WriteOff
from shopledger.ledger.refunds import RefundedLine, RefundRequest
from shopledger.ledger.settings import Accounting
from shopledger.ledger.stock import StockedKind
from shopledger.store.refusals import MonthClosedError
from tests.desk.books import on_both
from tests.desk.busy_month import APRIL, LAB, MAKER, MARCH, live_through
from tests.desk.family import DISTANCE, Past, later
from tests.shelf import CASE, CHILD, CUSTOMER, LARK, SHADES, WREN

pytestmark = pytest.mark.slow

AGAIN = OrderRequest("1", (replace(DISTANCE, wearer="1"),))
TEXAS = Address("4 Mesquite Lane", "Marfa", "TX", "79843")


@pytest.fixture(scope="module")
def past() -> Past:
    """Live through March and April."""
    return live_through


def close(desk: Desk, *months: Month) -> None:
    """Close months, whatever is pointed out."""
    for month in months:
        close_month(desk, month, frozenset(finding.code for finding in plan_closing(desk, month).findings))


def cells(workbook: Path) -> dict[str, object]:
    """Give every cell of every sheet, what stands at the head of each page, the title, and the hash of the file."""
    book = openpyxl.load_workbook(workbook)
    found: dict[str, object] = {"title": book.properties.title}
    found["file"] = hashlib.sha256(workbook.read_bytes()).hexdigest()
    for sheet in book:
        found[f"{sheet.title} head"] = (str(sheet.oddHeader), str(sheet.oddFooter))
        for row in sheet.iter_rows():
            found |= {f"{sheet.title}!{cell.coordinate}": cell.value for cell in row if cell.value is not None}
    book.close()
    return found


def plain(files: tuple[Path, ...]) -> dict[str, list[object]]:
    """Give every line of plain files."""
    return {file.name: list(file.read_text(encoding="utf-8-sig").splitlines()) for file in files}


def assert_same(first: Mapping[str, Any], again: Mapping[str, Any]) -> None:
    """Hold two exports together, and name what differs."""
    differing = {
        where: (first.get(where), again.get(where))
        for where in {**first, **again}
        if first.get(where) != again.get(where)
    }
    assert differing == {}
    assert first


def rename_everybody(desk: Desk) -> None:
    """Let customer, wearer, suppliers, goods and the shop be called otherwise, and the customer move."""
    change_customer(desk, CUSTOMER, lambda found: replace(found, name="Odalys Marrowdene", address=TEXAS))
    change_wearer(desk, "Odalys Marrowdene", CHILD, lambda found: replace(found, name="Wren Marrowdene"))
    for supplier in (LAB, MAKER):
        change_supplier(desk, supplier, lambda found: replace(found, name=f"New {found.name}"))
    FRAMES.change(desk, WREN.code, {"colour": "ash", "model": "Renamed"})
    FRAMES.change(desk, LARK.code, {"maker": "Another"})
    ACCESSORIES.change(desk, CASE.code, {"name": "Box for glasses"})
    ACCESSORIES.change(desk, SHADES.code, {"name": "Shades"})
    change_shop(
        desk,
        lambda shop, settings: (replace(shop, name="Another Shop"), replace(settings, accounting=Accounting.CASH)),
    )


def live_on(desk: Desk) -> None:
    """Let later months go on with what was begun in the closed ones, and with more."""
    there = later(desk, date(2026, 5, 20))
    record_sale(there, AGAIN)
    give_refund(there, 1, RefundRequest(Method.CARD, "scratched", (RefundedLine(1, 1500),)))
    cancel_order(there, 2, "never fetched")
    take_payment(there, 4, PaymentRequest(4000, Method.CHECK, "1333"))
    sent = number_of(next(each for each in parcels(there) if each.order_number == 1))
    parcel_back(there, sent, "moved away")
    send_again(there, sent, "Harrow Post")
    why = CorrectionTerms("agreed by telephone")
    record_correction(there, LinesAdded(4, why, accessories=(AccessoryRequest(CASE.code, 1, "1"),)))
    record_correction(there, Reduction(4, {1: 500}, why))
    bounced = next(each for each in order_account(there, 1).payments if each.reference == "1187")
    reverse_payment(there, Reversal(number_of(bounced), "no cover", fee=1200, charge=2500))
    write_rest_off(there, WriteOff(1, "moved away without a word", 10_000))
    write_rest_off(there, WriteOff(4, "will not be paid", 1000))
    take_deposit(there, DepositRequest("1", 5000, Method.CASH))
    count_stock(there, StockedKind.ACCESSORY, CASE.code, 3, "fewer than told")
    void_document(there, Document.read("expense 2"), "private after all")
    add_customer(there, "Bram Pike", TEXAS)
    record_sale(
        later(desk, date(2026, 6, 3)), OrderRequest("2", accessories=(AccessoryRequest(CASE.code),), shipping=0)
    )


@on_both
def test_a_closed_month_is_exported_again_cell_by_cell(desk: Desk, tmp_path: Path) -> None:
    """Everybody is called otherwise and the shop moves on: March and April say what they said, their CSV files too."""
    there = later(desk, date(2026, 5, 2))
    close(there, MARCH, APRIL)
    first = {
        month: (cells(export_period(there, month.days, tmp_path)), plain(export_plain(there, month.days, tmp_path)))
        for month in (MARCH, APRIL)
    }
    rename_everybody(later(desk, date(2026, 5, 6)))
    live_on(desk)
    new = later(desk, date(2026, 6, 20))
    for month, (workbook, files) in first.items():
        assert_same(workbook, cells(export_period(new, month.days, tmp_path)))
        assert_same(files, plain(export_plain(new, month.days, tmp_path)))
    may = cells(export_period(new, Month(2026, 5).days, tmp_path))
    assert "Odalys Marrowdene" in may.values()
    assert CUSTOMER not in may.values()


@on_both
def test_a_year_of_closed_months_is_exported_again_cell_by_cell(desk: Desk, tmp_path: Path) -> None:
    """A name of the new year, a move and a new order leave the sheets of the year before as they were."""
    live_on(desk)
    there = later(desk, date(2027, 2, 1))
    close(there, *(state.month for state in month_states(there) if not state.closed))
    written = export_year(there, Period.of_year(2026), tmp_path, as_csv=True)
    first = cells(written.files[0]), plain(written.files[1:])
    assert not written.state.draft
    new = later(desk, date(2027, 2, 15))
    change_customer(new, "1", lambda found: replace(found, name="Odalys Marrowdene", address=TEXAS))
    change_supplier(new, LAB, lambda found: replace(found, name="New Lab"))
    FRAMES.change(new, WREN.code, {"colour": "ash"})
    change_shop(new, lambda shop, settings: (replace(shop, name="Another Shop"), settings))
    record_sale(new, AGAIN)
    again = export_year(new, Period.of_year(2026), tmp_path, as_csv=True)
    assert_same(first[0], cells(again.files[0]))
    assert_same(first[1], plain(again.files[1:]))


def names_in(desk: Desk, period: Period) -> set[str]:
    """Give under which names customers stand among the sales and payments of a period."""
    with desk.reading() as work:
        sold, paid = work.reports.rows(SalesRow, period), work.reports.rows(PaymentRow, period)
        return {row.customer for row in sold} | {row.customer for row in paid}


@on_both
def test_a_name_holds_from_its_day_on(desk: Desk) -> None:
    """Nobody stands under two names in one period: all of it is told under the name of its last day."""
    there = later(desk, date(2026, 5, 20))
    change_customer(there, CUSTOMER, lambda found: replace(found, name="Odalys Marrowdene"), date(2026, 4, 20))
    assert names_in(there, MARCH.days) == {CUSTOMER}
    assert names_in(there, APRIL.days) == {"Odalys Marrowdene"}
    assert names_in(there, Period(date(2026, 4, 1), date(2026, 4, 19))) == {CUSTOMER}
    change_customer(there, "1", lambda found: replace(found, name="Odalys Thorne"), date(2026, 4, 10))
    assert names_in(there, Period(date(2026, 4, 1), date(2026, 4, 9))) == {CUSTOMER}
    assert names_in(there, Period(date(2026, 4, 1), date(2026, 4, 19))) == {"Odalys Thorne"}
    assert names_in(there, Period.of_year(2026)) == {"Odalys Thorne"}


def test_a_name_does_not_change_in_a_closed_month(desk: Desk) -> None:
    """The month is named, and nothing else is stored either; a day to come is refused, and a day without a name."""

    def renamed_and_called(found: Customer) -> Customer:
        return replace(found, name="Other", phone="555-0101")

    there = later(desk, date(2026, 5, 2))
    close(there, MARCH)
    with pytest.raises(MonthClosedError, match="2026-03 is closed"):
        change_customer(
            there, CUSTOMER, lambda found: replace(found, name="Other", phone="555-0101"), date(2026, 3, 30)
        )
    with pytest.raises(RefusedError, match="it lies after today"):
        change_customer(there, CUSTOMER, lambda found: replace(found, name="Other"), date(2026, 6, 1))
    with pytest.raises(RefusedError, match=f"the name stays '{CUSTOMER}'"):
        change_customer(there, CUSTOMER, lambda found: replace(found, phone="555-0101"), date(2026, 5, 1))
    with there.reading() as work:
        customer = work.customers.get(1)
    assert (customer.name, customer.phone) == (CUSTOMER, "555-0142")


def test_whoever_pays_and_wears_has_one_name(desk: Desk) -> None:
    """The customer's own wearer is called as the customer is from then on; the child keeps its name."""
    changed = change_customer(desk, CUSTOMER, lambda found: replace(found, name="Odalys Marrowdene"))
    with desk.reading() as work:
        wearers = [wearer.name for wearer in work.customers.wearers(1)]
    assert (changed.name, wearers) == ("Odalys Marrowdene", ["Odalys Marrowdene", CHILD])


def test_a_month_that_is_closed_anew_is_told_anew(desk: Desk, tmp_path: Path) -> None:
    """Opened again with a reason and closed again, a month stands on its new closing, with the view chosen by then."""
    there = later(desk, date(2026, 5, 2))
    close(there, MARCH, APRIL)
    first = cells(export_period(there, APRIL.days, tmp_path))
    change_shop(there, lambda shop, settings: (shop, replace(settings, accounting=Accounting.CASH)))
    assert_same(first, cells(export_period(there, APRIL.days, tmp_path)))
    reopen_month(there, APRIL, "a bill was forgotten")
    change_supplier(there, LAB, lambda found: replace(found, name="New Lab"), date(2026, 4, 30))
    close(there, APRIL)
    again = cells(export_period(there, APRIL.days, tmp_path))
    assert "New Lab" in again.values()
    assert first != again


def test_looks_are_kept_with_the_closing(desk: Desk, tmp_path: Path) -> None:
    """Who looked at prescriptions in a month stays told once the notes of that time are taken away."""
    customer_card(desk, CUSTOMER)
    there = later(desk, date(2026, 5, 2))
    close(there, MARCH)
    first = cells(export_period(there, MARCH.days, tmp_path))
    assert "Prescriptions looked at once by tester." in first.values()
    years_later = later(desk, date(2034, 5, 2))
    customer_card(years_later, CUSTOMER)
    with years_later.writing() as work:
        assert work.audit_trail.prune(date(2030, 1, 1)) is not None
        assert work.audit_trail.counted(MARCH.first, MARCH.last) == ()
    assert_same(first, cells(export_period(there, MARCH.days, tmp_path)))
