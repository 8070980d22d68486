"""A first month with its adjusting entries and balance sheet, and a quarter in both views, as a textbook has them.

OpenStax, Principles of Accounting 1, chapter 5, appendix (module m67859), and section 5.3 on both views (module
m67858): read in the book's source, figures in the words that describe its pictures. The appendix is of a corporation:
shares are the owner's contribution here, dividends his draw, the income tax an expense as the example has it; services
are articles that cost nothing. These books have one account for what is paid ahead, and none for interest receivable:
both stand there together. The year's insurance of section 5.3 is paid at once here, and what of it is for later months
is moved there by adjusting entries, which count on accrual alone.
"""

from __future__ import annotations

from typing import Final

import pytest

from tests.cli.published.printed import Books, Printed, line, month, moved, owed, owned, sheet

pytestmark = pytest.mark.slow

SERVICE: Final = "accessory add SERVICE --name Service --price 50 --cost 0 --count 300 --as opening"

AUGUST: Final = (
    ("08-01", "money contribute 70000 --till bank"),
    ("08-03", "bill record Tollgate --expense equipment=45000 --due 2026-09-02"),
    ("08-03", "bill pay 1 37500 --method bank"),
    ("08-06", "spend record Stationer 300 --category supplies --method bank --description supplies"),
    ("08-10", "sale record --customer 1 --accessory SERVICE=80"),
    ("08-10", "sale ship 1 --carrier nobody"),
    ("08-13", "spend record Works 75 --category utilities --method bank --description power"),
    ("08-14", "sale record --customer 1 --accessory SERVICE=64 --pay 3200 --method transfer"),
    ("08-16", "money draw 150 --till bank"),
    ("08-17", "sale record --customer 1 --accessory SERVICE=104 --pay 5200 --method transfer"),
    ("08-17", "sale ship 3 --carrier nobody"),
    ("08-19", "bill pay 1 2000 --method bank"),
    ("08-22", "spend record Helpers 4600 --category wages --method bank --description salaries"),
    ("08-28", "payment take 1 --amount 1500 --method transfer"),
)

UNADJUSTED: Final = (
    Printed("Cash", "35,275", owned("bank", "08-31")),
    Printed("Accounts receivable", "2,500", owned("receivable", "08-31")),
    Printed("Equipment", "45,000", owned("equipment", "08-31")),
    Printed("Accounts payable", "5,500", owed("bills to pay", "08-31")),
    Printed("Unearned revenue", "3,200", owed("customer prepayments", "08-31")),
    Printed("Common stock", "70,000", sheet("08-31", "capital", "contributed")),
    Printed("Dividends", "150", sheet("08-31", "capital", "drawn")),
    Printed("Service revenue", "9,200", moved("sales", "08")),
    Printed("Salaries expense", "4,600", moved("wages", "08")),
    Printed("Utility expense", "75", moved("utilities", "08")),
)
"""All of the unadjusted trial balance but the supplies of 300, which are an expense at once here."""

ADJUSTED: Final = (
    (
        "08-31",
        "adjust record --debit prepaid-expenses=250 --credit supplies=250 --reason 'supplies that remain'",
    ),
    (
        "08-31",
        "adjust record --debit depreciation=2500 --credit accumulated-depreciation=2500 --reason 'one month'",
    ),
    ("08-31", "sale ship 2 --line 1=22 --carrier nobody"),
    ("08-31", "adjust record --debit prepaid-expenses=350 --credit other-income=350 --reason 'interest not collected'"),
    ("08-31", "adjust record --debit taxes-and-licences=3400 --credit accrued-expenses=3400 --reason 'income tax'"),
)
"""1,100 of the services of August 14 are done: they leave as 22 of 64."""

