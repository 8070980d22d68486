"""The sample record system of IRS Publication 583: a year of receipts and checks by heading, and a month's bank.

Read in stored copies: items 4, 5 and 7 in the words that the publication gives for its pictures, and the text of items
1 and 5 beside them. Of the annual summary four months are printed and the totals; what the other months come to is the
difference, typed on one day here. The monthly summary of receipts and the journal of checks (items 2 and 3) were not
at hand, but for net sales of January and the receipts of one day. Its shop repairs cars, and uses the cash method.
"""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import Any, Final

import pytest

from tests.cli.published.printed import Asked, Books, Event, Printed, line, month, moved, owed
from tests.statements import ofx, transaction

pytestmark = pytest.mark.slow

RECEIPTS: Final = ("4,865.05", "3,478.32", "3,942.00", "3,656.52", "47,440.95")
HEADINGS: Final = {
    "Materials": ("supplies", ("1,083.50", "874.93", "724.90", "609.23", "10,001.00")),
    "F.I.C.A. taxes": ("taxes-and-licences", ("39.78", "17.68", "38.08", "39.78", "408.09")),
    "Taxes and licenses": ("taxes-and-licences", ("100.00", "", "", "", "218.00")),
    "Bank charges": ("commissions-and-fees", ("10.00", "7.50", "11.25", "10.00", "92.30")),
    "Electric": ("utilities", ("175.30", "153.10", "145.81", "169.00", "1,642.37")),
    "Telephones": ("utilities", ("27.00", "21.50", "32.10", "23.13", "324.09")),
    "Interest": ("interest", ("18.09", "18.09", "18.09", "18.09", "217.08")),
    "Insurance": ("insurance", ("", "210.00", "", "", "420.00")),
    "Rent": ("rent-of-premises", ("300.00", "300.00", "300.00", "300.00", "3,600.00")),
    "Truck and auto": ("car-and-truck", ("45.00", "28.50", "51.30", "37.62", "571.46")),
    "Advertising": ("advertising", ("85.00", "", "", "", "85.00")),
    "Office expenses": ("office-expense", ("36.00", "", "", "4.00", "40.00")),
    "Miscellaneous": ("other-expense", ("2.00", "", "", "71.91", "344.00")),
}
"""Item 5, January, February, March, December and the year, with this program's category of each heading."""
PAYROLL: Final = ("520.00", "235.40", "507.00", "520.00", "5,434.00")
DAYS: Final = ("01-31", "02-28", "03-31", "12-31", "06-30")
"""The last days of the four months in print, and a day for all the others."""
LINES: Final = {
    "22": ("Materials",),
    "23": ("F.I.C.A. taxes", "Taxes and licenses"),
    "10": ("Bank charges",),
    "25": ("Electric", "Telephones"),
    "16b": ("Interest",),
    "15": ("Insurance",),
    "20b": ("Rent",),
    "9": ("Truck and auto",),
    "8": ("Advertising",),
    "18": ("Office expenses",),
    "27b": ("Miscellaneous",),
}
"""Lines of Schedule C, and the headings that stand there."""


def cents(printed: str) -> Decimal:
    """Read an amount in print; an empty column is nothing."""
    return Decimal(printed.replace(",", "") or "0")


def spread(row: tuple[str, ...]) -> tuple[tuple[str, Decimal], ...]:
    """Give the amounts of a row with their days, those of the months that are not printed in one."""
    *months, year = map(cents, row)
    return tuple(zip(DAYS, (*months, year - sum(months)), strict=True))


def articles() -> dict[str, tuple[Decimal, str]]:
    """Give one service for what a month brought, with its day; the receipts of item 1 stand apart, with their tax."""
    amounts = dict(spread(RECEIPTS))
    amounts[DAYS[0]] -= Decimal("263.60")
    months = {f"MONTH-{day}": (amount, day) for day, amount in sorted(amounts.items())}
    return {"TAXED": (Decimal("70.00"), "01-03"), "UNTAXED": (Decimal("193.60"), "01-03"), **months}


def stock() -> list[str]:
    """Type the services in; tax of 6 % on 70.00 of the 263.60 is made up, and comes to the 4.20 in print."""
    kinds = {"TAXED": "accessory"}
    added = (
        f"accessory add {code} --name Work --price {price} --cost 0 --count 1 --as opening --tax-category {kind}"
        for code, (price, _) in articles().items()
        for kind in (kinds.get(code, "service"),)
    )
    return [*added, "tax set OH accessory 6 --from 2025-12-31"]


def receipts() -> list[Event]:
    """Sell what each month brought, and what item 1 has."""
    months = list(articles().items())[2:]
    return [
        *sold(1, "01-03", "267.80", "TAXED", "UNTAXED"),
        *(event for number, (code, (price, day)) in enumerate(months, 2) for event in sold(number, day, price, code)),
    ]


def sold(number: int, day: str, paid: object, *codes: str) -> tuple[Event, ...]:
    """Sell articles, paid in cash and handed over."""
    what = " ".join(f"--accessory {code}" for code in codes)
    return (
        (day, f"sale record --customer 1 {what} --pay {paid} --method cash"),
        (day, f"sale ship {number} --carrier nobody"),
    )


