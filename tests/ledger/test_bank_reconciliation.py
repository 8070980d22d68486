"""Bank and books brought together: printed examples, the rules of balances, and what is open on which day.

IRS Publication 583, record system, item 7; OpenStax, Principles of Accounting 1, section 8.6 with its exercises; a
publisher's proof of cash in four columns. Amounts are as printed there.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date

import pytest

from shopledger.ledger.books.bank_matches import BankMatch, BookEntry
from shopledger.ledger.books.bank_reconciliation import (
    BankBooks,
    OpenItem,
    ProofLine,
    ProofRow,
    Reconciliation,
    Turnover,
    balance_on,
    proof_of_cash,
    reconciled,
    turnovers,
)
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.statements import BankLine, BankStatement, StatementForm

END = date(2027, 1, 31)


def items(*amounts: int) -> tuple[OpenItem, ...]:
    """Give open items of these amounts."""
    return tuple(map(OpenItem, amounts))


def brought_together(
    statement: int,
    transit: tuple[int, ...],
    paid: tuple[int, ...],
    books: int,
    unbooked: tuple[int, ...],
    error: int = 0,
) -> Reconciliation:
    """Give a reconciliation as a book prints it."""
    errors = items(error) if error else ()
    return Reconciliation(END, statement, books, items(*transit), items(*paid), errors, items(*unbooked))


@pytest.mark.parametrize(
    ("example", "both"),
    [
        (
            brought_together(145_812, (70_133, 51_608), (-6_670, -980, -15_000, -30_000), 215_303, (600, -1_000)),
            214_903,
        ),
        (
            brought_together(77_040, (34_300,), (-9_620, -10_000), 32_760, (60_000, 1_800, -2_200, -240, -80), 320),
            92_040,
        ),
        (brought_together(3_678, (321,), (-108, -334), 2_547, (-25, 1_000, 35)), 3_557),
        (brought_together(4_587, (1_546,), (-956,), 5_577, (56, -456)), 5_177),
        (brought_together(6_988, (1_600,), (-599, -1_423), 6_626, (-75, 90), 75), 6_641),
        (brought_together(4_021, (1_111,), (-679,), 2_928, (-35, 1_325, 235)), 4_453),
        (brought_together(7_651, (2_588,), (-489,), 10_595, (121, -966)), 9_750),
        (brought_together(12_565, (2_509,), (-1_777,), 13_744, (-125, 90), 412), 13_709),
    ],
)
def test_printed_reconciliations_come_out(example: Reconciliation, both: int) -> None:
    """IRS Pub. 583 item 7 (in cents), OpenStax 8.6 and its exercises (in dollars as printed)."""
    assert (example.bank_side, example.book_side, example.difference) == (both, both, 0)
    assert not example.agrees


def test_the_bank_agrees_once_the_books_know_all_of_it() -> None:
    """What the books lack keeps both apart even where the sums come out; so does a cent."""
    assert brought_together(1_000, (500,), (-200,), 1_300, ()).agrees
    assert not brought_together(1_000, (500,), (-200,), 1_301, ()).agrees
    assert brought_together(1_000, (500,), (-200,), 1_301, ()).difference == -1


def test_the_printed_proof_of_cash_comes_out() -> None:
    """A publisher's example, chapter 7: corrected 18,020, 95,930, 92,906, 21,044 on both sides."""
    wrong, misread = OpenItem(175, puts_right=True), OpenItem(180, puts_right=True)
    october = Reconciliation(date(2027, 10, 31), 17_520, 18_020, items(4_200), items(-3_700))
    november = Reconciliation(
        date(2027, 11, 30), 22_190, 20_502, items(3_680), items(-150, -4_820, -31), (wrong,),
        (*items(600, -18, -220), misread),
    )  # fmt: skip
    proof = proof_of_cash(october, november, Turnover(96_450, 91_780), Turnover(95_330, 92_848))
    expected = (18_020, 95_930, 92_906, 21_044)
    for row in (proof.corrected_bank, proof.corrected_books):
        assert (row.opening, row.receipts, row.disbursements, row.closing) == expected
        assert row.adds_across
    assert proof.holds
    assert [row.line.value for row in proof.bank[1:3]] == [
        "deposits in transit at the beginning",
        "deposits in transit at the end",
    ]
    other = proof_of_cash(october, november, Turnover(96_451, 91_781), Turnover(95_330, 92_848))
    assert not other.holds


def test_a_row_that_does_not_add_across_is_told() -> None:
    """Opening with what came in, less what went out, is closing."""
    assert ProofRow(ProofLine.BANK, 10, 5, 3, 12).adds_across
    assert not ProofRow(ProofLine.BANK, 10, 5, 3, 13).adds_across


def day(number: int, month: int = 1) -> date:
    """Give a day of 2027."""
    return date(2027, month, number)


def statement(first: int, last: int, balance: int | None, on: date | None, number: int = 1) -> BankStatement:
    """Give a statement of days in January."""
    said = BankStatement(1, END, StatementForm.OFX, "a.ofx", "", day(first), day(last), on, balance)
    return replace(said, number=number)


