"""Formulas worked out as a spreadsheet does it: what each kind comes to, and what is refused."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

import pytest

from shopledger.exports.grid_writer import formula_text
from shopledger.exports.refusals import SheetError
from shopledger.exports.sheets import Column, Formula, Grid, Heading, Kind, Sheet
from shopledger.exports.tallies import Tally
from shopledger.exports.working_out import Value, WorkedOut


@dataclass(frozen=True)
class Sold:
    """A row of the table that formulas add up."""

    day: date
    kind: str
    amount: int


SALES = Sheet(
    Sold,
    "Sold",
    "SoldLines",
    (
        Column("Date", lambda row: row.day, "Day.", 12, Kind.DAY),
        Column("Kind", lambda row: row.kind, "Kind.", 12),
        Column("Amount", lambda row: row.amount, "Amount.", 12, Kind.MONEY, total=True),
    ),
    keys=("Date", "Kind"),
)
ROWS = (
    (date(2026, 3, 2), "frame", 18_050), (date(2026, 3, 9), "frame", -1_005), (date(2026, 3, 9), "cord", 850),
    (date(2026, 3, 10), "", 1),
)  # fmt: skip


def worked(*formulas: str) -> list[Value]:
    """Give what formulas come to that stand below one another in column B, under 10.00, 2.50 and an empty cell."""
    tally = Tally(SALES)
    for day, kind, amount in ROWS:
        tally.add((day, kind), [amount])
    grid = Grid("Front", (Heading("Line", 20, Kind.TEXT), Heading("Amount", 12), Heading("From", 12, Kind.DAY)))
    grid.add("Ten", 1000, date(2026, 3, 9), name="ten")
    grid.add("Two and a half", 250, name="some")
    grid.add("Nothing", None, name="none")
    for text in formulas:
        grid.add("Worked out", Formula(text))
    book = WorkedOut({"Front": grid}, {"SoldLines": tally}, formula_text)
    return [book.cell("Front", grid.first_row + 3 + place, 2) for place in range(len(formulas))]


@pytest.mark.parametrize(
    ("formula", "comes_to"),
    [
        ("{ten}+{some}*2", Decimal(15)),
        ("-({ten}-{some})-1", Decimal("-8.5")),
        ("{ten}-{some}-{some}", Decimal(5)),
        ("{ten}/4/5", Decimal("0.5")),
        ("{none}+1", Decimal(1)),
        ("ROUND(2.345,2)", Decimal("2.35")),
        ("ROUND(-2.345,2)", Decimal("-2.35")),
        ("SUM({ten}:{none})", Decimal("12.5")),
        ("MAX({some}-{ten},0)", Decimal(0)),
        ('IF({none}=0,"",{ten}/{none})', ""),
        ('IF(ROUND({ten}-10,2)=0,"OK","DIFFERS")', "OK"),
        ('IF(AND({Front!ten.B}=10,{some}>=3),"both","one")', "one"),
        ('COUNTIF({ten.A}:{none.A},"Nothing")', Decimal(1)),
        ('COUNTIF({ten}:{none},"<>")', Decimal(2)),
        ('IF({none}="","empty","full")', "empty"),
        ("SUM(SoldLines[Amount])", Decimal("178.96")),
        ('SUMIFS(SoldLines[Amount],SoldLines[Kind],"frame")', Decimal("170.45")),
        ('SUMIFS(SoldLines[Amount],SoldLines[Kind],"<>")', Decimal("178.95")),
        ('SUMIFS(SoldLines[Amount],SoldLines[Kind],"cord",SoldLines[Date],"<="&{ten.C})', Decimal("8.5")),
        ('SUMIFS(SoldLines[Amount],SoldLines[Date],">="&{ten.C})', Decimal("-1.54")),
    ],
)
def test_a_formula_comes_to_what_a_spreadsheet_gives(formula: str, comes_to: Value) -> None:
    """Signs bind as in arithmetic, halves are rounded away from zero, conditions meet words and days."""
    assert worked(formula) == [comes_to]


def test_a_formula_may_ask_for_another() -> None:
    """What another formula comes to is taken exactly, not as it would be shown."""
    assert worked("{ten}/8", "B5*8") == [Decimal("1.25"), Decimal(10)]


@pytest.mark.parametrize(
    ("formula", "said"),
    [
        ("MEDIAN({ten})", "cannot be worked out"),
        ("{ten}+", "cannot be worked out"),
        ("({ten}", "cannot be worked out"),
        ("{ten} {some}", "cannot be worked out"),
        ("SUM(Unknown[Amount])", "cannot be worked out"),
        ('SUMIFS(SoldLines[Amount],SoldLines[Shop],"x")', "the column Shop of the sheet Sold, which is not counted"),
        ("{ten.A}+1", "no number"),
        ("B{#}+1", "asks for itself"),
    ],
)
def test_what_cannot_be_worked_out_is_refused(formula: str, said: str) -> None:
    """A formula that is not understood stops the export: it would be written without what it comes to."""
    with pytest.raises(SheetError, match=said):
        worked(formula)
