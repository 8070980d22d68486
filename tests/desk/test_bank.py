"""The bank's statements at the desk: taken in once, matched to the books, brought together with them at month's end."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from openpyxl import load_workbook

from shopledger.desk.books.bank_matching import (
    LineRequest,
    match_lines,
    pair_lines,
    pick_match,
    plan_entry,
    plan_matches,
    record_line,
    shown_lines,
    unmatch,
)
from shopledger.desk.books.bank_reconciling import print_month, reconcile
from shopledger.desk.books.banking import record_move
from shopledger.desk.books.closing import close_month, plan_closing, prove_books
from shopledger.desk.books.reports import export_period
from shopledger.desk.books.spending import record_expense
from shopledger.desk.books.statements import (
    ImportRequest,
    LayoutRequest,
    StatementImport,
    bank_accounts,
    import_statement,
    keep_account,
    keep_layout,
    plan_statement,
    type_balance,
)
from shopledger.desk.books.voiding import void_document
from shopledger.desk.context import Desk
from shopledger.desk.refusals import FindingsRefusedError
from shopledger.errors import ExchangeError, RefusedError, StoreError
from shopledger.ledger.books.adjustments import Adjustment, AdjustmentLine
from shopledger.ledger.books.bank_matches import LineMeaning, MatchedBy
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.money_moves import CashAccount, MoneyMove, MoveKind
from shopledger.ledger.books.period import Month
from shopledger.ledger.books.postings import adjustment_entry
from shopledger.ledger.books.spending import Expense, ExpenseCategory, SpendMethod
from shopledger.ledger.books.statement_layout import CsvLayout
from shopledger.ledger.books.statements import BankAccount, StatedBalance, StatementForm
from shopledger.store.refusals import DuplicateError, MonthClosedError
from tests.desk.books import everything, on_both, words_in
from tests.desk.family import later
from tests.exchange.test_camt_file import CARD, CHECK, camt
from tests.statements import ofx, transaction

MARCH, APRIL = Month(2026, 3), Month(2026, 4)
OPENED = 100_000


@pytest.fixture
def desk(desk: Desk) -> Desk:
    """Keep an account that held 1,000.00 when the books began; gives the desk in April."""
    keep_account(desk, BankAccount("Checking", "5678"))
    record_move(desk, MoneyMove(date(2026, 3, 1), MoveKind.OPENING, CashAccount.BANK, OPENED))
    return later(desk, date(2026, 4, 6))


def march(*lines: str, balance: str = "1000.00", first: str = "20260301") -> str:
    """Give a statement of March."""
    return ofx(*lines, first=first, last="20260331", balance=balance, balance_day="20260331")


def taken(
    desk: Desk, folder: Path, text: str, *accept: str, name: str = "march.ofx", as_new: bool = False
) -> StatementImport:
    """Take in a file with this text."""
    file = folder / name
    file.write_text(text, encoding="utf-8")
    return import_statement(desk, ImportRequest(file, as_new=as_new), frozenset(accept))


def spent(desk: Desk, amount: int, day: date, reference: str = "", payee: str = "Alder Row Estates") -> Document:
    """Spend money by bank."""
    asked = Expense(day, payee, ExpenseCategory.RENT, "rent", amount, SpendMethod.BANK, reference)
    number = record_expense(desk, asked, accept=frozenset({"EXPENSE-TWICE"})).expense.number
    return Document(DocumentKind.EXPENSE, number or 0)


def counts(done: StatementImport) -> tuple[int, int, int, int]:
    """Give how many lines are new, known, changed and missing."""
    plan = done.accounts[0].plan
    return len(plan.new), plan.known, len(plan.changed), len(plan.missing)


RENT = transaction("20260310", "-850.00", "r1", "ALDER ROW", kind="DEBIT")
FEE = transaction("20260331", "-12.00", "f1", "SERVICE FEE", kind="SRVCHG")


@on_both
def test_a_file_is_taken_in_once(desk: Desk, tmp_path: Path) -> None:
    """Looking changes nothing, the same file again changes nothing, and the facts carry file, hash and day."""
    text = march(RENT, FEE, balance="138.00")
    (tmp_path / "march.ofx").write_text(text, encoding="utf-8")
    before = everything(desk)
    plan = plan_statement(desk, ImportRequest(tmp_path / "march.ofx"))
    assert (counts(plan), plan.accounts[0].plan.total) == ((2, 0, 0, 0), -86_200)
    assert everything(desk) == before
    done = taken(desk, tmp_path, text)
    statement = done.accounts[0].statement
    assert statement is not None
    assert (statement.file_name, statement.sha256, statement.day) == ("march.ofx", done.file.sha256, desk.today)
    assert [(each.line.amount, each.line.text) for each in shown_lines(desk)] == [
        (-85_000, "ALDER ROW"),
        (-1_200, "SERVICE FEE"),
    ]
    stored = everything(desk)
    again = taken(desk, tmp_path, text)
    assert (counts(again), again.accounts[0].statement) == ((0, 2, 0, 0), None)
    assert everything(desk) == stored
    assert prove_books(desk).holds


@on_both
def test_a_damaged_file_stores_nothing(desk: Desk, tmp_path: Path) -> None:
    """All of it or nothing: not the lines before the damage, either."""
    before = everything(desk)
    with pytest.raises(ExchangeError, match="stops in the middle"):
        taken(desk, tmp_path, march(RENT, FEE)[:-120])
    with pytest.raises(RefusedError, match="day of a line is 2026-04-07"):
        taken(desk, tmp_path, march(RENT, transaction("20260407", "1.00", "x")))
    assert everything(desk) == before


@on_both
def test_a_number_that_repeats_loses_no_line(desk: Desk, tmp_path: Path) -> None:
    """One line twice is one; another line under the same number is kept; again there is nothing new."""
    twice = transaction("20260310", "10.00", "A")
    text = march(twice, twice, transaction("20260310", "-5.00", "A"))
    done = taken(desk, tmp_path, text)
    assert [each.code for each in done.findings] == ["LINE-TWIN"]
    assert counts(done) == (2, 0, 0, 0)
    assert counts(taken(desk, tmp_path, text)) == (0, 2, 0, 0)


@on_both
def test_twins_without_a_number_are_two(desk: Desk, tmp_path: Path) -> None:
    """Two fares of a day are two lines, and the same two again are none."""
    fare = transaction("20260310", "-1.50", "", "FARE")
    assert counts(taken(desk, tmp_path, march(fare, fare))) == (2, 0, 0, 0)
    assert counts(taken(desk, tmp_path, march(fare, fare))) == (0, 2, 0, 0)
    assert counts(taken(desk, tmp_path, march(fare, fare, fare), name="b.ofx")) == (1, 2, 0, 0)


@on_both
def test_a_line_that_the_bank_changed_is_asked_about(desk: Desk, tmp_path: Path) -> None:
    """Nothing is overwritten: with a yes the new line stands in the old one's place."""
    taken(desk, tmp_path, march(RENT))
    changed = march(RENT.replace("-850.00", "-855.00"))
    with pytest.raises(FindingsRefusedError, match=r"it was -850\.00 on 2026-03-10, it is -855\.00.*LINE-CHANGED"):
        taken(desk, tmp_path, changed)
    assert counts(taken(desk, tmp_path, changed, "LINE-CHANGED")) == (1, 0, 1, 0)
    shown = shown_lines(desk)
    assert [(each.line.amount, each.overtaken_by) for each in shown] == [(-85_000, 2), (-85_500, None)]
    assert counts(taken(desk, tmp_path, changed)) == (0, 1, 0, 0)
    with desk.reading() as work:
        assert work.bank.statements()[-1].accepted == ("LINE-CHANGED",)


