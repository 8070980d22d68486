"""A month of three lots and two sales, first in first out, as a published textbook works it out.

OpenStax, Principles of Accounting 1, section 10.3 (perpetual, first in first out): read in the book's source, module
m67891, in its text and in the words that describe its pictures. Those words have slips that the text has not: 360 for
30 units at 21, 7 units at 27 for 75, and 8,895 below a column that comes to 8,955.
"""

from __future__ import annotations

from typing import Final

import pytest

from tests.cli.published.printed import Books, Printed, goods, line, moved, sheet

pytestmark = pytest.mark.slow

STOCKED: Final = "accessory add CASE --name Case --price 36 --cost 21 --count 150 --as opening"

JULY: Final = (
    ("07-05", "sale record --customer 1 --accessory CASE=120"),
    ("07-05", "payment take 1 --amount 4320 --method cash"),
    ("07-05", "sale ship 1 --carrier post"),
    ("07-10", "stock receive CASE --quantity 225 --unit-cost 27"),
    ("07-14", "accessory change CASE --price 39"),
    ("07-15", "sale record --customer 1 --accessory CASE=180"),
    ("07-15", "payment take 2 --amount 7020 --method cash"),
    ("07-15", "sale ship 2 --carrier post"),
    ("07-25", "stock receive CASE --quantity 210 --unit-cost 33"),
)

TABLE: Final = (
    Printed("July 1, there at first", "3,150", goods("CASE", "07-01")),
    Printed("July 5, left of the first lot", "630", goods("CASE", "07-05")),
    Printed("July 10, 30 at 21 and 225 at 27", "6,705", goods("CASE", "07-10")),
    Printed("July 15, 75 at 27", "2,025", goods("CASE", "07-15")),
    Printed("July 25, 75 at 27 and 210 at 33", "8,955", goods("CASE", "07-25")),
    Printed("Inventory at the end, by its account", "8,955", sheet("07-31", "assets", "inventory", "amount")),
    Printed("Total purchases", "13,005", line("36")),
    Printed("Cost of goods sold", "7,200", moved("cost of goods sold", "07")),
    Printed("Cost of goods sold, on the form", "7,200", line("42")),
    Printed("Sales revenue", "11,340", line("1")),
    Printed("Gross margin", "4,140", line("5")),
)


def test_the_oldest_of_three_lots_leave_first(books: Books) -> None:
    """What is left after each day, cost of goods sold and gross margin are those of OpenStax 10.3."""
    books.begin("06-30", STOCKED)
    books.live(JULY)
    books.compare(TABLE)
