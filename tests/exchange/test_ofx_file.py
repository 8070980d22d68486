"""Statements in OFX: what banks write is read, what is cut, damaged or hostile is refused whole.

The check values are worked out from the rules of the format; none comes from running the reader.
"""

from __future__ import annotations

from datetime import date

import pytest

from shopledger.errors import ExchangeError
from shopledger.exchange.ofx_file import read_ofx
from shopledger.exchange.refusals import FileRefusedError
from shopledger.ledger.books.statements import StatedAccount, StatedBalance, StatedLine
from tests.statements import HEADER, SETTLEMENT, SIGN_ON, ofx, transaction

FILE = "january.ofx"


def read(text: str | bytes) -> StatedAccount:
    """Read a file with one statement."""
    (found,) = read_ofx(text if isinstance(text, bytes) else text.encode(), FILE)
    return found


def only(text: str) -> StatedLine:
    """Read a file with one line."""
    (line,) = read(text).lines
    return line


def test_the_smallest_file_is_read_whole() -> None:
    """One line, its day as printed, its cents, its text, the balance, the days, and four digits of the account."""
    found = read(ofx(SETTLEMENT))
    line = StatedLine(date(2027, 1, 4), 123_450, "CARD SETTLEMENT BATCH 0104", "20270104.1", "", "CREDIT")
    assert found.lines == (line,)
    assert found.closing == StatedBalance(date(2027, 1, 31), 214_903)
    assert found.span == (date(2027, 1, 1), date(2027, 1, 31))
    assert (found.ending, found.notes) == ("5678", ())


def test_the_posting_day_is_the_day_as_printed() -> None:
    """A late hour of another zone moves no line into the next month."""
    assert only(ofx(transaction("20270131230000[-5:EST]"))).day == date(2027, 1, 31)


@pytest.mark.parametrize(
    ("typed", "cents"),
    [
        *(("-95,00", -9_500), ("-1,234.56", -123_456), (" +95.00 ", 9_500), ("95", 9_500), ("-.5", -50)),
        *(("1,234", 123_400), ("0.00", 0), ("123456789.01", 12_345_678_901)),
    ],
)
def test_amounts_are_read_to_the_cent(typed: str, cents: int) -> None:
    """A sign or none, commas between thousands, a point or a comma before one or two decimals."""
    assert only(ofx(transaction(amount=typed))).amount == cents


@pytest.mark.parametrize(
    "typed",
    ["NaN", "1E+5", "95.005", "(95.00)", "", "-", ".", "1234567890.12", "12,34.50", "1.234,56", "$5", "0x10", "٣.00"],
)
def test_what_is_no_amount_is_refused_with_its_line(typed: str) -> None:
    """Nothing is rounded, and no line is dropped without a word."""
    with pytest.raises(FileRefusedError, match=r"line 2 of the statement: .* is no amount of dollars and cents"):
        read(ofx(transaction(), transaction(amount=typed, fitid="2")))


def test_every_line_that_cannot_be_read_is_named() -> None:
    """Two bad lines are two problems, and nothing is taken over."""
    with pytest.raises(ExchangeError, match=r"2 problems.*line 1 .*'2027-13' is no day.*line 3 .*'NaN' is no amount"):
        read(ofx(transaction("2027-13"), transaction(fitid="2"), transaction(amount="NaN", fitid="3")))


def test_a_line_that_never_ends_refuses_the_file() -> None:
    """It would get the next line's check number otherwise."""
    text = ofx(transaction(), transaction(fitid="2", more="<CHECKNUM>1041"))
    with pytest.raises(FileRefusedError, match="begins before the one above it has ended"):
        read(text.replace("</STMTTRN>", "", 1))


def test_a_value_twice_in_one_line_refuses_the_file() -> None:
    """The end of one line and the beginning of the next are lost."""
    text = ofx(transaction(), transaction(fitid="2")).replace("</STMTTRN><STMTTRN>", "")
    with pytest.raises(FileRefusedError, match="says TRNTYPE twice"):
        read(text)


@pytest.mark.parametrize("end", ["</STMTTRN>", "<TRNAMT>-1", "<FITID>3", "</BANKTRANLIST>", "</STMTRS>"])
def test_a_file_that_was_cut_is_refused(end: str) -> None:
    """After a line, inside an amount, behind the last list: a file without its end is not taken."""
    text = ofx(transaction(), transaction(fitid="2"), transaction(amount="-10.00", fitid="3"))
    cut = text[: text.rindex(end) + len(end)]
    with pytest.raises(FileRefusedError, match=r"it stops in the middle\. Download it from the bank again\."):
        read(cut)


def test_a_word_the_format_does_not_know_is_kept() -> None:
    """The sign of the amount says which way the money went, not the bank's word."""
    found = read(ofx(transaction(kind="INSTANT", amount="-40.00")))
    assert (found.lines[0].kind, found.lines[0].amount) == ("INSTANT", -4_000)
    assert found.notes == ("The bank calls a line 'INSTANT', which the format does not know.",)


@pytest.mark.parametrize("balance", ["", "None", " "])
def test_a_file_without_a_balance_keeps_its_lines(balance: str) -> None:
    """It is said, since the month cannot be reconciled without one."""
    found = read(ofx(transaction(), balance=balance))
    assert (len(found.lines), found.closing) == (1, None)
    assert "says no balance" in found.notes[0]


