"""The card processor at the desk: reports kept as facts, payouts recorded from them once, matched at the bank."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from shopledger.desk.books.bank_matching import match_lines
from shopledger.desk.books.banking import record_move
from shopledger.desk.books.closing import close_month, plan_closing, prove_books
from shopledger.desk.books.deposits import DepositRequest, take_deposit
from shopledger.desk.books.payouts import cards_owed, compare_cards, payouts, plan_payout, record_payout
from shopledger.desk.books.processor_reports import import_report, keep_columns, plan_report_import
from shopledger.desk.books.statements import ImportRequest, import_statement, keep_account
from shopledger.desk.books.voiding import void_document
from shopledger.desk.context import Desk
from shopledger.desk.refusals import FindingsRefusedError
from shopledger.errors import ExchangeError, RefusedError, StoreError
from shopledger.ledger.books.bank_matches import MatchedBy
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.money_moves import CashAccount, MoneyMove, MoveKind
from shopledger.ledger.books.period import Month, Period
from shopledger.ledger.books.statements import BankAccount
from shopledger.ledger.orders import Method
from tests.desk.books import everything, on_both
from tests.desk.family import later
from tests.processor_reports import LAYOUT, report, row
from tests.shelf import CUSTOMER
from tests.statements import ofx, transaction

MARCH, APRIL = Month(2026, 3), Month(2026, 4)
ACCEPTED = frozenset({"PAYOUT-BELOW-ZERO", "PAYOUT-ABOVE-CLEARING", "FEE-LATE"})
LATE = row("P-2", "2026-04-02", "t2", "2026-03-30", "charge", 20_000, 610)
EARLY = row("P-2", "2026-04-02", "t3", "2026-04-01", "charge", 5_000, 175)
PAID = row("P-2", "2026-04-02", "", "2026-04-02", "payout", -24_215)


@pytest.fixture
def desk(desk: Desk, tmp_path: Path) -> Desk:
    """Take two payments by card, of March and of April, and keep the processor's columns; gives the desk in April."""
    for day, amount in ((date(2026, 3, 30), 20_000), (date(2026, 4, 1), 5_000)):
        take_deposit(later(desk, day), DepositRequest(CUSTOMER, amount, Method.CARD))
    april = later(desk, date(2026, 4, 6))
    keep_columns(april, "Cardwell", written(tmp_path, LATE, EARLY, PAID), LAYOUT)
    return april


def written(folder: Path, *rows: str, name: str = "april.csv") -> Path:
    """Write a report with these rows."""
    file = folder / name
    file.write_text(report(*rows), encoding="ascii")
    return file


@on_both
def test_a_payout_is_recorded_once_and_its_fees_in_their_months(desk: Desk, tmp_path: Path) -> None:
    """Looking and taking in move nothing; what is voided since can be recorded again, and nothing twice."""
    before = everything(desk)
    file = written(tmp_path, LATE, EARLY, PAID)
    assert plan_report_import(desk, file).plan.payouts == ("P-2",)
    assert everything(desk) == before
    import_report(desk, file)
    owed = cards_owed(desk)
    assert (owed.books, owed.reports.owed if owed.reports else None) == (25_000, 0)
    done = record_payout(desk, "p-2", accept=ACCEPTED)
    assert [(each.day.isoformat(), each.amount, each.fee) for each in done.moves] == [
        ("2026-03-30", 610, 610),
        ("2026-04-02", 24_390, 175),
    ]
    assert (cards_owed(desk).apart, cards_owed(desk, MARCH.last).apart) == (0, 0)
    with pytest.raises(RefusedError, match="it is recorded already: money 1, money 2"):
        record_payout(desk, "P-2")
    void_document(desk, Document(DocumentKind.MONEY, 2), "to try it")
    assert [each.amount for each in plan_payout(desk, "P-2").moves] == [24_390]
    record_payout(desk, "P-2", accept=ACCEPTED)
    assert [each.recorded for each in payouts(desk)] == [True]
    assert compare_cards(desk, Period.read("2026-03-01..2026-04-06")).agrees
    assert prove_books(desk).holds


