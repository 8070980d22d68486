"""The balance sheet of a day, shown."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from shopledger.cli.output import Column, Json, Table
from shopledger.cli.views.figures import day, money
from shopledger.ledger.books.balance_sheet import BalanceSheet, SheetLine
from shopledger.money.amount import Cents, write_amount

HOW = "On accrual, by the books alone; what equipment and stock are worth is for you and your tax preparer to say."


def sheet_data(sheet: BalanceSheet) -> dict[str, Json]:
    """Give a balance sheet as JSON."""
    capital = sheet.capital
    return {
        "on": day(sheet.day),
        "assets": _data(sheet.assets),
        "assets_total": money(sheet.has),
        "liabilities": _data(sheet.liabilities),
        "liabilities_total": money(sheet.owes),
        "capital": {
            "at_first": money(capital.at_first),
            "brought_in": money(capital.brought_in),
            "contributed": money(capital.contributed),
            "drawn": money(capital.drawn),
            "entered": money(capital.entered),
            "equipment": money(capital.equipment),
            "result": money(capital.result),
            "at_last": money(capital.at_last),
        },
        "adds_up": sheet.adds_up,
    }


def sheet_table(sheet: BalanceSheet) -> Table:
    """Give a balance sheet for reading: the amounts of all parts under one another."""
    capital, year = sheet.capital, sheet.day.year
    moves = (
        (f"when {year} began", capital.at_first),
        *((("there when the books began", capital.brought_in),) if capital.brought_in else ()),
        ("contributed", capital.contributed),
        ("drawn", -capital.drawn),
        *((("opening position and adjusting entries", capital.entered),) if capital.entered else ()),
        *((("gain or loss on equipment", capital.equipment),) if capital.equipment else ()),
        (f"result of {year} so far", capital.result),
    )
    rows = (
        *_rows("assets", [(line.account.title, line.amount) for line in sheet.assets], sheet.has),
        *_rows("liabilities", [(line.account.title, line.amount) for line in sheet.liabilities], sheet.owes),
        *_rows("owner's capital", moves, capital.at_last),
        ("liabilities and capital", "in all", write_amount(sheet.owes + capital.at_last)),
    )
    columns = (Column("part"), Column("what"), Column("amount", right=True))
    return Table(f"Balance sheet on {day(sheet.day)}", columns, rows)


def _rows(part: str, amounts: Sequence[tuple[str, Cents]], total: Cents) -> Iterator[tuple[str, str, str]]:
    """Give the rows of a part, which is named once, and what they come to."""
    for at, (what, amount) in enumerate((*amounts, ("in all", total))):
        yield part if at == 0 else "", what, write_amount(amount)


def _data(lines: Sequence[SheetLine]) -> list[Json]:
    return [{"account": line.account.title, "amount": money(line.amount)} for line in lines]
