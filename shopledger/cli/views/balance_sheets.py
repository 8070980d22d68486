"""The balance sheet of a day, shown."""

from __future__ import annotations

from collections.abc import Sequence

from shopledger.cli.output import Block, Fields, Json
from shopledger.cli.views.figures import day, money
from shopledger.ledger.books.balance_sheet import BalanceSheet, SheetLine
from shopledger.money.amount import write_amount

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
            "result": money(capital.result),
            "at_last": money(capital.at_last),
        },
        "adds_up": sheet.adds_up,
    }


def sheet_blocks(sheet: BalanceSheet) -> tuple[Block, ...]:
    """Give a balance sheet for reading."""
    capital, year = sheet.capital, sheet.day.year
    moves = (
        (f"when {year} began", write_amount(capital.at_first)),
        ("there when the books began", write_amount(capital.brought_in) if capital.brought_in else ""),
        ("contributed", write_amount(capital.contributed)),
        ("drawn", write_amount(-capital.drawn)),
        ("opening position and adjusting entries", write_amount(capital.entered) if capital.entered else ""),
        (f"result of {year} so far", write_amount(capital.result)),
        ("in all", write_amount(capital.at_last)),
    )
    return (
        Fields(f"Assets on {day(sheet.day)}", _rows(sheet.assets, sheet.has)),
        Fields("Liabilities", _rows(sheet.liabilities, sheet.owes)),
        Fields("Owner's capital", moves),
        Fields("", (("liabilities and capital", write_amount(sheet.owes + capital.at_last)),)),
    )


def _data(lines: Sequence[SheetLine]) -> list[Json]:
    return [{"account": line.account.title, "amount": money(line.amount)} for line in lines]


def _rows(lines: Sequence[SheetLine], total: int) -> list[tuple[str, str]]:
    return [*((line.account.title, write_amount(line.amount)) for line in lines), ("in all", write_amount(total))]