@on_both
def test_a_line_under_another_number_is_asked_about(desk: Desk, tmp_path: Path) -> None:
    """It is probably the same, and left out with a yes; as new it is a line of its own."""
    taken(desk, tmp_path, march(RENT))
    other = march(RENT.replace("r1", "r1-posted"))
    with pytest.raises(FindingsRefusedError, match="LINE-AGAIN"):
        taken(desk, tmp_path, other)
    assert counts(taken(desk, tmp_path, other, "LINE-AGAIN")) == (0, 0, 0, 0)
    assert len(shown_lines(desk)) == 1
    with pytest.raises(FindingsRefusedError, match=r"is not in this file.*LINE-MISSING"):
        taken(desk, tmp_path, other, as_new=True)
    taken(desk, tmp_path, other, "LINE-MISSING", as_new=True)
    assert len(shown_lines(desk)) == 2


@on_both
def test_a_line_that_is_gone_from_its_days_is_told(desk: Desk, tmp_path: Path) -> None:
    """One that lies outside the file's days is not."""
    taken(desk, tmp_path, march(RENT, FEE))
    with pytest.raises(FindingsRefusedError, match=r"Line 1 \(alder row\), -850\.00 on 2026-03-10, was there before"):
        taken(desk, tmp_path, march(FEE))
    assert counts(taken(desk, tmp_path, march(FEE, first="20260311"), name="b.ofx")) == (0, 1, 0, 0)


