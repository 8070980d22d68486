"""Payees and their W-9s at the desk: kept, listed for a year, handed out with a yes, erased and forgotten again."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any, cast

import pytest
from openpyxl import load_workbook

from shopledger.desk.books.billing import record_bill
from shopledger.desk.books.bills import pay_bill
from shopledger.desk.books.closing import prove_books
from shopledger.desk.books.payee_forms import (
    erase_w9,
    erase_w9s_again,
    hand_out,
    payee_list,
    plan_w9,
    record_w9,
    set_limit,
    w9_of,
)
from shopledger.desk.books.reports import export_year
from shopledger.desk.books.spending import record_expense
from shopledger.desk.context import Desk
from shopledger.desk.people import add_supplier
from shopledger.desk.refusals import FindingsRefusedError
from shopledger.errors import RefusedError, StoreError
from shopledger.ledger.books.bill_requests import BillPaymentRequest, BillRequest, ExpenseBilled
from shopledger.ledger.books.payee_forms import W9, PayeeStanding, ReportLimit, TaxpayerKind
from shopledger.ledger.books.period import Period
from shopledger.ledger.books.spending import Expense, ExpenseCategory, SpendMethod
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.parties import Address
from shopledger.ledger.retention import KeptStillError
from tests.desk.books import everything, notes, on_both
from tests.desk.family import later
from tests.rows import rows

YEAR = Period.of_year(2026)
NAME, LAB, NUMBER = "Imke Sandlark", "Thistledown Repairs", "912-70-6789"
HOME = Address("4 Quarry Road", "Barre", "VT", "05641")
FORM = W9(NAME, "Imke T. Sandlark", HOME, TaxpayerKind.INDIVIDUAL, NUMBER, date(2026, 1, 12))
GOES = frozenset({"NO-PROOF", "EXPENSE-TWICE", "CASH-SHORT"})


@pytest.fixture
def paid(desk: Desk) -> Desk:
    """Pay for help at the bench by transfer and by card, and a repair on a bill, half of it by card."""
    labour = ExpenseCategory.CONTRACT_LABOUR
    for cents, method in ((150_000, SpendMethod.BANK), (60_000, SpendMethod.CASH), (99_900, SpendMethod.CARD)):
        record_expense(desk, Expense(desk.today, NAME, labour, "bench help", cents, method), accept=GOES)
    add_supplier(desk, Supplier(LAB))
    repair = (ExpenseBilled(ExpenseCategory.REPAIRS, 400_000),)
    record_bill(desk, BillRequest(LAB, "R-1", expenses=repair))
    pay_bill(desk, 1, BillPaymentRequest(150_000, SpendMethod.BANK))
    pay_bill(desk, 1, BillPaymentRequest(250_000, SpendMethod.CARD))
    return desk


@on_both
def test_a_year_lists_what_was_paid_otherwise_than_by_card(paid: Desk) -> None:
    """2,100.00 of 3,099.00, and of a bill 1,500.00 of 4,000.00, which is below the limit of 2026."""
    found = payee_list(paid, YEAR)
    assert [(each.payee, each.paid, each.standing, each.w9) for each in found.payees] == [
        (NAME, 210_000, PayeeStanding.REPORT, None),
        (LAB, 150_000, PayeeStanding.BELOW, None),
    ]
    set_limit(paid, ReportLimit(2026, 250_000))
    set_limit(paid, ReportLimit(2026, 150_000))
    assert {each.standing for each in payee_list(paid, YEAR).payees} == {PayeeStanding.REPORT}
    assert payee_list(paid, YEAR).limit.source == "set by the owner"


@on_both
def test_the_newest_w9_of_a_payee_holds(paid: Desk) -> None:
    """However the name is capitalized; a corporation is left out as a rule."""
    record_w9(paid, FORM)
    record_w9(paid, replace(FORM, payee="IMKE  SANDLARK", kind=TaxpayerKind.CORPORATION))
    (first, _) = payee_list(paid, YEAR).payees
    assert (first.standing, first.w9 and first.w9.number) == (PayeeStanding.CORPORATION, 2)
    assert prove_books(paid).holds


@on_both
def test_a_name_that_nobody_was_paid_under_is_asked_about(paid: Desk) -> None:
    """A slip would leave the payee without a W-9; a supplier's name is known without a payment."""
    plan = plan_w9(paid, replace(FORM, payee="Imke Sandlar"))
    assert [(each.code, NAME in each.sentence) for each in plan.findings] == [("PAYEE-UNKNOWN", True)]
    before = everything(paid)
    with pytest.raises(FindingsRefusedError):
        record_w9(paid, replace(FORM, payee="Imke Sandlar"))
    assert everything(paid) == before
    assert plan_w9(paid, replace(FORM, payee=LAB)).findings == ()


