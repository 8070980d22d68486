"""Statements as tables: read by the layout of the account, proved by the running balance, refused where they are not.

Shapes of files are common practice of banks; amounts and balances are added up by hand.
"""

from __future__ import annotations

from datetime import date

import pytest

from shopledger.errors import RefusedError
from shopledger.exchange.refusals import FileRefusedError
from shopledger.exchange.statement_csv import CsvTold, first_rows, read_statement_csv
from shopledger.ledger.books.statement_layout import CsvLayout, DateOrder
from shopledger.ledger.books.statements import StatedAccount, StatedBalance

FILE = "march.csv"
PLAIN = CsvLayout("Date", "Amount", text=("Description",), balance="Balance")
ROWS = (
    "Date,Description,Amount,Balance\n"
    '3/2/2027,CARD SETTLEMENT,"1,234.50","2,234.50"\n'
    "03/10/2027,ALDER ROW,-850.00,1384.50\n"
    "3/31/2027,SERVICE FEE,(12.00),1372.50\n"
)
PADDED = (
    "Account ending 5678\nFrom 1 to 31\n\nDate\tAmount\tState\n2027-01-04 10:30\t$5.00\tposted\n"
    "2027-01-05 09:00\t7.00-\tposted\n2027-01-06 09:00\t-9.00\tPending\nTotal\t-2.00\t\n"
)


def read(text: str, layout: CsvLayout = PLAIN, **told: int | date) -> StatedAccount:
    """Read a file of this text."""
    return read_statement_csv(text.encode(), FILE, layout, CsvTold(**told))  # type: ignore[arg-type]


def amounts(found: StatedAccount) -> list[int]:
    """Give the lines' amounts, oldest first."""
    return [line.amount for line in found.lines]


def test_a_file_is_read_by_its_headings_and_proved_by_its_balance() -> None:
    """Days with and without zeros, brackets for what goes out, and both balances follow."""
    found = read(ROWS)
    assert amounts(found) == [123_450, -85_000, -1_200]
    assert [line.text for line in found.lines] == ["CARD SETTLEMENT", "ALDER ROW", "SERVICE FEE"]
    assert found.opening == StatedBalance(date(2027, 3, 1), 100_000)
    assert found.closing == StatedBalance(date(2027, 3, 31), 137_250)
    assert found.span == (date(2027, 3, 2), date(2027, 3, 31))


def test_newest_first_is_turned_round_by_the_balance() -> None:
    """The balance proves the other way."""
    head, *lines = ROWS.splitlines()
    assert read("\n".join([head, *reversed(lines)])) == read(ROWS)


def test_a_missing_row_and_a_turned_sign_are_refused() -> None:
    """The line is named where the balance no longer follows."""
    lines = ROWS.splitlines()
    with pytest.raises(FileRefusedError, match=r"line 3: its balance is 1,372\.50, and the balance before it with -12"):
        read("\n".join([*lines[:2], lines[3]]))
    with pytest.raises(FileRefusedError, match="Rows are missing, or a sign is turned"):
        read(ROWS, CsvLayout("Date", "Amount", balance="Balance", turned=True))


def test_a_card_that_writes_purchases_above_zero_is_turned() -> None:
    """What is bought leaves, what is paid in comes."""
    text = "Date,Amount,Balance\n3/2/2027,40.00,-40.00\n3/3/2027,-15.00,-25.00\n"
    assert amounts(read(text, CsvLayout("Date", "Amount", balance="Balance", turned=True))) == [-4_000, 1_500]


def test_without_a_balance_both_ends_must_be_told() -> None:
    """And the lines must come to what changed."""
    layout = CsvLayout("Date", "Amount", text=("Description",))
    with pytest.raises(FileRefusedError, match="nothing proves that all of it is there"):
        read(ROWS, layout)
    with pytest.raises(FileRefusedError, match=r"its lines come to 372\.50, and what lay there changed by 372\.51"):
        read(ROWS, layout, opening=100_000, closing=137_251)
    found = read(ROWS, layout, opening=100_000, closing=137_250, first=date(2027, 3, 1), last=date(2027, 3, 31))
    assert found.span == (date(2027, 3, 1), date(2027, 3, 31))
    with pytest.raises(FileRefusedError, match="which is more than was said"):
        read(ROWS, layout, opening=100_000, closing=137_250, last=date(2027, 3, 30))