OF_THE_CYCLE: Final = (
    Printed("Cash", "35,275", owned("bank", "08-31")),
    Printed("Accounts receivable", "2,500", owned("receivable", "08-31")),
    Printed("Interest receivable of 350 and supplies of 250", "600", owned("prepaid expenses", "08-31"), summed=True),
    Printed("Equipment", "45,000", owned("equipment", "08-31")),
    Printed("Accumulated depreciation", "-2,500", owned("accumulated depreciation", "08-31")),
    Printed("Total assets", "80,875", sheet("08-31", "assets_total")),
    Printed("Accounts payable", "5,500", owed("bills to pay", "08-31")),
    Printed("Income tax payable", "3,400", owed("accrued expenses", "08-31")),
    Printed("Unearned revenue", "2,100", owed("customer prepayments", "08-31")),
    Printed("Total liabilities", "11,000", sheet("08-31", "liabilities_total")),
    Printed("Beginning retained earnings", "0", sheet("08-31", "capital", "at_first")),
    Printed("Common stock", "70,000", sheet("08-31", "capital", "contributed")),
    Printed("Dividends", "150", sheet("08-31", "capital", "drawn")),
    Printed("Net income", "25", sheet("08-31", "capital", "result")),
    Printed("Total equity", "69,875", sheet("08-31", "capital", "at_last")),
    Printed("Service revenue", "10,300", moved("sales", "08")),
    Printed("Interest revenue", "350", moved("other income", "08")),
    Printed("Total revenues", "10,650", line("7")),
    Printed("Supplies expense", "50", moved("supplies", "08")),
    Printed("Depreciation expense", "2,500", moved("depreciation", "08")),
    Printed("Salaries expense", "4,600", moved("wages", "08")),
    Printed("Utilities expense", "75", moved("utilities", "08")),
    Printed("Income tax expense", "3,400", moved("taxes and licences", "08")),
    Printed("Total expenses", "10,625", line("28")),
    Printed("Net income, of the month", "25", month("08", "accrual", "result")),
    Printed("Interest of 350 that was not collected, on cash", "0", month("08", "cash", "other_income"), summed=True),
    Printed(
        "Supplies of 300, utilities of 75 and salaries of 4,600: paid",
        "4,975",
        month("08", "expenses_paid"),
        summed=True,
    ),
    Printed(
        "These and depreciation of 2,500 on cash, income tax not paid",
        "-7,475",
        month("08", "cash", "expenses"),
        summed=True,
    ),
    Printed("Income tax on cash, before it is paid", "0", line("23", "cash"), summed=True),
    Printed("Supplies on cash, as they were paid", "300", line("22", "cash"), summed=True),
    Printed("Net income, on the form", "25", line("29")),
)

QUARTER: Final = (
    ("2025-12-31", "bill record Tollgate --owed-before 135"),
    (
        "01-01",
        "spend record Insurer 6000 --category insurance --method bank --description 'insurance for the year'",
    ),
    ("01-08", "bill pay 1 135 --method bank"),
    ("01-15", "sale record --customer 1 --accessory SERVICE=50"),
    ("01-15", "sale ship 1 --carrier nobody"),
    ("01-31", "bill record Tollgate --expense utilities=110"),
    ("01-31", "bill record Tollgate --expense rent-of-premises=1000"),
    ("01-31", "adjust record --debit prepaid-expenses=5500 --credit insurance=5500 --reason 'eleven months ahead'"),
    ("02-16", "bill pay 3 1000 --method bank"),
    ("02-16", "spend record Landlord 1000 --category rent-of-premises --method bank --description 'rent for February'"),
    ("02-20", "sale record --customer 1 --accessory SERVICE=48"),
    ("02-20", "sale ship 2 --carrier nobody"),
    ("02-28", "bill record Tollgate --expense utilities=150"),
    ("02-28", "adjust record --debit insurance=500 --credit prepaid-expenses=500 --reason 'a month of it'"),
    ("03-02", "spend record Landlord 1000 --category rent-of-premises --method bank --description 'rent for March'"),
    ("03-10", "payment take 1 --amount 2500 --method cash"),
    ("03-10", "payment take 2 --amount 2400 --method cash"),
    ("03-14", "sale record --customer 1 --accessory SERVICE=49 --pay 1800 --method cash"),
    ("03-14", "sale ship 3 --carrier nobody"),
    ("03-30", "bill record Tollgate --expense utilities=145"),
    ("03-31", "adjust record --debit insurance=500 --credit prepaid-expenses=500 --reason 'a month of it'"),
)