@on_both
def test_a_w9_is_never_changed(paid: Desk) -> None:
    """Nor is a limit: the database itself refuses it."""
    record_w9(paid, FORM)
    with pytest.raises(StoreError, match="never changed or deleted"), paid.writing() as work:
        work.transaction.connection.exec_driver_sql("UPDATE w9 SET tax_number = '12-3456789'")


@on_both
def test_the_whole_number_goes_out_with_a_yes_and_a_note(paid: Desk, tmp_path: Path) -> None:
    """Without the yes nothing is written; what was handed out is in the audit."""
    record_w9(paid, FORM)
    with pytest.raises(FindingsRefusedError):
        hand_out(paid, NAME, tmp_path)
    assert list(tmp_path.glob("*.txt")) == []
    file = hand_out(later(paid, date(2027, 1, 20)), NAME, tmp_path, frozenset({"WHOLE-NUMBER"}))
    said = file.read_text(encoding="utf-8")
    assert f"tax number: {NUMBER}" in said
    assert "1099-NEC: 2,100.00 paid, to report" in said
    assert [deed for _, deed, what in notes(paid) if what == "W-9 1"] == ["handed out a W-9"]


@on_both
def test_a_w9_is_erased_once_no_tax_record_needs_it(paid: Desk) -> None:
    """Seven years after the return of 2026, with a yes; what was paid stays, and the list says it is missing."""
    record_w9(paid, FORM)
    record_w9(paid, replace(FORM, kind=TaxpayerKind.OTHER))
    yes = frozenset({"ERASED-FOR-GOOD"})
    with pytest.raises(KeptStillError, match="2034-04-15"):
        erase_w9(later(paid, date(2034, 4, 14)), NAME, "seven years are over", yes)
    there = later(paid, date(2034, 4, 15))
    with pytest.raises(FindingsRefusedError):
        erase_w9(there, NAME, "seven years are over")
    with pytest.raises(RefusedError, match="names the person"):
        erase_w9(there, NAME, "for imke t. sandlark", yes)
    assert len(erase_w9(there, NAME, "seven years are over", yes)) == 2
    with there.reading() as work:
        assert {(row.tax_number, row.name, row.salt) for row in rows(work, "w9")} == {("", "erased 2034-04-15", "")}
    with pytest.raises(RefusedError, match="none is kept"):
        w9_of(there, NAME)
    assert payee_list(there, YEAR).payees[0].w9 is None
    assert prove_books(there).holds


def test_a_copy_that_still_knows_it_forgets_again(paid: Desk) -> None:
    """The list of what was erased is kept outside the ledger, and an older copy is held to it."""
    record_w9(paid, FORM)
    there = later(paid, date(2034, 4, 15))
    erase_w9(there, NAME, "seven years are over", frozenset({"ERASED-FOR-GOOD"}))
    record_w9(there, FORM)
    with there.writing() as work:
        done = work.w9s.erasures()
        assert erase_w9s_again(work, there.ledger.url, done) == ()
        again = erase_w9s_again(work, there.ledger.url, [replace(done[0], w9_number=2)])
        assert [each.w9_number for each in again] == [2]
    with pytest.raises(RefusedError, match="none is kept"):
        w9_of(there, NAME)


def test_the_year_s_workbook_lists_them_without_the_number(paid: Desk, tmp_path: Path) -> None:
    """The sheet says what is due, whether the W-9 is there, and the last four digits alone."""
    record_w9(paid, FORM)
    written = export_year(paid, YEAR, tmp_path, as_csv=True)
    sheet = load_workbook(written.files[0])["1099 payees"]
    headings, first, second = ([cast("Any", cell.value) for cell in row] for row in sheet.iter_rows(max_row=3))
    told = dict(zip(headings, first, strict=True))
    assert (told["Payee"], told["Form"], told["Paid not by card"], told["Standing"]) == (
        *(NAME, "1099-NEC", 2100, "to report"),
    )
    assert (told["Received"].date(), told["Number ends in"], told["Address"]) == (
        *(date(2026, 1, 12), "6789", "4 Quarry Road, Barre, VT 05641"),
    )
    assert dict(zip(headings, second, strict=True))["Received"] is None
    every = b"".join(file.read_bytes() for file in written.files if file.suffix == ".csv").decode("utf-8")
    assert NAME in every
    assert "70-6789" not in every