@pytest.mark.parametrize(
    ("text", "layout", "expected"),
    [
        (
            "Posted;Out;In;Saldo\n02.03.2027;;1.234,50;2.234,50\n10.03.2027;850,00;;1.384,50\n",
            CsvLayout("Posted", money_out="Out", money_in="In", balance="Saldo", date_order=DateOrder.DAY_FIRST),
            [123_450, -85_000],
        ),
        (
            '"1/4/2027","1234.50","*","","CARD SETTLEMENT"\n"1/5/2027","-95.00","*","1041","CHECK"\n',
            CsvLayout("1", "2", text=("5",), check_number="4"),
            [123_450, -9_500],
        ),
        (
            PADDED,
            CsvLayout("Date", "Amount", date_order=DateOrder.YEAR_FIRST, leave_out="State=pending", skip_last=1),
            [500, -700],
        ),
        ("Date|Amount\n1/4/27|5.00 CR\n1/5/27|7.00 DR\n", CsvLayout("date", "amount"), [500, -700]),
    ],
)
def test_shapes_of_banks_are_read(text: str, layout: CsvLayout, expected: list[int]) -> None:
    """Two columns of amounts, decimal commas, no headings, rows above and below, pending rows, other signs between."""
    told = {} if layout.balance else {"opening": 0, "closing": sum(expected)}
    assert amounts(read(text, layout, **told)) == expected


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (ROWS.replace('"2,234.50"', '"2,234.50'), "quotation marks do not fit together"),
        (ROWS.replace("850.00", "850.005"), r"line 3: '-850\.005' is no amount"),
        (ROWS.replace("850.00", "8E+2"), "is no amount"),
        (ROWS.replace("850.00", "NaN"), "is no amount"),
        (ROWS.replace("03/10/2027", "13/10/2027"), r"line 3: '13/10/2027' is no day\. Days are read month first"),
        (ROWS.replace("Balance", "Rest"), "no row has the headings"),
        (ROWS.replace("-850.00,1384.50", "-850.00"), "it has 3 columns, and column 4 is wanted"),
        ("hello\nworld\n", "is no table of columns"),
        ("Date,Description,Amount,Balance\n", "holds no line of a statement"),
        (f"{ROWS}\0", "bytes that are no letters"),
        ("Date,Description,Amount,Balance\n" + "3/2/2027,a,0.00,1.00\n" * 50_001, "more than 50,000 rows"),
        (f'Date,Description,Amount,Balance\n3/2/2027,"{"x" * 140_000}",1,1\n', "is no table of columns"),
    ],
)
def test_what_cannot_be_read_is_refused_whole(text: str, said: str) -> None:
    """With the line where there is one."""
    with pytest.raises(FileRefusedError, match=said):
        read(text)


def test_money_out_and_in_are_one_of_both() -> None:
    """A line with both or none cannot be told."""
    layout = CsvLayout("Date", money_out="Out", money_in="In")
    for cells in ("1.00,2.00", ","):
        with pytest.raises(FileRefusedError, match="of money out and money in it has"):
            read(f"Date,Out,In\n3/2/2027,{cells}\n", layout, opening=0, closing=0)


@pytest.mark.parametrize(
    "wrong",
    [
        {"day": ""},
        {"day": "Date"},
        {"day": "Date", "amount": "A", "money_out": "O", "money_in": "I"},
        {"day": "Date", "money_out": "O"},
        {"day": "1", "amount": "Amount"},
        {"day": "Date", "amount": "A", "leave_out": "State"},
        {"day": "Date", "amount": "A", "skip": 101},
    ],
)
def test_a_layout_that_cannot_be_is_refused(wrong: dict[str, str]) -> None:
    """One column of amounts or two, all headings or all numbers."""
    with pytest.raises(RefusedError):
        CsvLayout(**wrong)  # type: ignore[arg-type]


def test_a_layout_is_kept_as_it_was() -> None:
    """As text and back."""
    layout = CsvLayout("Date", "Amount", text=("A", "B"), date_order=DateOrder.DAY_FIRST, leave_out="S=é", skip=2)
    assert CsvLayout.read(layout.written()) == layout


def test_the_first_rows_are_shown_as_they_are() -> None:
    """So that columns can be named."""
    assert first_rows(ROWS.encode(), FILE, 2) == (
        ("Date", "Description", "Amount", "Balance"),
        ("3/2/2027", "CARD SETTLEMENT", "1,234.50", "2,234.50"),
    )