@on_both
def test_the_banks_own_correction_stands_in_the_lines_place(desk: Desk, tmp_path: Path) -> None:
    """One that takes a line out counts nothing."""
    taken(desk, tmp_path, march(RENT, FEE))
    more = "<CORRECTFITID>f1<CORRECTACTION>DELETE"
    taken(desk, tmp_path, march(RENT, FEE, transaction("20260331", "-12.00", "f2", more=more)))
    assert [(each.line.amount, each.overtaken_by) for each in shown_lines(desk)] == [
        (-85_000, None),
        (-1_200, 3),
        (0, None),
    ]
    assert [each.line.number for each in shown_lines(desk, only_open=True)] == [1]


@on_both
def test_a_file_finds_its_account_by_its_last_digits(desk: Desk, tmp_path: Path) -> None:
    """One of no account is refused, one of another than was named too, and a name is kept once."""
    with pytest.raises(RefusedError, match="one that ends in 9999; it is of none of the accounts"):
        taken(desk, tmp_path, march(RENT).replace("000012345678", "11119999"))
    keep_account(desk, BankAccount("Savings", "9999"))
    with pytest.raises(RefusedError, match="one that ends in 5678; 'Savings' ends in 9999"):
        import_statement(desk, ImportRequest(_written(tmp_path, march(RENT)), "savings"))
    with pytest.raises(DuplicateError):
        keep_account(desk, BankAccount("SAVINGS"))
    with pytest.raises(StoreError, match="no bank account called 'Saving'"):
        type_balance(desk, "Saving", StatedBalance(desk.today, 1))
    assert [(each.name, balance) for each, balance in bank_accounts(desk)] == [("Checking", None), ("Savings", None)]


def _written(folder: Path, text: str) -> Path:
    file = folder / "march.ofx"
    file.write_text(text, encoding="utf-8")
    return file


def test_a_credit_cards_statement_is_no_account_at_the_bank(desk: Desk, tmp_path: Path) -> None:
    """Beside a bank's it is left out, alone it is refused."""
    card = ofx(FEE, account="4000111122223333", header="").replace("STMTRS", "CCSTMTRS").replace("<OFX>", "")
    done = taken(desk, tmp_path, march(RENT).replace("</OFX>", card))
    assert (counts(done), done.cards) == ((1, 0, 0, 0), 1)
    with pytest.raises(RefusedError, match="only accounts at the bank are reconciled"):
        taken(desk, tmp_path, f"<OFX>{card}", name="card.ofx")


@on_both
def test_what_can_be_only_one_is_matched(desk: Desk, tmp_path: Path) -> None:
    """By check number first, by reference, by cents and day; what could be two is left with both."""
    check = spent(desk, 40_000, date(2026, 3, 2), "check 1042")
    other = spent(desk, 40_000, date(2026, 3, 9))
    named = spent(desk, 7_000, date(2026, 3, 20), "INV-7731")
    alone = spent(desk, 85_000, date(2026, 3, 10))
    twins = [spent(desk, 2_500, date(2026, 3, day)) for day in (15, 16)]
    text = march(
        transaction("20260310", "-400.00", "1", "CHECK", kind="CHECK", more="<CHECKNUM>0001042"),
        transaction("20260311", "-400.00", "2", "ALDER ROW"),
        transaction("20260324", "-70.00", "3", "PAYMENT inv-7731 THANKS"),
        RENT,
        transaction("20260317", "-25.00", "5", "SOMETHING"),
    )
    taken(desk, tmp_path, text)
    plan = match_lines(desk)
    assert [(each.line.source_id, each.entry.document, each.by) for each in plan.found] == [
        ("1", check, MatchedBy.CHECK),
        ("r1", alone, MatchedBy.AMOUNT),
        ("2", other, MatchedBy.AMOUNT),
        ("3", named, MatchedBy.REFERENCE),
    ]
    (left,) = plan.left
    assert [entry.document for entry in left.candidates] == twins
    assert plan_matches(desk).found == ()


