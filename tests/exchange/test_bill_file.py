"""Bill files: a whole bill is read as written, and every slip in it is told with its line."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from shopledger.exchange.bill_file import read_bill_file
from shopledger.exchange.refusals import FileRefusedError, RowsRefusedError, UnknownKeyError
from shopledger.ledger.books.bill_requests import BillRequest, ExpenseBilled, GoodsBilled, JobBilled
from shopledger.ledger.books.spending import ExpenseCategory, SpendMethod
from shopledger.ledger.stock import StockedKind

WHOLE = """\
supplier = "Tollgate Frames"
invoice = "TG-4471"
day = 2026-03-02
due = 2026-04-01
freight = "14.00"
tax = "3.50"
file = "tg-4471.pdf"
paid = "bank"
reference = "1187"
note = "two boxes"

[[stock]]
code = "PELLOW-52"
quantity = 12
unit_cost = "61.00"

[[stock]]
code = "CASE"
quantity = 7
amount = "20.00"
kind = "accessory"

[[job]]
job = 118
amount = "42.50"
description = "progressive, surfaced"

[[expense]]
category = "supplies"
amount = "18.00"
"""

READ = BillRequest(
    "Tollgate Frames",
    "TG-4471",
    date(2026, 3, 2),
    date(2026, 4, 1),
    (GoodsBilled("PELLOW-52", 12, 6100), GoodsBilled("CASE", 7, amount=2000, kind=StockedKind.ACCESSORY)),
    (JobBilled(118, 4250, "progressive, surfaced"),),
    (ExpenseBilled(ExpenseCategory.SUPPLIES, 1800),),
    freight=1400,
    tax=350,
    file="tg-4471.pdf",
    paid=SpendMethod.BANK,
    reference="1187",
    note="two boxes",
)


def test_a_bill_is_read_whole() -> None:
    """Each line and each key, to the cent."""
    assert read_bill_file(WHOLE) == READ


def test_the_kept_file_lies_beside_the_bill_file(tmp_path: Path) -> None:
    """Wherever the program is run from."""
    source = tmp_path / "bill.toml"
    source.write_text(WHOLE, encoding="utf-8")
    assert read_bill_file(source).file == str(tmp_path / "tg-4471.pdf")


def test_a_short_bill_is_a_bill() -> None:
    """What is left out is as usual."""
    text = 'supplier = "Brightwater Lab"\n[[job]]\njob = 3\namount = 40\n'
    assert read_bill_file(text) == BillRequest("Brightwater Lab", jobs=(JobBilled(3, 4000),))


@pytest.mark.parametrize(
    ("was", "becomes", "line", "words"),
    [
        ('unit_cost = "61.00"', "unit_cost = 61.5", 15, "money is text in quotes"),
        ('unit_cost = "61.00"', 'unit_cost = "61.005"', 15, "at most two decimals"),
        ('unit_cost = "61.00"\n', "", 12, "price of PELLOW-52 is not given"),
        ('amount = "20.00"', 'amount = "20.00"\nunit_cost = "3"', 17, "price of CASE is given twice"),
        ('category = "supplies"', 'category = "supplys"', 29, "Did you mean 'supplies'"),
        ('paid = "bank"', 'paid = "check"', 8, "it is cash, bank, card or owner"),
        ("due = 2026-04-01", 'due = "April"', 4, "a day is YYYY-MM-DD"),
        ('paid = "bank"\n', "", None, "it belongs to a payment"),
    ],
)
def test_a_slip_is_told_with_its_line(was: str, becomes: str, line: int | None, words: str) -> None:
    """The sentence names the file, what is allowed, and the line, unless the whole bill is meant."""
    assert was in WHOLE
    with pytest.raises(FileRefusedError) as refused:
        read_bill_file(WHOLE.replace(was, becomes))
    assert words in str(refused.value)
    assert refused.value.line == line


def test_a_misspelt_key_is_answered_with_the_right_one() -> None:
    """It is not also called missing."""
    with pytest.raises(UnknownKeyError, match="quantity"):
        read_bill_file(WHOLE.replace("quantity = 12", "quantaty = 12"))


def test_every_problem_is_told_at_once() -> None:
    """So that a long bill is mended in one go."""
    broken = WHOLE.replace("job = 118\n", "").replace('category = "supplies"', "category = 3")
    with pytest.raises(RowsRefusedError) as refused:
        read_bill_file(broken)
    assert len(refused.value.problems) == 2