def test_a_line_without_the_banks_number_or_a_name_is_kept() -> None:
    """Both are said."""
    found = read(ofx(transaction(fitid="").replace("<NAME>CARD SETTLEMENT", "")))
    assert found.lines[0] == StatedLine(date(2027, 1, 4), 123_450, kind="CREDIT")
    assert len(found.notes) == 2


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (f"{HEADER}<OFX>{'<A>' * 200_000}</OFX>", "holds no statement"),
        (f"{HEADER}<OFX>{'<A>' * 200_000}", "stops in the middle"),
        (f'<?xml version="1.0"?><!DOCTYPE OFX [<!ENTITY a "b">]>{ofx(header="")}', "declares a document type"),
        ("<html><body><h1>Please sign in</h1></body></html>", "is no OFX file"),
        ("", "is no OFX file"),
        (f"{HEADER}<OFX>{SIGN_ON}</OFX>", "holds no statement"),
        (ofx() + ofx(transaction()), "something follows its end"),
        (ofx(transaction()).replace("USD", "EUR"), "it is in EUR"),
        (f"{ofx()}\0", "holds bytes that are no letters"),
        (ofx(transaction(more="<CURRENCY><CURRATE>1.1<CURSYM>EUR</CURRENCY>")), "books are in US dollars"),
    ],
)
def test_what_is_hostile_or_something_else_is_refused(text: str, said: str) -> None:
    """Nesting without end, document types, a page of the bank's site, two files in one, another currency."""
    with pytest.raises(FileRefusedError, match=said):
        read(text)


def test_more_lines_than_a_statement_has_are_refused() -> None:
    """Fifty thousand lines are many years of a shop's account."""
    with pytest.raises(FileRefusedError, match="more than 50,000 lines"):
        read(ofx(*[transaction()] * 50_001))


def test_entities_are_taken_once_and_never_expanded() -> None:
    """The five signs of XML are; an unknown entity stays as it stands, and so does a bare sign."""
    line = only(ofx(transaction(name="A &amp;amp; B &lt;x&gt; &j; R & D&nbsp;Inc")))
    assert line.text == "A &amp; B <x> &j; R & D Inc"


@pytest.mark.parametrize(
    "quirk",
    [
        lambda text: text.replace("\n", ""),
        lambda text: "\n" + text,
        lambda text: text.replace("\n\n", "\n"),
        lambda text: text.replace(":", ": ", 9),
        lambda text: text.replace("CHARSET:1252\nCOMPRESSION:NONE\n", ""),
        lambda text: text.replace("VERSION:102", "VERSION:160"),
        lambda text: text.replace("\n", "\r"),
        lambda text: text.replace(HEADER, "<?OFX OFXHEADER='200' VERSION='211'?"),
        lambda text: text.replace(HEADER, '<?xml version="1.0"?><?OFX OFXHEADER="200" VERSION="211"?>'),
        lambda text: text.replace("OFX>", "ofx>"),
        lambda text: text.replace("<NAME>CARD SETTLEMENT", "<NAME>CARD SETTLEMENT</NAME>"),
        lambda text: text.replace("<FITID>", "\r\n    <FITID>"),
        lambda text: text.replace("<FITID>", "<INTU.BID>3000<X.MINE>text<FITID>"),
    ],
)
def test_quirks_of_banks_are_read(quirk: object) -> None:
    """One line, lines lost or too many, other headers, other ends of lines, closed values, private tags."""
    assert callable(quirk)
    assert read(quirk(ofx(SETTLEMENT))).lines == read(ofx(SETTLEMENT)).lines


def test_letters_are_read_whatever_the_header_says() -> None:
    """UTF-8 under another name, western letters, and sixteen bits with their mark."""
    text = ofx(transaction(name="CAFÉ €5"))
    for coding in ("utf-8", "utf-8-sig", "cp1252", "utf-16"):
        assert read(text.encode(coding)).lines[0].text == "CAFÉ €5"


def test_bytes_that_are_no_letters_are_refused() -> None:
    """Windows' western letters have no sign for 0x81."""
    with pytest.raises(FileRefusedError, match="bytes that are no letters"):
        read(ofx().encode() + b"\x81\xff")


def test_a_card_statement_and_a_bank_statement_in_one_file_are_two() -> None:
    """Each has its own account and lines."""
    card = ofx(transaction(amount="-5.00"), account="4000111122223333", header="")
    card = card.replace("STMTRS", "CCSTMTRS").replace("BANKACCTFROM", "CCACCTFROM").replace("<OFX>", "")
    first, second = read_ofx(ofx(SETTLEMENT).replace("</OFX>", card).encode(), FILE)
    assert (first.ending, len(first.lines)) == ("5678", 1)
    assert (second.ending, second.lines[0].amount) == ("3333", -500)
    assert (first.is_card, second.is_card) == (False, True)


def test_no_more_of_the_account_than_four_digits_is_kept() -> None:
    """Not even where the bank writes its number into the text or into its own number of the line."""
    line = only(ofx(transaction(fitid="000012345678-1", name="TO 000012345678", more="<MEMO>CARD 4111 1111 1111 1111")))
    assert (line.source_id, line.text) == ("…5678-1", "TO …5678 CARD …1111")


def test_who_is_paid_from_another_account_keeps_neither_number() -> None:
    """The values of the other account are not the line's own."""
    more = "<BANKACCTTO><BANKID>1<ACCTID>99998888<ACCTTYPE>SAVINGS</BANKACCTTO><MEMO>rent"
    assert only(ofx(transaction(more=more))).text == "CARD SETTLEMENT rent"


@pytest.mark.parametrize(("action", "amount"), [("REPLACE", -700), ("DELETE", 0)])
def test_a_correction_names_the_line_it_puts_right(action: str, amount: int) -> None:
    """One that is taken out counts nothing any more."""
    more = f"<CORRECTFITID>7<CORRECTACTION>{action}"
    line = only(ofx(transaction(amount="-7.00", more=more)))
    assert (line.corrects, line.amount) == ("7", amount)