@on_both
def test_payments_are_never_added_up_to_a_line(desk: Desk, tmp_path: Path) -> None:
    """Two that come to it are not taken; the owner may name both, and to the cent."""
    first, second = (spent(desk, amount, date(2026, 3, 10)) for amount in (50_000, 35_000))
    taken(desk, tmp_path, march(RENT))
    plan = match_lines(desk)
    assert (plan.found, [each.candidates for each in plan.left]) == ((), [()])
    with pytest.raises(RefusedError, match=r"line 1 is -850\.00; expense 1 moves the bank account by -500\.00"):
        pick_match(desk, 1, [first])
    assert [each.document for each in pick_match(desk, 1, [first, second]).entries] == [first, second]
    with pytest.raises(RefusedError, match="it is matched already"):
        pick_match(desk, 1, [first, second])
    unmatch(desk, 1)
    with pytest.raises(RefusedError, match="it is matched to nothing"):
        unmatch(desk, 1)
    pick_match(desk, 1, [second, first])
    assert prove_books(desk).holds


@on_both
def test_two_lines_that_come_to_nothing_are_one_another(desk: Desk, tmp_path: Path) -> None:
    """A transfer between own accounts, or what the bank put right; taken back, both are open again."""
    wrong = (transaction("20260310", "-40.00", "w", "ERROR"), transaction("20260312", "40.00", "c", "CORRECTION"))
    taken(desk, tmp_path, march(*wrong, FEE))
    for other in (1, 3):
        with pytest.raises(RefusedError, match="two lines are matched where they come to nothing"):
            pair_lines(desk, 1, other)
    assert pair_lines(desk, 1, 2).day == date(2026, 3, 12)
    assert [each.other for each in shown_lines(desk)] == [2, 1, None]
    with pytest.raises(RefusedError, match="it is matched already"):
        record_line(desk, LineRequest(2, LineMeaning.INTEREST))
    assert (unmatch(desk, 2).other, len(shown_lines(desk, only_open=True))) == (1, 3)
    assert prove_books(desk).holds


@on_both
def test_what_moves_no_money_in_the_bank_is_no_line(desk: Desk, tmp_path: Path) -> None:
    """Not an expense by card, not what was voided, not what lay there at the beginning."""
    taken(desk, tmp_path, march(RENT, transaction("20260302", "1000.00", "o")))
    voided = spent(desk, 85_000, date(2026, 3, 10))
    void_document(desk, voided, "typed twice", date(2026, 3, 11))
    with pytest.raises(RefusedError, match="was voided"):
        pick_match(desk, 2, [voided])
    with pytest.raises(RefusedError, match="when the books began"):
        pick_match(desk, 1, [Document(DocumentKind.MONEY, 1)])
    with pytest.raises(RefusedError, match="it moves no money in the bank account"):
        pick_match(desk, 2, [Document(DocumentKind.EXPENSE, 99)])


@on_both
def test_a_line_becomes_an_entry_and_is_that_entry(desk: Desk, tmp_path: Path) -> None:
    """A fee, interest, what the owner took out and put in: posted by the deeds that there are, on the line's day."""
    lines = (
        FEE,
        transaction("20260331", "0.42", "i", "INTEREST"),
        transaction("20260320", "-200.00", "d", "ATM"),
        transaction("20260305", "300.00", "c", "TRANSFER"),
    )
    taken(desk, tmp_path, march(*lines, balance="1088.42"))
    by_text = {each.line.text: each.line.number or 0 for each in shown_lines(desk)}
    wanted = {
        "SERVICE FEE": LineMeaning.FEE,
        "INTEREST": LineMeaning.INTEREST,
        "ATM": LineMeaning.DRAW,
        "TRANSFER": LineMeaning.CONTRIBUTION,
    }
    with pytest.raises(RefusedError, match=r"line 4 comes in: 300\.00"):
        plan_entry(desk, LineRequest(by_text["TRANSFER"], LineMeaning.DRAW))
    before = everything(desk)
    assert plan_entry(desk, LineRequest(by_text["ATM"], LineMeaning.DRAW)).document.amount == 20_000
    assert everything(desk) == before
    for text, meaning in wanted.items():
        record_line(desk, LineRequest(by_text[text], meaning))
    assert shown_lines(desk, only_open=True) == ()
    assert [each.entries[0].amount for each in shown_lines(desk)] == [30_000, -20_000, -1_200, 42]
    assert reconcile(desk, MARCH).end.agrees
    assert prove_books(desk).holds


