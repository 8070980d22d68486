"""A merchandiser under a perpetual inventory, as a published textbook works it out: bought, sold, and freight.

OpenStax, Principles of Accounting 1, sections 6.3 (purchases), 6.4 (sales) and 6.5 (freight), with the exercises that
it solves: read in the book's source, modules m67863, m67864 and m67865, journal entries in the words that describe
their pictures. Section 6.4 costs what is sold at list, as if 6.3 had got no discounts and allowances, so it begins with
goods of its own here. In print its entry of September 1 debits 12,000 beside a credit of 15,000; the text says 15,000.
Section 6.5 calls a purchase with its freight an expense in the picture; the text has it as inventory.
"""

from __future__ import annotations

from typing import Final

import pytest

from tests.cli.published.printed import Books, Event, Printed, goods, line, month, moved, owed, owned, sheet

pytestmark = pytest.mark.slow

BOUGHT: Final = (
    "money open 100000 --till bank",
    "accessory add PACKAGE --name Package --price 1200 --cost 620",
    "accessory add DESKTOP --name Desktop --price 750 --cost 400",
    "accessory add TABLET --name Tablet --price 300 --cost 60",
    "accessory add PHONE --name Phone --price 150 --cost 60",
    "accessory add PRINTER --name Printer --price 350 --cost 100",
)
"""What the shop keeps; of none it has any."""

PURCHASES: Final = (
    ("04-01", "bill record Tollgate --stock PACKAGE=10@620 --paid bank"),
    ("04-07", "bill record Tollgate --stock DESKTOP=30@400 --due 2026-04-22"),
    ("04-17", "bill pay 2 12000 --method bank"),
    ("05-01", "bill record Tollgate --stock TABLET=67@60 --due 2026-05-31"),
    ("05-10", "bill pay 3 3819 --discount 201 --method bank"),
    ("06-01", "bill record Tollgate --stock PHONE=300@60 --paid bank"),
    ("06-03", "bill send-back 4 --item PHONE --quantity 25 --credit 1500 --reason 'wrong colour'"),
    ("06-03", "bill refunded 4 --to bank"),
    ("06-08", "bill credit 4 480 --item PHONE --reason 'slightly damaged'"),
    ("06-08", "bill refunded 4 --to bank"),
    ("07-01", "bill record Tollgate --stock PRINTER=80@100 --due 2026-08-10"),
    ("07-06", "bill send-back 5 --item PRINTER --quantity 15 --credit 1500 --reason damaged"),
    ("07-10", "bill credit 5 120 --item PRINTER --reason 'slightly damaged'"),
    ("07-15", "bill pay 5 6061 --discount 319 --method bank"),
)
"""Section 6.3."""

OF_PURCHASES: Final = (
    Printed("April 1, packages", "6,200", goods("PACKAGE", "04-01")),
    Printed("April 7, computers", "12,000", goods("DESKTOP", "04-07")),
    Printed("April 7, payable", "12,000", owed("bills to pay", "04-07")),
    Printed("April 17, paid in full", "0", owed("bills to pay", "04-17")),
    Printed("April, cash for packages and computers", "-18,200", moved("bank", "04"), summed=True),
    Printed("May 1, tablets", "4,020", goods("TABLET", "05-01")),
    Printed("May 1, payable", "4,020", owed("bills to pay", "05-01")),
    Printed("May 10, cash", "-3,819", moved("bank", "05")),
    Printed("May 10, tablets less the discount of 201", "3,819", goods("TABLET", "05-10"), summed=True),
    Printed("May 10, payable", "0", owed("bills to pay", "05-10")),
    Printed("June 1, phones", "18,000", goods("PHONE", "06-01")),
    Printed("June 3, phones less 1,500 sent back", "16,500", goods("PHONE", "06-03"), summed=True),
    Printed("June 8, phones less an allowance of 480", "16,020", goods("PHONE", "06-08"), summed=True),
    Printed("June, cash less both refunds", "-16,020", moved("bank", "06"), summed=True),
    Printed("July 1, printers", "8,000", goods("PRINTER", "07-01")),
    Printed("July 1, payable", "8,000", owed("bills to pay", "07-01")),
    Printed("July 6, payable less 1,500", "6,500", owed("bills to pay", "07-06"), summed=True),
    Printed("July 10, payable less 120", "6,380", owed("bills to pay", "07-10")),
    Printed("July 15, cash", "-6,061", moved("bank", "07")),
    Printed("July 15, printers less the discount of 319", "6,061", goods("PRINTER", "07-15"), summed=True),
    Printed("July 15, payable", "0", owed("bills to pay", "07-15")),
    Printed("Inventory of all five", "44,100", sheet("07-31", "assets", "inventory", "amount"), summed=True),
    Printed("Purchases of the year", "44,100", line("36"), summed=True),
    Printed("Nothing was sold", "0", line("42"), summed=True),
)

