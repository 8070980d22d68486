"""What a W-9 says and keeps to itself, and whom a year's list names."""

from __future__ import annotations

from datetime import date

import pytest

from shopledger.errors import RefusedError
from shopledger.ledger.books.payee_forms import (
    W9,
    PayeeStanding,
    ReportLimit,
    TaxpayerKind,
    erasable_from,
    limit_of,
    payee_reports,
    read_tax_number,
)
from shopledger.ledger.books.spending import ExpenseCategory
from shopledger.ledger.books.spending_rows import PayeeRow
from shopledger.ledger.parties import Address
from shopledger.ledger.retention import Keeping
from shopledger.ledger.text import as_kept

HOME = Address("4 Quarry Road", "Barre", "VT", "05641")
DAY = date(2026, 1, 12)


def form(
    payee: str = "Imke Sandlark", kind: TaxpayerKind = TaxpayerKind.INDIVIDUAL, *, withholding: bool = False
) -> W9:
    """Give a W-9."""
    return W9(payee, payee, HOME, kind, "12-3456789", DAY, withholding)


@pytest.mark.parametrize("typed", ["12-3456789", "123-45-6789", " 912-70-0001 "])
def test_a_tax_number_is_taken_with_the_dashes_that_tell_its_kind(typed: str) -> None:
    """An employer's number, or one grouped 3-2-4; the payee's own is kept here and nowhere else."""
    assert read_tax_number(typed) == typed.strip()


@pytest.mark.parametrize(
    "typed", ["123456789", "98-765432", "000-12-3456", "123-00-4567", "00-1234567", "12-0000000", ""]
)
def test_a_refused_tax_number_is_not_repeated(typed: str) -> None:
    """Nine digits tell no kind, zeros were never given out, and what was typed stands in no message."""
    with pytest.raises(RefusedError) as refused:
        read_tax_number(typed)
    assert not typed or typed not in str(refused.value)


def test_a_w9_never_shows_its_number_whole() -> None:
    """Its last four digits are all that is told, in a traceback too."""
    assert form().ending == "6789"
    assert "3456789" not in repr(form())


def test_the_number_stands_in_no_other_field() -> None:
    """A name with a social security number in it is refused as everywhere."""
    with pytest.raises(RefusedError, match="never keeps one"):
        W9("Imke", "Imke 123-45-6789", HOME, TaxpayerKind.INDIVIDUAL, "12-3456789", DAY)


def test_an_erased_w9_can_be_read() -> None:
    """Its number is empty then, which no new one may be."""
    with as_kept():
        assert W9("Imke", "erased 2034-04-15", HOME, TaxpayerKind.OTHER, "", DAY).ending == ""
    with pytest.raises(RefusedError):
        W9("Imke", "Imke", HOME, TaxpayerKind.OTHER, "", DAY)


def test_services_are_told_by_the_category() -> None:
    """Beside the category stands its form; goods, supplies and what is no payment to a person have none."""
    forms = {category.name: category.form for category in ExpenseCategory if category.form}
    assert forms == {
        "FEES": "1099-NEC",
        "CONTRACT_LABOUR": "1099-NEC",
        "PROFESSIONAL": "1099-NEC",
        "REPAIRS": "1099-NEC",
        "RENT": "1099-MISC",
        "RENT_EQUIPMENT": "1099-MISC",
    }


@pytest.mark.parametrize(("year", "cents"), [(2024, 60_000), (2025, 60_000), (2026, 200_000), (2028, 200_000)])
def test_the_limit_of_a_year_is_known_with_where_it_is_from(year: int, cents: int) -> None:
    """600 through 2025 and 2,000 after (Public Law 119-21, section 70433, second-hand); indexed from 2027 on."""
    limit = limit_of(year)
    assert limit.amount == cents
    assert ("memory" in limit.source, "70433" in limit.source, "indexed" in limit.source) == (
        year < 2026,
        year == 2026,
        year > 2026,
    )
    assert limit_of(year, 210_000) == (210_000, "set by the owner")


def test_a_limit_is_a_sum_of_a_year() -> None:
    """None of nothing, and none of a year that cannot be."""
    for year, cents in ((2026, 0), (26, 100)):
        with pytest.raises(RefusedError):
            ReportLimit(year, cents)


def test_a_year_lists_whom_it_paid_for_services() -> None:
    """Headings of one form are added up; supplies are none; corporations and small sums are told apart."""
    rows = (
        PayeeRow("contract labour", "Imke Sandlark", 1, 150_000, 150_000),
        PayeeRow("repairs and maintenance", "Imke Sandlark", 1, 50_000, 50_000),
        PayeeRow("rent of premises", "Alder Row Estates", 12, 900_000, 900_000),
        PayeeRow("legal and professional services", "Corin Ash", 1, 300_000, 0),
        PayeeRow("legal and professional services", "Lin Pike", 1, 199_999, 199_999),
        PayeeRow("commissions and fees", "Bram Pike", 1, 10_000, 10_000),
        PayeeRow("supplies", "Fennick Stationers", 1, 999_999, 999_999),
    )
    kept = {
        "alder row estates": form("Alder Row Estates", TaxpayerKind.CORPORATION),
        "bram pike": form("Bram Pike", withholding=True),
    }
    found = payee_reports(rows, kept, 200_000)
    assert [(each.payee, each.form, each.paid, each.standing, each.lacks) for each in found] == [
        ("Alder Row Estates", "1099-MISC", 900_000, PayeeStanding.CORPORATION, False),
        ("Imke Sandlark", "1099-NEC", 200_000, PayeeStanding.REPORT, True),
        ("Lin Pike", "1099-NEC", 199_999, PayeeStanding.BELOW, False),
        ("Bram Pike", "1099-NEC", 10_000, PayeeStanding.REPORT, False),
    ]


def test_a_w9_is_kept_as_long_as_tax_records() -> None:
    """Seven years, unless the owner says otherwise, after the return of the last year in which the payee was paid."""
    assert erasable_from([DAY, date(2027, 12, 30)], Keeping()) == date(2035, 4, 15)