def checks() -> list[Event]:
    """Write a check for each amount in the summary; wages of January less what item 4 withholds."""
    paid = [
        (day, f"spend record Payee {amount} --category {category} --method bank --description '{heading}'")
        for heading, (category, row) in HEADINGS.items()
        for day, amount in spread(row)
        if amount
    ]
    wages = [
        (day, f"spend record Helper {amount} --category wages --method bank --description pay")
        for day, amount in spread(PAYROLL)[1:]
    ]
    withheld = "adjust record --debit wages=260.00 --credit bank=214.11 --credit accrued-expenses=45.89 --reason pay"
    return [*paid, *wages, ("01-04", withheld), ("01-18", withheld)]


def of_the_year() -> list[Printed]:
    """Give the annual summary with what the program is asked: each month in print by account, the year by line."""
    table = [
        Printed("Cash receipts of the year", RECEIPTS[-1], line("1", "cash")),
        Printed("Gross payroll of the year", PAYROLL[-1], line("26", "cash")),
        Printed("January 3, sales tax, never income", "4.20", owed("sales tax payable", "01-31")),
        Printed("January, withheld from pay", "91.78", owed("accrued expenses", "01-31"), summed=True),
    ]
    for place, name in enumerate(("01", "02", "03", "12")):
        table += [
            Printed(f"{name}, cash receipts", RECEIPTS[place], month(name, "cash", "customers")),
            Printed(f"{name}, gross payroll", PAYROLL[place], moved("wages", name)),
        ]
        for number, headings in LINES.items():
            rows = [HEADINGS[heading] for heading in headings]
            amount = sum(cents(row[place]) for _, row in rows)
            account = rows[0][0].replace("-", " ")
            table.append(Printed(f"{name}, {headings}", str(amount), moved(account, name), summed=len(rows) > 1))
            if name == "12":
                year = str(sum(cents(row[-1]) for _, row in rows))
                table.append(Printed(f"Year, {headings}", year, line(number, "cash"), summed=len(rows) > 1))
    return table


def test_a_year_of_receipts_and_checks_by_heading(books: Books) -> None:
    """Receipts, payroll and each heading of months and year are those of items 1, 4 and 5."""
    books.begin("2025-12-31", "shop change --accounting cash", "money open 20000 --till bank", *stock())
    books.live(receipts())
    books.live(sorted(checks()))
    books.compare(of_the_year())


BANK: Final = (
    ("01-08", "money bank 594.40"),
    ("01-27", "spend record Payee 66.70 --category supplies --method bank --reference 90 --description parts"),
    ("01-27", "spend record Payee 9.80 --category supplies --method bank --reference 91 --description parts"),
    ("01-28", "spend record Payee 150.00 --category supplies --method bank --reference 94 --description parts"),
    ("01-28", "spend record Payee 300.00 --category rent-of-premises --method bank --reference 95 --description rent"),
    ("01-28", "money bank 701.33"),
    ("01-31", "money bank 516.08"),
)
"""Item 7: a deposit entered as 594.40, two that the bank has not credited, four checks outstanding."""


def reconciled(*keys: str) -> Asked:
    """Ask for a figure of January's reconciliation."""
    return Asked("bank reconcile 2026-01", keys)


def sums(reconciliation: dict[str, Any]) -> tuple[str, ...]:
    """Give what deposits and checks come to, and both corrected balances."""
    transit, outstanding = (
        str(sum(cents(item["amount"]) for item in reconciliation[name]))
        for name in ("deposits_in_transit", "outstanding")
    )
    return transit, outstanding, reconciliation["bank_corrected"], reconciliation["books_corrected"]


def test_the_month_with_the_bank(books: Books, tmp_path: Path) -> None:
    """Both balances come to 2,149.03 once the deposit is put right and the bank's charge is in the books."""
    # What lay in the bank at first is not printed: what the rest needs to come to the printed balances.
    books.begin("2025-12-31", "money open 867.72 --till bank", "money open 2000 --till cash")
    books.live((("01-02", "bank account Checking --ending 5678"), *BANK))
    deposit = transaction("20260108", "600.40", "d1", "DEPOSIT")
    charge = transaction("20260130", "-10.00", "c1", "SERVICE CHARGE", kind="SRVCHG")
    whole = ofx(deposit, charge, first="20260101", last="20260131", balance="1458.12", balance_day="20260131")
    (tmp_path / "january.ofx").write_text(whole, encoding="ascii")
    books.live((("02-01", f"bank import {tmp_path / 'january.ofx'}"), ("02-01", "bank match")))
    books.compare(
        (
            Printed("Closing balance on the statement", "1,458.12", reconciled("statement")),
            Printed("Balance in the checkbook", "2,153.03", reconciled("books")),
        )
    )
    books.live(
        (
            ("02-01", "void money 3 --day 2026-01-08 --reason '600.40 was paid in'"),
            ("02-01", "money bank 600.40 --day 2026-01-08"),
            ("02-01", "bank match"),
            ("02-01", "bank record 2 fee"),
        )
    )
    after = books.ask("bank reconcile 2026-01")
    assert sums(after) == ("1217.41", "-526.50", "2149.03", "2149.03")
    assert (after["books"], after["agrees"], after["proof_of_cash"]["holds"]) == ("2149.03", True, True)
