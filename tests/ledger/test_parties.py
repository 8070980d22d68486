"""The shop, customers, wearers and prescribers: valid from birth."""

from __future__ import annotations

from datetime import date

import pytest

from shopledger.errors import RefusedError
from shopledger.ledger.parties import Address, Customer, Prescriber, Shop, Wearer, check_birth_date

HOME = Address("18 Tansy Lane", "Millbrae", "oh", "43002")


def test_an_address_reads_as_on_an_envelope() -> None:
    """Street, second line if any, then city, state and ZIP code."""
    assert HOME.lines == ("18 Tansy Lane", "Millbrae, OH 43002")
    flat = Address(" 2  Mill Row ", "Fennick", "OH", "43001-0007", "Flat 3")
    assert flat.lines == ("2 Mill Row", "Flat 3", "Fennick, OH 43001-0007")


@pytest.mark.parametrize(
    "parts",
    [("", "Millbrae", "OH", "43002"), ("1 A", "", "OH", "43002"), ("1 A", "B", "XX", "43002"), ("1 A", "B", "OH", "1")],
)
def test_an_address_with_a_missing_or_wrong_part_is_refused(parts: tuple[str, str, str, str]) -> None:
    """Each part is held to its form."""
    with pytest.raises(RefusedError):
        Address(*parts)


def test_a_shop_holds_its_numbers_in_written_form() -> None:
    """EIN with its hyphen, provider number checked, blanks for none."""
    shop = Shop(" Pebble  Optics ", HOME, "555-0100", "123456789", npi="1234567893")
    assert (shop.name, shop.ein, shop.npi, shop.email) == ("Pebble Optics", "12-3456789", "1234567893", "")
    assert Shop("Pebble Optics", HOME, "555-0100", "12-3456789", npi="  ").npi == ""


@pytest.mark.parametrize(
    "wrong",
    [
        {"ein": "123-45-6789"},
        {"npi": "1234567890"},
        {"phone": ""},
        {"name": " "},
        {"receipt_wording": "x" * 401},
    ],
    ids=str,
)
def test_a_shop_with_a_wrong_detail_is_refused(wrong: dict[str, str]) -> None:
    """A social security number, a wrong provider number, a missing name or phone, a sentence too long."""
    details: dict[str, str] = {"name": "Pebble Optics", "phone": "555-0100", "ein": "12-3456789"} | wrong
    with pytest.raises(RefusedError):
        Shop(address=HOME, **details)


def test_people_are_cleaned_and_need_a_name() -> None:
    """Names lose stray blanks; nobody is without one; a prescriber's provider number is checked."""
    assert Customer(" Odalys  Fernhollow", HOME).name == "Odalys Fernhollow"
    assert Wearer("Wren Fernhollow ", 1, member_id=" M 7 ").member_id == "M 7"
    assert Prescriber("Dr. Imre Castellane", npi=" 1234567893").npi == "1234567893"
    for make in (lambda: Customer("", HOME), lambda: Wearer(" ", 1), lambda: Prescriber("\t")):
        with pytest.raises(RefusedError, match="name is empty"):
            make()
    with pytest.raises(RefusedError, match="check digit"):
        Prescriber("Dr. Imre Castellane", npi="1234567894")


def test_a_birth_date_lies_in_the_past_130_years(today: date) -> None:
    """Today is taken; tomorrow and 131 years ago are slips."""
    assert check_birth_date(today, today) == today
    assert check_birth_date(date(1896, 12, 31), today) == date(1896, 12, 31)
    for wrong in (date(2026, 3, 3), date(1895, 12, 31)):
        with pytest.raises(RefusedError, match="past 130 years"):
            check_birth_date(wrong, today)
