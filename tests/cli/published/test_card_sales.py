"""Sales by credit card with the card company's fee, as a published textbook works them out.

OpenStax, Principles of Accounting 1, section 9.1: read in the book's source, module m67881, journal entries in the
words that describe their pictures. In print the fee is an expense on the day of the sale; here it is on the day of the
payout, so each payout comes on the day of its sale, as in the book's variant with immediate credit.
"""

from __future__ import annotations

from typing import Final

import pytest

from tests.cli.published.printed import Books, Event, Printed, goods, line, moved, owned

pytestmark = pytest.mark.slow


def article(code: str, price: str, cost: str, count: int = 1) -> str:
    """Type in an article that lies there already."""
    return f"accessory add {code} --name Goods --price {price} --cost {cost} --count {count} --as opening"


def sold(day: str, number: int, what: str, paid: str = "") -> tuple[Event, ...]:
    """Sell goods that leave on the same day."""
    return (
        (day, f"sale record --customer 1 --accessory {what} {paid}"),
        (day, f"sale ship {number} --carrier post"),
    )


STOCK: Final = (
    article("CANOE", "300", "150"),
    article("LOBSTER", "800", "480"),
    article("SHRIMP", "25", "18.50", 30),
    article("FISH", "1200", "865"),
    article("MUSIC", "1790", "1100"),
    article("STICKS", "14", "7.30", 80),
    article("STRINGS", "345", "122"),
)

EVENTS: Final = (
    *sold("03-02", 1, "CANOE", "--pay 300 --method card --reference 4242"),
    ("03-02", "money payout 300 --fee 15"),
    *sold("05-10", 2, "MUSIC", "--pay 1790 --method card --reference 4242"),
    ("05-10", "money payout 1790 --fee 53.70"),
    *sold("05-19", 3, "STICKS=80", "--pay 1120 --method card --reference 4242"),
    ("05-19", "money payout 1120 --fee 33.60"),
    *sold("05-28", 4, "STRINGS", "--pay 345 --method cash"),
    *sold("08-05", 5, "LOBSTER", "--pay 800 --method cash"),
    *sold("08-10", 6, "SHRIMP=30"),
    *sold("08-19", 7, "FISH", "--pay 1200 --method card --reference 4242"),
    ("08-19", "money payout 1200 --fee 48"),
)
"""A canoe in March, the music shop in May, the fish market in August."""

TABLE: Final = (
    Printed("Canoe, sales", "300", moved("sales", "03")),
    Printed("Canoe, fee of 5 %", "15", moved("commissions and fees", "03")),
    Printed("Canoe, cash received", "285", moved("bank", "03")),
    Printed("Canoe, cost of goods sold", "150", moved("cost of goods sold", "03")),
    Printed("Music, received of 1,790, beside 285 for the canoe", "2,021.30", owned("bank", "05-10"), summed=True),
    Printed("Music, fees of 53.70 and 33.60", "87.30", moved("commissions and fees", "05"), summed=True),
    Printed("Music, received of both, 1,736.30 and 1,086.40", "2,822.70", moved("bank", "05"), summed=True),
    Printed("Music, cash sale", "345", moved("cash", "05")),
    Printed("Music, sales of 1,790, 1,120 and 345", "3,255", moved("sales", "05"), summed=True),
    Printed("Music, cost of 1,100, 584 and 122", "1,806", moved("cost of goods sold", "05"), summed=True),
    Printed("Market, cash sale", "800", moved("cash", "08")),
    Printed("Market, on account", "750", owned("receivable", "08-31")),
    Printed("Market, fee of 4 %", "48", moved("commissions and fees", "08")),
    Printed("Market, received of 1,200", "1,152", moved("bank", "08")),
    Printed("Market, sales of 800, 750 and 1,200", "2,750", moved("sales", "08"), summed=True),
    Printed("Market, cost of 480, 555 and 865", "1,900", moved("cost of goods sold", "08"), summed=True),
    Printed("Shrimp, nothing left of 555", "0", goods("SHRIMP", "08-10"), summed=True),
    Printed("All sales of the year, gross", "6,305", line("1"), summed=True),
    Printed("All fees of the year, no reduction of sales", "150.30", line("10"), summed=True),
    Printed("Nothing left with the card company", "0", owned("card clearing", "08-31"), summed=True),
)


def test_card_sales_are_gross_and_their_fee_an_expense(books: Books) -> None:
    """Sales, fees, what comes in and cost of goods sold are those of OpenStax 9.1."""
    books.begin("02-28", *STOCK)
    books.live(EVENTS)
    books.compare(TABLE)


PAYOUT: Final = (
    *sold("04-01", 1, "CASE-A", "--pay 129.95 --method card --reference 4242"),
    *sold("04-01", 2, "CASE-B", "--pay 249.50 --method card --reference 5151"),
    *sold("04-01", 3, "CASE-C", "--pay 49.99 --method card --reference 3131"),
    ("04-02", "refund give 3 --returned 1 --method card --reference 3131 --reason 'did not fit'"),
    ("04-03", "money payout 379.45 --fee 13.36"),
)
"""Fees of 2.9 % and 0.30 for each charge: 4.07, 7.54 and 1.75, kept on the one that was refunded."""

OF_PAYOUT: Final = (
    Printed("With the processor, gross", "429.44", owned("card clearing", "04-01")),
    Printed("With the processor after the refund", "379.45", owned("card clearing", "04-02")),
    Printed("Paid out", "366.09", moved("bank", "04")),
    Printed("Fees", "13.36", moved("commissions and fees", "04")),
    Printed("With the processor after the payout", "0", owned("card clearing", "04-03")),
    Printed("Sales", "429.44", line("1")),
    Printed("Refunded", "49.99", line("2")),
    Printed("Cost of goods sold less what came back", "150", line("42")),
)


def test_a_payout_of_three_charges_and_a_refund(books: Books) -> None:
    """Worked out by hand and not published: a payout is the charges less each charge's fee and less the refund."""
    stock = (article("CASE-A", "129.95", "50"), article("CASE-B", "249.50", "100"), article("CASE-C", "49.99", "20"))
    books.begin("03-31", *stock)
    books.live(PAYOUT)
    books.compare(OF_PAYOUT)
