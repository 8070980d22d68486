"""Equipment at the desk: listed with what it came with, gone by an entry of its own, and nothing edited."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any, cast

import pytest
from openpyxl import load_workbook

from shopledger.desk.books.adjusting import open_books, record_adjustment, reverse_adjustment
from shopledger.desk.books.banking import balance_sheet_of
from shopledger.desk.books.bill_credits import CreditRequest, change_bill
from shopledger.desk.books.billing import record_bill
from shopledger.desk.books.closing import prove_books
from shopledger.desk.books.disposing import DisposalRequest, dispose, equipment_list, plan_disposal
from shopledger.desk.books.reports import export_period, export_year
from shopledger.desk.books.spending import record_expense
from shopledger.desk.books.voiding import void_document
from shopledger.desk.context import Desk
from shopledger.desk.people import add_supplier
from shopledger.errors import RefusedError
from shopledger.ledger.books.adjustments import Adjustment, AdjustmentLine
from shopledger.ledger.books.bill_credits import CreditKind
from shopledger.ledger.books.bill_requests import BillRequest, ExpenseBilled
from shopledger.ledger.books.closing import PeriodDeed, PeriodEvent
from shopledger.ledger.books.disposals import DisposalKind
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.journal import EMPTY_HEAD, Account
from shopledger.ledger.books.money_moves import CashAccount
from shopledger.ledger.books.period import Month, Period
from shopledger.ledger.books.spending import Expense, ExpenseCategory, SpendMethod
from shopledger.ledger.books.suppliers import Supplier
from shopledger.store.refusals import MonthClosedError
from tests.desk.books import assert_sheets_meet_accounts, everything, on_both, postings
from tests.desk.family import later

EQUIPMENT, SUPPLIER = ExpenseCategory.EQUIPMENT, "Thistledown Optical"
SOLD = date(2026, 5, 20)
APRIL = date(2026, 4, 6)


@pytest.fixture
def equipped(desk: Desk) -> Desk:
    """Begin with 1,800.00 of it, buy an edger and a lamp on a bill and a stool at once, and write 450.00 off."""
    there = (AdjustmentLine(Account.EQUIPMENT, 180_000), AdjustmentLine(Account.ACCUMULATED_DEPRECIATION, -30_000))
    open_books(desk, Adjustment.opening_of(desk.today, there))
    add_supplier(desk, Supplier(SUPPLIER))
    billed = (ExpenseBilled(EQUIPMENT, 250_000, "edger"), ExpenseBilled(EQUIPMENT, 9_000, "lamp"))
    record_bill(desk, BillRequest(SUPPLIER, "E-1", expenses=billed))
    change_bill(later(desk, APRIL), 1, CreditRequest(CreditKind.DISCOUNT, 2_590))
    paid = Expense(APRIL, "Fennick Stationers", EQUIPMENT, "stool", 8_800, SpendMethod.BANK, "17")
    record_expense(later(desk, APRIL), paid)
    lines = AdjustmentLine(Account.DEPRECIATION, 45_000), AdjustmentLine(Account.ACCUMULATED_DEPRECIATION, -45_000)
    record_adjustment(later(desk, APRIL), Adjustment(APRIL, "three months of the edger", lines))
    return later(desk, SOLD)


@on_both
def test_equipment_is_listed_with_what_it_came_with(equipped: Desk) -> None:
    """By day, and its cost is what the account says, with what the supplier took off since."""
    listed = [(row.document, row.position, row.payee, row.description, row.cost) for row in equipment_list(equipped)]
    (first, second) = listed[1:3]
    assert first[:4] == ("bill 1", 1, SUPPLIER, "edger")
    assert second == ("bill 1", 2, SUPPLIER, "lamp", 9_000)
    assert first[4] + second[4] == 256_410
    assert [each for each in listed if each not in (first, second)] == [
        ("adjustment 1", 1, "", "opening position", 180_000),
        ("expense 1", 1, "Fennick Stationers", "stool", 8_800),
    ]
    assert [row.cost for row in equipment_list(equipped, date(2026, 3, 31))] == [180_000, 250_000, 9_000]


@on_both
def test_what_is_sold_leaves_with_its_depreciation_and_the_gain_stands_apart(equipped: Desk, tmp_path: Path) -> None:
    """The result of the trade and line 29 do not change; sheets, balance sheet and the year say what it gained."""
    before = balance_sheet_of(equipped, SOLD)
    paid = DisposalRequest("bill 1 line 1", DisposalKind.SOLD, 45_000, 230_000, note="to a colleague")
    done = dispose(equipped, paid)
    cost = done.cost
    assert postings(equipped)[-4:] == [
        ("disposal 1", "accumulated depreciation", 45_000),
        ("disposal 1", "bank", 230_000),
        ("disposal 1", "gain or loss on equipment", -(230_000 - cost + 45_000)),
        ("disposal 1", "equipment", -cost),
    ]
    after = balance_sheet_of(equipped, SOLD)
    assert (after.capital.result, after.capital.equipment) == (before.capital.result, done.gain)
    assert after.adds_up
    assert prove_books(equipped).holds
    for month in (Month(2026, 4), Month(2026, 5)):
        assert_sheets_meet_accounts(equipped, month.days)
        export_period(equipped, month.days, tmp_path)
    book = load_workbook(export_year(equipped, Period.of_year(2026), tmp_path).files[0])
    headings, *rows = ([cast("Any", cell.value) for cell in row] for row in book["Equipment"].iter_rows())
    (gone,) = [dict(zip(headings, row, strict=True)) for row in rows if row[headings.index("How")] == "sold"]
    assert (gone["Payee"], gone["Description"], gone["Disposed on"].date()) == (SUPPLIER, "edger", SOLD)
    assert (gone["Proceeds"], gone["There"]) == (2300, 0)
    assert gone["Gain or loss"] == pytest.approx(done.gain / 100)


@on_both
def test_a_mistake_is_voided_and_the_piece_is_there_again(equipped: Desk) -> None:
    """Its month may be closed by then: the voiding is of its own day."""
    before = [row for row in equipment_list(equipped) if row.description == "stool"]
    dispose(equipped, DisposalRequest("expense 1", DisposalKind.SCRAPPED, 0))
    void_document(later(equipped, date(2026, 6, 2)), Document(DocumentKind.DISPOSAL, 1), "it was the other stool")
    assert next(row for row in equipment_list(equipped) if row.description == "stool").disposal is not None
    assert [row for row in equipment_list(later(equipped, date(2026, 6, 2))) if row.description == "stool"] == before
    assert prove_books(equipped).holds


@on_both
def test_a_part_of_what_was_there_at_first_goes_alone(equipped: Desk) -> None:
    """The opening position is one line of several things."""
    dispose(equipped, DisposalRequest("adjustment 1", DisposalKind.LOST, 10_000, cost=60_000))
    parts = [(row.cost, row.there) for row in equipment_list(equipped) if row.document == "adjustment 1"]
    assert parts == [(60_000, 0), (120_000, 120_000)]
    with pytest.raises(RefusedError, match=r"1,200\.00 of the cost"):
        plan_disposal(equipped, DisposalRequest("adjustment 1", DisposalKind.SOLD, 0, cost=120_001))


@on_both
def test_what_it_came_with_can_not_be_voided_then(equipped: Desk) -> None:
    """Its cost would be taken out twice; the disposal is voided first."""
    adjustment = Adjustment(SOLD, "brought in", (AdjustmentLine(Account.EQUIPMENT, 50_000),
                            AdjustmentLine(Account.CONTRIBUTIONS, -50_000)))  # fmt: skip
    number = record_adjustment(equipped, adjustment).number or 0
    pieces = ("bill 1 line 1", "expense 1", f"adjustment {number}")
    for piece in pieces:
        dispose(equipped, DisposalRequest(piece, DisposalKind.TAKEN_HOME, 0))
    before = everything(equipped)
    for document in (Document(DocumentKind.BILL, 1), Document(DocumentKind.EXPENSE, 1),
                     Document(DocumentKind.ADJUSTMENT, number)):  # fmt: skip
        with pytest.raises(RefusedError, match="Void 'disposal"):
            void_document(equipped, document, "a mistake")
    with pytest.raises(RefusedError, match="Void 'disposal"):
        reverse_adjustment(equipped, number)
    assert everything(equipped) == before


@on_both
@pytest.mark.parametrize(
    ("piece", "said"),
    [
        ("bill 1", "it has several: bill 1 line 1, bill 1 line 2"),
        ("bill 1 line 9", "no equipment came with it"),
        ("expense 9", "no equipment came with it"),
    ],
)
def test_a_piece_that_is_none_is_refused(equipped: Desk, piece: str, said: str) -> None:
    """With what to type instead; nothing is stored."""
    before = everything(equipped)
    with pytest.raises(RefusedError, match=said):
        dispose(equipped, DisposalRequest(piece, DisposalKind.SOLD, 0, 100, CashAccount.CASH))
    assert everything(equipped) == before


@on_both
def test_a_piece_goes_once_and_in_an_open_month(equipped: Desk) -> None:
    """What is gone is gone, and a closed month takes no disposal."""
    with equipped.writing() as work:
        work.periods.add(PeriodEvent(Month(2026, 4), PeriodDeed.CLOSED, "", (), EMPTY_HEAD))
    with pytest.raises(MonthClosedError):
        dispose(equipped, DisposalRequest("expense 1", DisposalKind.SOLD, 0, day=date(2026, 4, 30)))
    dispose(equipped, DisposalRequest("expense 1", DisposalKind.SOLD, 0))
    with pytest.raises(RefusedError, match="it went on 2026-05-20"):
        dispose(equipped, DisposalRequest("expense 1", DisposalKind.SOLD, 0))