TO_SELL: Final = tuple(
    f"{words} --count {count} --as opening" for words, count in zip(BOUGHT[1:], (10, 20, 56, 250, 55), strict=True)
)
"""The goods of section 6.4, as many as it sells, at the costs in its list."""

SALES: Final[tuple[Event, ...]] = (
    ("07-01", "sale record --customer 1 --accessory PACKAGE=10 --pay 12000 --method cash"),
    ("07-01", "sale ship 1 --carrier post"),
    ("07-07", "sale record --customer 1 --accessory DESKTOP=20"),
    ("07-07", "sale ship 2 --carrier post"),
    ("07-17", "payment take 2 --amount 15000 --method cash"),
    ("08-01", "sale record --customer 1 --accessory TABLET=56"),
    ("08-01", "sale ship 3 --carrier post"),
    ("08-10", "sale reduce 3 --line 1=336 --reason '2/10, paid on the ninth day'"),
    ("08-10", "payment take 3 --amount 16464 --method cash"),
    ("09-01", "sale record --customer 1 --accessory PHONE=250 --pay 37500 --method cash"),
    ("09-01", "sale ship 4 --carrier post"),
    ("09-03", "refund give 4 --line 1=6000 --returned 1=40 --method cash --reason 'wrong colour'"),
    ("09-08", "refund give 4 --line 1=200 --method cash --reason 'slightly damaged'"),
    ("10-01", "sale record --customer 1 --accessory PRINTER=55"),
    ("10-01", "sale ship 5 --carrier post"),
    ("10-06", "sale reduce 5 --line 1=3500 --returned 1=10 --reason 'not wanted'"),
    ("10-10", "sale reduce 5 --line 1=300 --reason 'slightly damaged'"),
    ("10-15", "sale reduce 5 --line 1=1545 --reason '10/15, paid on the fourteenth day'"),
    ("10-15", "payment take 5 --amount 13905 --method cash"),
)
"""Section 6.4."""