@on_both
def test_a_month_agrees_to_the_cent(desk: Desk, tmp_path: Path) -> None:
    """A check of March that the bank pays in April is outstanding; the four columns come out."""
    spent(desk, 85_000, date(2026, 3, 9))
    spent(desk, 9_500, date(2026, 3, 30), "1043")
    taken(desk, tmp_path, march(RENT, FEE, balance="138.00"))
    match_lines(desk)
    found = reconcile(desk, MARCH)
    assert (found.end.statement, found.end.books, found.end.difference) == (13_800, 5_500, 0)
    assert [each.amount for each in found.end.outstanding] == [-9_500]
    assert [each.words for each in found.end.unbooked] == ["SERVICE FEE"]
    assert not found.end.agrees
    record_line(desk, LineRequest(2, LineMeaning.FEE))
    found = reconcile(desk, MARCH)
    assert (found.end.bank_side, found.end.books, found.end.agrees) == (4_300, 4_300, True)
    assert found.proof is not None
    assert found.proof.holds
    row = found.proof.corrected_books
    assert (row.opening, row.receipts, row.disbursements, row.closing) == (OPENED, 0, 95_700, 4_300)


@on_both
def test_the_month_is_printed_as_a_page(desk: Desk, tmp_path: Path) -> None:
    """Its verdict, what is open and the four columns, with the ledger's head."""
    spent(desk, 9_500, date(2026, 3, 30), "1043")
    taken(desk, tmp_path, march(FEE, balance="988.00"))
    words = words_in(print_month(desk, MARCH, tmp_path))
    for said in (
        "the books lack 1 of the bank's lines on Mar 31, 2026",
        "988.00",
        "893.00",
        "SERVICE FEE",
        "expense 1",
        "Proof of cash",
    ):
        assert said in words
    record_line(desk, LineRequest(1, LineMeaning.FEE))
    printed = print_month(desk, MARCH, tmp_path)
    assert printed.name == "bank-month-202603.pdf"
    assert "The bank agrees with the books on Mar 31, 2026: 893.00" in words_in(printed)


@on_both
def test_a_missing_line_is_a_difference(desk: Desk, tmp_path: Path) -> None:
    """The bank's balance knows it, its list does not."""
    taken(desk, tmp_path, march(balance="999.99"))
    assert reconcile(desk, MARCH).end.difference == -1


@on_both
def test_without_the_banks_word_for_the_day_nothing_is_reconciled(desk: Desk, tmp_path: Path) -> None:
    """What to do is said; a balance from paper will do."""
    with pytest.raises(RefusedError, match="nothing of the bank's was taken in yet"):
        reconcile(desk, MARCH)
    taken(desk, tmp_path, march(balance=""))
    with pytest.raises(RefusedError, match="no statement tells what lay there on 2026-03-31"):
        reconcile(desk, MARCH)
    type_balance(desk, "checking", StatedBalance(date(2026, 3, 31), OPENED))
    assert reconcile(desk, MARCH).end.agrees
    with pytest.raises(RefusedError, match="it has not begun"):
        reconcile(desk, Month(2026, 5))


@on_both
def test_a_closed_month_refuses_match_and_unmatch(desk: Desk, tmp_path: Path) -> None:
    """What counts from an open month on may be matched, though its entry is of the closed one."""
    rent, check = spent(desk, 85_000, date(2026, 3, 9)), spent(desk, 9_500, date(2026, 3, 30))
    both = march(RENT, transaction("20260331", "-95.00", "x"), transaction("20260402", "-95.00", "c"), balance="")
    taken(desk, tmp_path, both.replace("20260331<STMTTRN>", "20260402<STMTTRN>"))
    pick_match(desk, 1, [rent])
    findings = plan_closing(desk, MARCH).findings
    assert [each.code for each in findings if each.code == "BANK"] == ["BANK"]
    close_month(desk, MARCH, frozenset(each.code for each in findings))
    with pytest.raises(MonthClosedError):
        unmatch(desk, 1)
    with pytest.raises(MonthClosedError):
        pick_match(desk, 2, [check])
    assert match_lines(desk).found == ()
    pick_match(desk, 3, [check])
    unmatch(desk, 3)


