"""Where each figure that a tax preparer asks for stands in the year's workbook: sheet, row, column and cell.

The table in DEVELOPERS.md is written from here, and a test looks each of them up in a workbook that was made.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, NamedTuple

LISTED: Final = "Total"
"""The row below a list that adds its columns up; where that is depends on the year."""


class Place(NamedTuple):
    """One figure, or several beside one another, for one form."""

    form: str
    figure: str
    sheet: str
    row: str
    """What stands before it in its row."""
    columns: tuple[str, ...]
    """The headings above it."""
    cells: str
    """The first and the last cell, or the letter of each column of a list."""


_VIEWS: Final = ("Accrual, inventories", "Accrual, materials", "Cash, inventories", "Cash, materials")
_BOOKS: Final = ("In the books",)

PLACES: Final = (
    Place("Schedule C", "line 1, gross receipts", "Schedule C", "1", _VIEWS, "C4:F4"),
    Place("Schedule C", "line 2, returns and allowances", "Schedule C", "2", _VIEWS, "C5:F5"),
    Place("Schedule C", "line 4, cost of goods sold", "Schedule C", "4", _VIEWS, "C7:F7"),
    Place("Schedule C", "line 6, other income", "Schedule C", "6", _VIEWS, "C9:F9"),
    Place("Schedule C", "lines 8 to 27b, expenses: the first", "Schedule C", "8", _VIEWS, "C12:F12"),
    Place("Schedule C", "line 28, all expenses", "Schedule C", "28", _VIEWS, "C36:F36"),
    Place("Schedule C", "line 29, tentative profit", "Schedule C", "29", _VIEWS, "C37:F37"),
    Place("Schedule C", "line 13, equipment bought", "Schedule C",
          "Equipment bought, not in line 28", _VIEWS, "C41:F41"),
    Place("Schedule C", "lines 35 to 42, goods: the first", "Schedule C", "35", _VIEWS, "C46:F46"),
    Place("Schedule C", "line 42, cost of goods sold", "Schedule C", "42", _VIEWS, "C53:F53"),
    Place("Schedule C", "line 48, other expenses", "Schedule C", "48", _VIEWS, "C67:F67"),
    Place("Form 4797", "equipment that is gone: cost, written off, proceeds, gain", "Equipment", LISTED,
          ("Cost", "Written off", "Proceeds", "Gain or loss"), "F, I, J, K"),
    Place("a state's return", "sales, refunds, cancellations, net sales", "States", LISTED,
          ("Sales", "Refunds", "Cancellations", "Net sales"), "E, F, G, H"),
    Place("a state's return", "taxable, exempt, tax", "States", LISTED, ("Taxable", "Exempt", "Tax"), "I, J, L"),
    Place("a state's return", "sales tax owed to all states at the year's end", "Summary", "Sales tax owed to states",
          ("Accrual, the owner's view",), "B27"),
    Place("Form 1099-K", "box 1a, gross by card", "1099-K", "1a", _BOOKS, "C3"),
    Place("Form 1099-K", "box 1b, card not present", "1099-K", "1b", _BOOKS, "C4"),
    Place("Form 1099-K", "box 3, transactions", "1099-K", "3", _BOOKS, "C5"),
    Place("Form 1099-K", "boxes 5a to 5l, by month: the first", "1099-K", "5a", _BOOKS, "C6"),
    Place("Form 1099-K", "net sales that it comes down to", "1099-K", "Net sales in the books", _BOOKS, "C34"),
    Place("Form 1099-NEC", "paid to payees, the limit", "1099 payees", LISTED, ("Paid not by card", "Limit"), "C, D"),
    Place("Form 1099-NEC", "standing, W-9, kind, number", "1099 payees", LISTED,
          ("Standing", "Received", "Kind", "Number ends in"), "E, F, G, H"),
)  # fmt: skip


def place_table() -> Iterator[str]:
    """Give the table as lines of Markdown."""
    yield "| for | figure | sheet | cells |"
    yield "|---|---|---|---|"
    for each in PLACES:
        listed = each.row == LISTED
        cells = f"columns {each.cells}, totals below" if listed else each.cells.replace(":", " to ")
        yield f"| {each.form} | {each.figure} | {each.sheet} | {cells} |"