OF_SALES: Final = (
    Printed("July 1, cash", "12,000", owned("cash", "07-01")),
    Printed("July 1, no packages left of 6,200", "0", goods("PACKAGE", "07-01"), summed=True),
    Printed("July 7, receivable", "15,000", owned("receivable", "07-07")),
    Printed("July, sales", "27,000", moved("sales", "07"), summed=True),
    Printed("July, cost of goods sold", "14,200", moved("cost of goods sold", "07"), summed=True),
    Printed("July 17, paid in full", "0", owned("receivable", "07-17")),
    Printed("August 1, receivable", "16,800", owned("receivable", "08-01")),
    Printed("August, sales", "16,800", moved("sales", "08")),
    Printed("August, cost of goods sold", "3,360", moved("cost of goods sold", "08")),
    Printed("August 10, sales discount", "-336", moved("returns and allowances", "08")),
    Printed("August 10, cash", "16,464", moved("cash", "08")),
    Printed("August 10, receivable", "0", owned("receivable", "08-10")),
    Printed("September 1, sales", "37,500", moved("sales", "09")),
    Printed(
        "September, returns of 6,000, allowance of 200", "-6,200", moved("returns and allowances", "09"), summed=True
    ),
    Printed("September 3, phones on the shelf again", "2,400", goods("PHONE", "09-03")),
    Printed("September, cost of goods sold", "12,600", moved("cost of goods sold", "09"), summed=True),
    Printed("September, cash", "31,300", moved("cash", "09"), summed=True),
    Printed("October 1, receivable", "19,250", owned("receivable", "10-01")),
    Printed("October, sales", "19,250", moved("sales", "10")),
    Printed("October 6, receivable less 3,500", "15,750", owned("receivable", "10-06"), summed=True),
    Printed("October 6, printers on the shelf again", "1,000", goods("PRINTER", "10-06")),
    Printed("October 10, receivable less 300", "15,450", owned("receivable", "10-10")),
    Printed("October 15, receivable", "0", owned("receivable", "10-15")),
    Printed("October 15, cash", "13,905", moved("cash", "10")),
    Printed(
        "October, 3,500, 300 and a discount of 1,545", "-5,345", moved("returns and allowances", "10"), summed=True
    ),
    Printed("October, cost of goods sold", "4,500", moved("cost of goods sold", "10"), summed=True),
    Printed("Sales of the year", "100,550", line("1"), summed=True),
    Printed("Returns, allowances and discounts", "11,881", line("2"), summed=True),
    Printed("Net sales", "88,669", line("3"), summed=True),
    Printed("Cost of goods sold of the year", "34,660", line("42"), summed=True),
    Printed("Gross profit of the year", "54,009", line("5"), summed=True),
    Printed("Net sales on cash, all of it paid", "88,669", line("3", "cash"), summed=True),
)

RETAILER: Final = (
    ("01-05", "sale record --customer 1 --accessory SOLD --accessory BACK"),
    ("01-05", "sale ship 1 --carrier post"),
    ("01-09", "sale reduce 1 --returned 2=1 --reason 'slightly damaged'"),
    ("01-14", "sale reduce 1 --line 1=39 --reason '2/10, paid on the ninth day'"),
    ("01-14", "payment take 1 --amount 1911 --method cash"),
    ("05-10", "sale record --customer 1 --accessory LATER --accessory LATER-BACK"),
    ("05-10", "sale ship 2 --carrier post"),
    ("05-13", "sale reduce 2 --returned 2=1 --reason 'slightly damaged'"),
    ("05-15", "sale reduce 2 --line 1=230 --reason 'wrong colour'"),
    ("05-20", "sale reduce 2 --line 1=356 --reason '5/10, paid on the tenth day'"),
    ("05-20", "payment take 2 --amount 6764 --method cash"),
    ("12-03", "bill record Tollgate --stock BOUGHT=1@350 --stock SENT-BACK=1@150 --due 2027-01-02"),
    ("12-06", "bill send-back 1 --item SENT-BACK --quantity 1 --credit 150 --reason damaged"),
    ("12-09", "bill pay 1 343 --discount 7 --method bank"),
)
"""The solved exercises of 6.3 (December) and 6.4 (January and May)."""

OF_RETAILER: Final = (
    Printed("January, sales", "2,450", moved("sales", "01")),
    Printed("January, return of 500 and discount of 39", "-539", moved("returns and allowances", "01"), summed=True),
    Printed("January 5, receivable", "2,450", owned("receivable", "01-05")),
    Printed("January 9, goods back on the shelf", "130", goods("BACK", "01-09")),
    Printed("January 9, receivable", "1,950", owned("receivable", "01-09")),
    Printed("January, cost of goods sold of 1,000 less 130", "870", moved("cost of goods sold", "01"), summed=True),
    Printed("January 14, cash", "1,911", moved("cash", "01")),
    Printed("May, sales", "8,600", moved("sales", "05")),
    Printed("May 13, goods back on the shelf", "380", goods("LATER-BACK", "05-13")),
    Printed("May, cost of goods sold of 2,650 less 380", "2,270", moved("cost of goods sold", "05"), summed=True),
    Printed("May 15, receivable", "7,120", owned("receivable", "05-15")),
    Printed("May 20, cash", "6,764", moved("cash", "05")),
    Printed("May, 1,250, 230 and a discount of 356", "-1,836", moved("returns and allowances", "05"), summed=True),
    Printed("December 3, payable", "500", owed("bills to pay", "12-03")),
    Printed("December 6, payable", "350", owed("bills to pay", "12-06")),
    Printed("December 9, cash", "-343", moved("bank", "12")),
    Printed("December 9, goods less a discount of 7", "343", goods("BOUGHT", "12-09")),
)