@on_both
def test_rows_that_wait_are_paid_out_once(desk: Desk, tmp_path: Path) -> None:
    """A report of March knows the charge and no payout; the one of April puts the paid row in its place."""
    waiting = row("", "", "t2", "2026-03-30", "charge", 20_000, 610)
    import_report(desk, written(tmp_path, waiting, name="march.csv"))
    assert (cards_owed(desk).reports, payouts(desk)) == (cards_owed(desk, MARCH.last).reports, ())
    import_report(desk, written(tmp_path, LATE, EARLY, PAID))
    assert not import_report(desk, written(tmp_path, waiting, name="march.csv")).plan.new
    at_end, now = (cards_owed(desk, day).reports for day in (MARCH.last, None))
    assert (at_end.owed if at_end else None, now.owed if now else None) == (19_390, 0)


def test_a_fee_of_a_closed_month_counts_with_the_payout_once_that_is_said(desk: Desk, tmp_path: Path) -> None:
    """It is asked about; the closed month takes nothing."""
    import_report(desk, written(tmp_path, LATE, EARLY, PAID))
    close_month(desk, MARCH, frozenset(each.code for each in plan_closing(desk, MARCH).findings))
    with pytest.raises(FindingsRefusedError, match=r"6\.10 of the fees were earned in 2026-03, which is closed"):
        record_payout(desk, "P-2")
    (move,) = record_payout(desk, "P-2", accept=ACCEPTED).moves
    assert (move.day, move.amount, move.fee) == (date(2026, 4, 2), 25_000, 785)


def test_the_bank_knows_a_payout_by_its_number_above_and_below_zero(desk: Desk, tmp_path: Path) -> None:
    """Or by its amount and day; what is taken from the bank just as what comes."""
    keep_account(desk, BankAccount("Checking", "5678"))
    record_move(desk, MoneyMove(date(2026, 3, 29), MoveKind.OPENING, CashAccount.BANK, 100_000))
    back = row("PO-2026040300077", "2026-04-03", "t4", "2026-04-02", "refund", -1_000, 30)
    gone = row("PO-2026040300077", "2026-04-03", "", "2026-04-03", "payout", 1_030)
    import_report(desk, written(tmp_path, LATE, EARLY, PAID, back, gone))
    for name in ("P-2", "PO-2026040300077"):
        record_payout(desk, name, accept=ACCEPTED)
    lines = (
        transaction("20260403", "242.15", "a", "CARDWELL"),
        transaction("20260404", "-10.30", "b", "CARDWELL PO-2026040300077", kind="DEBIT"),
    )
    file = tmp_path / "april.ofx"
    text = ofx(*lines, first="20260401", last="20260404", balance="1231.85", balance_day="20260404")
    file.write_text(text, encoding="ascii")
    import_statement(desk, ImportRequest(file))
    found = match_lines(desk)
    assert [(each.line.amount, each.by) for each in found.found] == [
        (24_215, MatchedBy.AMOUNT),
        (-1_030, MatchedBy.REFERENCE),
    ]


def test_what_cannot_be_is_refused_and_nothing_is_stored(desk: Desk, tmp_path: Path) -> None:
    """A file of tomorrow, one that was cut, a payout that nobody knows, a processor that is not there."""
    before = everything(desk)
    ahead = [each.replace("2026-04-0", "2026-04-1") for each in (LATE, EARLY, PAID)]
    with pytest.raises(RefusedError, match="day of a row is 2026-04-12; that is after today"):
        import_report(desk, written(tmp_path, *ahead))
    with pytest.raises(ExchangeError, match="come to 193"):
        import_report(desk, written(tmp_path, LATE, PAID))
    with pytest.raises(RefusedError, match="no report of Cardwell tells of it"):
        record_payout(desk, "P-9")
    with pytest.raises(StoreError, match="Cardwell"):
        payouts(desk, "Cardwel")
    assert everything(desk) == before