BOTH_VIEWS: Final = (
    Printed("January, revenue on accrual", "2,500", month("01", "accrual", "customers")),
    Printed("January, revenue on cash", "0", month("01", "cash", "customers")),
    Printed("January, electricity 110", "110", moved("utilities", "01")),
    Printed("January, rent on accrual", "1,000", moved("rent of premises", "01")),
    Printed("January, insurance on accrual", "500", moved("insurance", "01")),
    Printed("January, insurance on cash", "-6,000", month("01", "cash", "expenses")),
    Printed("January, insurance that was paid", "6,000", month("01", "expenses_paid")),
    Printed("January, income on accrual", "890", month("01", "accrual", "result")),
    Printed("January, income on cash", "-6,135", month("01", "cash", "result")),
    Printed("February, revenue on accrual", "2,400", month("02", "accrual", "customers")),
    Printed("February, revenue on cash", "0", month("02", "cash", "customers")),
    Printed("February, electricity", "150", moved("utilities", "02")),
    Printed("February, rent on accrual", "1,000", moved("rent of premises", "02")),
    Printed("February, insurance on accrual", "500", moved("insurance", "02")),
    Printed("February, income on accrual", "750", month("02", "accrual", "result")),
    Printed("February, rent alone was paid", "1,000", month("02", "expenses_paid")),
    Printed("February, income on cash", "-2,000", month("02", "cash", "result")),
    Printed("March, revenue on accrual", "2,450", month("03", "accrual", "customers")),
    Printed("March, revenue on cash", "6,700", month("03", "cash", "customers")),
    Printed("March, electricity", "145", moved("utilities", "03")),
    Printed("March, rent on accrual", "1,000", moved("rent of premises", "03")),
    Printed("March, insurance on accrual", "500", moved("insurance", "03")),
    Printed("March, income on accrual", "805", month("03", "accrual", "result")),
    Printed("March, income on cash", "5,700", month("03", "cash", "result")),
    Printed("Three months of insurance on accrual", "1,500", line("15"), summed=True),
    Printed("Three months of insurance on cash", "6,000", line("15", "cash"), summed=True),
    Printed("Three months, income on accrual", "2,445", line("29"), summed=True),
)


def money_of(books: Books, month: str) -> list[str]:
    """Give what a month says of money that came and went: what adjusting entries move is no such thing."""
    said = books.type("2027-01-20", f"month show {month}")
    block = said.partition("Money")[2].partition("Accrual and cash")[0].splitlines()
    assert any(line.split()[:2] == ["expenses", "paid"] for line in block)
    return block


def test_a_first_month_is_closed_with_its_adjusting_entries(books: Books) -> None:
    """Trial balances, income and balance sheet are those of the appendix to OpenStax chapter 5."""
    books.begin("07-31", SERVICE)
    books.live(AUGUST)
    books.compare(UNADJUSTED)
    paid = money_of(books, "2026-08")
    books.live(ADJUSTED)
    assert money_of(books, "2026-08") == paid
    books.compare(OF_THE_CYCLE)
    following = books.ask("year balance --on 2027-01-15")["capital"]
    assert (following["at_first"], following["result"], following["drawn"]) == ("69875.00", "0.00", "0.00")


def test_a_quarter_on_accrual_and_on_cash(books: Books) -> None:
    """Revenue, electricity, rent, insurance and income of three months are those of OpenStax 5.3 in both views."""
    books.begin("2025-12-31", SERVICE, "money open 12000 --till bank")
    books.live(QUARTER)
    books.compare(BOTH_VIEWS)