@on_both
def test_what_a_closed_month_holds_back_is_told(desk: Desk, tmp_path: Path) -> None:
    """A line that can only be one entry is not matched in a closed month, and it is said in which."""
    spent(desk, 85_000, date(2026, 3, 9))
    taken(desk, tmp_path, march(RENT, balance=""))
    close_month(desk, MARCH, frozenset(each.code for each in plan_closing(desk, MARCH).findings))
    plan = match_lines(desk)
    assert (plan.found, len(plan.left), plan.closed) == ((), 1, (MARCH,))


@on_both
def test_closing_says_whether_the_bank_agrees(desk: Desk, tmp_path: Path) -> None:
    """A note that stops nothing: not known, not yet, and to the cent."""

    def said() -> str:
        return next(each.sentence for each in plan_closing(desk, MARCH).findings if each.code == "BANK")

    assert said().startswith("The bank's balance is not known")
    taken(desk, tmp_path, march(FEE, balance="988.00"))
    assert said().startswith("The bank does not agree with the books yet: 1 line of the bank's is")
    record_line(desk, LineRequest(1, LineMeaning.FEE))
    assert said() == "The bank agrees with the books at 988.00, to the cent."


@on_both
def test_what_was_changed_under_a_match_is_refused(desk: Desk, tmp_path: Path) -> None:
    """The match is taken back first."""
    rent = spent(desk, 85_000, date(2026, 3, 9))
    taken(desk, tmp_path, march(RENT))
    pick_match(desk, 1, [rent])
    changed = march(RENT.replace("-850.00", "-855.00"))
    with pytest.raises(RefusedError, match="First 'shopledger bank unmatch 1'"):
        taken(desk, tmp_path, changed, "LINE-CHANGED")
    unmatch(desk, 1)
    taken(desk, tmp_path, changed, "LINE-CHANGED")


CSV = "Date,Description,Amount,Balance\n3/10/2026,ALDER ROW,-850.00,150.00\n3/31/2026,FEE,-12.00,138.00\n"
LAYOUT = CsvLayout("Date", "Amount", text=("Description",), balance="Balance")


@on_both
def test_a_csv_file_is_read_by_the_layout_of_its_account(desk: Desk, tmp_path: Path) -> None:
    """Kept once, the newest counts; without one the file's first rows are shown in the refusal."""
    file = tmp_path / "march.csv"
    file.write_text(CSV, encoding="utf-8")
    with pytest.raises(
        ExchangeError, match=r"its columns must be known: Date, Description, Amount, Balance / 3/10/2026"
    ):
        import_statement(desk, ImportRequest(file, "Checking"))
    before = everything(desk)
    wrong = LayoutRequest("Checking", file, CsvLayout("Date", "Balance", balance="Amount"))
    with pytest.raises(ExchangeError, match="Rows are missing"):
        keep_layout(desk, wrong)
    assert keep_layout(desk, LayoutRequest("Checking", file, LAYOUT), dry=True).rows[1][1] == "ALDER ROW"
    assert everything(desk) == before
    keep_layout(desk, LayoutRequest("Checking", file, replace(LAYOUT, text=())))
    keep_layout(desk, LayoutRequest("Checking", file, LAYOUT))
    assert counts(import_statement(desk, ImportRequest(file))) == (2, 0, 0, 0)
    assert counts(import_statement(desk, ImportRequest(file, "Checking"))) == (0, 2, 0, 0)
    assert reconcile(desk, MARCH).end.statement == 13_800
    assert prove_books(desk).holds


@on_both
def test_a_camt_file_is_taken_in(desk: Desk, tmp_path: Path) -> None:
    """By its account's last digits, with its balance."""
    file = tmp_path / "march.xml"
    text = camt(CARD, CHECK).replace("2027-01", "2026-03")
    file.write_text(text, encoding="utf-8")
    done = import_statement(desk, ImportRequest(file))
    assert (done.file.form, counts(done)) == (StatementForm.CAMT, (2, 0, 0, 0))
    assert reconcile(desk, MARCH).end.statement == 213_950
    file.write_bytes(text.replace('encoding="UTF-8"', "").encode("utf-16"))
    assert counts(import_statement(desk, ImportRequest(file))) == (0, 2, 0, 0)