def moving(lines: Sequence[BankLine]) -> Callable[[date, date], int]:
    """Give what says what lines come to between two days."""
    return lambda first, last: sum(each.amount for each in lines if first <= each.day <= last)


def line(number: int, on: date, amount: int, replaces: int | None = None) -> BankLine:
    """Give a line of the first account."""
    return BankLine(1, 1, on, amount, f"text {number}", "", "", "", f"key {number}", replaces, number)


def entry(number: int, on: date, amount: int, **more: object) -> BookEntry:
    """Give an entry on an expense."""
    made = BookEntry(number, on, amount, Document(DocumentKind.EXPENSE, number), f"memo {number}")
    return replace(made, **more)  # type: ignore[arg-type]


def test_a_balance_is_led_from_the_stated_day_to_another() -> None:
    """Forward and back by the lines between, and only over days that statements tell of."""
    lines = [line(1, day(10), 500), line(2, day(20), -200)]
    told = [statement(1, 31, 1_300, day(25))]
    assert balance_on(day(31), told, moving(lines)) == 1_300
    assert balance_on(day(19), told, moving(lines)) == 1_500
    assert balance_on(day(9), told, moving(lines)) == 1_000
    assert balance_on(date(2026, 12, 31), told, moving(lines)) == 1_000
    assert balance_on(date(2026, 12, 30), told, moving(lines)) is None
    assert balance_on(day(1, 2), told, moving(lines)) is None
    assert balance_on(day(5, 2), [], moving(lines)) is None


def test_a_balance_of_the_day_of_download_is_not_one_of_the_months_end() -> None:
    """It was as of February, and the lines of February are not there."""
    assert balance_on(END, [statement(1, 31, 900, day(5, 2))], moving([])) is None
    both = [statement(1, 31, 900, day(5, 2)), replace(statement(1, 1, None, None, 2), first=day(1, 2), last=day(6, 2))]
    assert balance_on(END, both, moving([line(1, day(3, 2), -50)])) == 950


def test_the_newest_of_two_balances_of_a_day_counts() -> None:
    """A balance typed again puts the earlier right."""
    assert balance_on(END, [statement(1, 31, 900, END, 1), statement(1, 31, 905, END, 2)], moving([])) == 905


def test_what_is_matched_later_is_open_at_the_months_end() -> None:
    """A check of January that the bank pays in February is outstanding in January, and in February it is not."""
    check = entry(1, day(28), -9_500)
    books = BankBooks((), (line(1, day(3, 2), -9_500),), (check,), (BankMatch(day(3, 2), 1, 1),))
    january = reconciled(END, 10_000, books)
    assert [each.document for each in january.outstanding] == ["expense 1"]
    assert (january.bank_side, january.books, january.unbooked) == (500, -9_500, ())
    assert reconciled(day(28, 2), 500, books).outstanding == ()


def test_a_transfer_between_own_accounts_is_known_to_both() -> None:
    """From the later of its days on; before that one line stands alone."""
    books = BankBooks(
        (), (line(1, day(31), -5_000), line(2, day(1, 2), 5_000)), (), (BankMatch(day(1, 2), 1, None, 2),)
    )
    assert [each.document for each in reconciled(END, -5_000, books).unbooked] == ["line 1"]
    assert reconciled(day(28, 2), 0, books).agrees


def test_what_was_paid_long_ago_is_stale() -> None:
    """After 180 days a bank need not pay a check (UCC 4-404; from memory)."""
    books = BankBooks((), (), (entry(1, date(2026, 8, 4), -100), entry(2, date(2026, 8, 3), -200)), ())
    assert [each.amount for each in reconciled(END, 0, books).stale] == [-200]


def test_what_was_voided_before_the_bank_knew_of_it_is_not_open() -> None:
    """Entry and reversal go together once both are there; between them the entry is outstanding."""
    paid, taken = entry(1, day(20), -700), entry(2, day(2, 2), 700, reverses=1)
    books = BankBooks((), (), (paid, taken), ())
    assert [each.amount for each in reconciled(END, 0, books).outstanding] == [-700]
    assert reconciled(day(28, 2), 0, books).outstanding == ()
    assert turnovers(day(1, 2), day(28, 2), books)[1] == Turnover(0, -700)


def test_what_lay_there_at_the_beginning_is_no_open_entry() -> None:
    """No line of the bank's stands for it, and lines of before are not the books'."""
    opening = entry(1, day(10), 5_000, is_opening=True)
    books = BankBooks((), (line(1, day(9), 5_000), line(2, day(10), -100)), (opening,), ())
    found = reconciled(END, 4_900, books)
    assert (found.in_transit, found.books) == ((), 5_000)
    assert [each.document for each in found.unbooked] == ["line 2"]
    assert (found.difference, found.agrees) == (0, False)


def test_a_line_that_the_bank_put_right_counts_no_more() -> None:
    """The one in its place does."""
    books = BankBooks((), (line(1, day(9), -100), line(2, day(9), -110, replaces=1)), (), ())
    assert [each.amount for each in reconciled(END, -110, books).unbooked] == [-110]
    assert turnovers(day(1), END, books)[0] == Turnover(0, 110)