FREIGHT: Final = (
    ("02-02", "bill record Tollgate --stock DESKTOP=30@80 --freight 1000"),
    ("02-03", "bill record Tollgate --stock TABLET=40@60 --freight 200"),
    ("02-04", "sale record --customer 1 --accessory PHONE=30"),
    ("02-04", "sale ship 1 --carrier post"),
    ("02-04", "spend record Carrier 120 --category postage-and-shipping-out --method cash --description delivery"),
)

OF_FREIGHT: Final = (
    Printed("30 computers with freight of 1,000", "3,400", goods("DESKTOP", "02-02")),
    Printed("40 tablets with 5 of freight each", "2,600", goods("TABLET", "02-03")),
    Printed("Both payable", "6,000", owed("bills to pay", "02-03"), summed=True),
    Printed("30 phones sold, receivable", "4,500", owned("receivable", "02-04")),
    Printed("30 phones sold", "4,500", moved("sales", "02")),
    Printed("What they cost", "1,800", moved("cost of goods sold", "02")),
    Printed("Delivery expense", "120", moved("postage and shipping out", "02")),
    Printed("Delivery paid in cash", "-120", moved("cash", "02")),
    Printed("No freight out in the cost of goods", "1,800", line("42"), summed=True),
    Printed("What the sale brought", "2,580", month("02", "accrual", "result"), summed=True),
)


def test_goods_bought_with_discounts_returns_and_allowances(books: Books) -> None:
    """Inventory, payables and cash after each purchase, return, allowance and payment are those of OpenStax 6.3."""
    books.begin("03-31", *BOUGHT)
    books.live(PURCHASES)
    books.compare(OF_PURCHASES)


def test_goods_sold_with_discounts_returns_and_allowances(books: Books) -> None:
    """Receivables, cash, sales, cost of goods and what came back are those of OpenStax 6.4."""
    books.begin("06-30", *TO_SELL)
    books.live(SALES)
    books.compare(OF_SALES)


def test_the_solved_exercises_of_both_sections(books: Books) -> None:
    """Amounts without counts: an article for what stays, one for what goes back."""
    stock = (("SOLD", 1950, 870), ("BACK", 500, 130), ("LATER", 7350, 2270), ("LATER-BACK", 1250, 380))
    there = (
        f"accessory add {code} --name Goods --price {price} --cost {cost} --count 1 --as opening"
        for code, price, cost in stock
    )
    bought = (
        f"accessory add {code} --name Goods --price {cost} --cost {cost}"
        for code, cost in (("BOUGHT", 350), ("SENT-BACK", 150))
    )
    books.begin("2025-12-31", "money open 1000 --till bank", *there, *bought)
    books.live(RETAILER)
    books.compare(OF_RETAILER)


def test_freight_in_is_part_of_the_goods_and_freight_out_an_expense(books: Books) -> None:
    """Landed costs and the delivery expense are those of OpenStax 6.5."""
    lower = (BOUGHT[2].replace("400", "80"), BOUGHT[3], f"{BOUGHT[4]} --count 30 --as opening")
    books.begin("01-31", "money open 500 --till cash", *lower)
    books.live(FREIGHT)
    books.compare(OF_FREIGHT)