@on_both
def test_the_same_lines_in_another_form_are_not_new(desk: Desk, tmp_path: Path) -> None:
    """A line without the bank's number is the one with the same day, cents and text."""
    file = tmp_path / "march.csv"
    file.write_text(CSV.replace("FEE", "SERVICE FEE"), encoding="utf-8")
    taken(desk, tmp_path, march(RENT, FEE, balance="138.00"))
    keep_layout(desk, LayoutRequest("Checking", file, LAYOUT))
    assert counts(import_statement(desk, ImportRequest(file, "Checking"))) == (0, 2, 0, 0)


def test_more_of_an_accounts_number_than_four_digits_is_refused() -> None:
    """Whoever types all of it is told."""
    with pytest.raises(RefusedError, match="only the last four digits are kept"):
        BankAccount("Checking", "000012345678")
    assert replace(BankAccount("Checking"), ending="5678").ending == "5678"


def bank_sheet(file: Path) -> dict[str, tuple[object, ...]]:
    """Give the rows of the sheet of the bank with what its formulas come to, by their first words."""
    sheet = load_workbook(file, data_only=True)["Bank"]
    return {str(row[0]).strip(): tuple(row[1:6]) for row in sheet.iter_rows(values_only=True) if row[0]}


def test_the_month_s_workbook_shows_the_bank(desk: Desk, tmp_path: Path) -> None:
    """Both balances with what stands between them, what is stale, four columns that add across: as the page says it."""
    spent(desk, 9_500, date(2025, 9, 1), "1041")
    taken(desk, tmp_path, march(RENT, FEE, balance="138.00"))
    type_balance(desk, "Checking", StatedBalance(date(2026, 2, 28), OPENED))
    rows = bank_sheet(export_period(desk, MARCH.days, tmp_path))
    assert rows["The bank's balance"][3] == 138
    assert rows["rent of premises: Alder Row Estates"] == ("expense 1", "2025-09-01", 211, -95, None)
    assert any(words.startswith("Outstanding for more than 180 days") for words in rows)
    assert rows["The books' balance"][3] == 905
    assert rows["SERVICE FEE"][3] == -12
    assert rows["Difference"][3:] == (0, "OK")
    assert rows["Per bank"] == (1000, 0, 862, 138, "OK")
    assert rows["Bank, corrected"][:4] == rows["Books, corrected"][:4] == (905, 0, 862, 43)
    assert rows["Between both"] == (0, 0, 0, 0, "OK")


def test_a_month_without_a_statement_has_no_sheet_of_the_bank(desk: Desk, tmp_path: Path) -> None:
    """Nothing is shown of what nobody said."""
    assert "Bank" not in load_workbook(export_period(desk, MARCH.days, tmp_path)).sheetnames


def test_a_closed_month_goes_on_showing_the_bank_as_it_was_known(desk: Desk, tmp_path: Path) -> None:
    """A statement that comes in later, and a match of a later month, change none of its bytes."""
    taken(desk, tmp_path, march(RENT, balance="150.00"))
    close_month(desk, MARCH, frozenset(each.code for each in plan_closing(desk, MARCH).findings))
    first = export_period(desk, MARCH.days, tmp_path)
    kept = first.read_bytes()
    taken(desk, tmp_path, march(RENT, FEE, balance="138.00"), name="later.ofx")
    assert export_period(desk, MARCH.days, tmp_path).read_bytes() == kept
    assert reconcile(desk, MARCH).end.statement == 13_800


def test_what_a_shop_moved_in_with_is_no_line_of_the_banks(tmp_path: Path, desk: Desk) -> None:
    """An opening position that states the bank account is what lay there, just as an opening of it alone is."""
    void_document(desk, Document(DocumentKind.MONEY, 1), "stated with all else", date(2026, 3, 1))
    with desk.writing() as work:
        owed = [AdjustmentLine(Account.BANK, OPENED)]
        opened = work.adjustments.add(Adjustment.opening_of(date(2026, 3, 1), owed))
        work.journal.post(adjustment_entry(opened))
    spent(desk, 85_000, date(2026, 3, 9))
    taken(desk, tmp_path, march(RENT, balance="150.00"))
    match_lines(desk)
    found = reconcile(desk, MARCH)
    assert (found.end.agrees, found.end.in_transit, found.end.books) == (True, (), 15_000)
