"""Tax ids, provider numbers, states and ZIP codes: one written form, or a refusal that says why."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.errors import RefusedError
from shopledger.ledger.identifiers import STATES, read_ein, read_email, read_npi, read_phone, read_postcode, read_state
from shopledger.ledger.text import as_kept


@pytest.mark.parametrize("typed", ["12-3456789", "123456789", " 12-3456789 "])
def test_an_ein_is_written_in_one_form(typed: str) -> None:
    """With or without the hyphen, blanks around it: 12-3456789."""
    assert read_ein(typed) == "12-3456789"


@pytest.mark.parametrize("typed", ["123-45-6789", "123 45 6789", " 123-45 6789"])
def test_a_social_security_number_is_refused_without_repeating_it(typed: str) -> None:
    """What is grouped 3-2-4 is never kept, and not even shown in the refusal."""
    with pytest.raises(RefusedError, match="social security number") as caught:
        read_ein(typed)
    assert "6789" not in str(caught.value).replace("12-3456789", "")


@pytest.mark.parametrize("typed", ["", "12-345678", "12-34567890", "1-23456789", "AB-3456789", "١٢-٣٤٥٦٧٨٩"])
def test_what_is_no_ein_is_refused(typed: str) -> None:
    """Nine plain digits, no more and no less."""
    with pytest.raises(RefusedError, match="nine digits"):
        read_ein(typed)


def test_the_published_example_of_a_provider_number_is_right() -> None:
    """CMS's worked example: 123456789 takes the check digit 3 (69 FR 3434, second-hand)."""
    assert read_npi(" 1234567893 ") == "1234567893"


@pytest.mark.parametrize("digit", [digit for digit in "0123456789" if digit != "3"])
def test_every_other_check_digit_is_refused(digit: str) -> None:
    """Only one of ten digits fits."""
    with pytest.raises(RefusedError, match="check digit"):
        read_npi(f"123456789{digit}")


@pytest.mark.parametrize("typed", ["", "123456789", "12345678933", "3234567893", "123456789X", "1234 567893"])
def test_what_is_no_provider_number_is_refused(typed: str) -> None:
    """Ten digits that begin with 1 or 2."""
    with pytest.raises(RefusedError, match="ten digits"):
        read_npi(typed)


@given(st.sampled_from("12"), st.text("0123456789", min_size=8, max_size=8), st.integers(0, 8))
def test_one_check_digit_fits_and_a_mistyped_digit_is_caught(first: str, rest: str, place: int) -> None:
    """The constant-24 form of the rule finds the digit; changing any one digit breaks it."""
    # The other published way to the same digit: Luhn over the nine digits, plus 24 for the prefix 80840.
    nine = first + rest
    doubled = [int(digit) * (2 if at % 2 == 0 else 1) for at, digit in enumerate(reversed(nine))]
    check = -(24 + sum(sum(map(int, str(value))) for value in doubled)) % 10
    number = f"{nine}{check}"
    assert read_npi(number) == number
    slipped = f"{number[: place + 1]}{(int(number[place + 1]) + 1) % 10}{number[place + 2 :]}"
    with pytest.raises(RefusedError):
        read_npi(slipped)


def test_a_state_is_its_two_letters() -> None:
    """Small letters are taken; a name or an unknown code is refused."""
    assert read_state(" oh ") == "OH"
    for typed in ("", "Ohio", "ZZ"):
        with pytest.raises(RefusedError, match="two-letter"):
            read_state(typed)


def test_all_states_the_district_and_the_territories_are_known() -> None:
    """Fifty states, DC, and five territories."""
    assert len(STATES) == 56
    assert {"DC", "PR", "GU", "VI", "AS", "MP"} <= STATES


@pytest.mark.parametrize("typed", ["00501", "44000", "44000-0123", " 44000 "])
def test_a_zip_code_keeps_its_zeros(typed: str) -> None:
    """A ZIP code is text of five or nine digits."""
    assert read_postcode(typed) == typed.strip()


@pytest.mark.parametrize("typed", ["", "501", "440000", "44000-12", "4400O", "44000 0123", "٤٤٠٠٠"])
def test_what_is_no_zip_code_is_refused(typed: str) -> None:
    """Other lengths and letters are refused with the two forms."""
    with pytest.raises(RefusedError, match="12345 or 12345-6789"):
        read_postcode(typed)


@pytest.mark.parametrize("typed", ["555-0142", "(212) 555-0142 ext. 4", "+1 212 555 0142", "", "  "])
def test_a_phone_number_is_kept_as_it_was_written(typed: str) -> None:
    """Seven digits are enough, and none is asked for where there may be no number."""
    assert read_phone(typed) == typed.strip()


@pytest.mark.parametrize("typed", ["abc", "555-01", "ask Ada", "-"])
def test_what_is_no_phone_number_is_refused(typed: str) -> None:
    """One that the ledger holds already goes on being read."""
    with pytest.raises(RefusedError, match="at least 7 digits"):
        read_phone(typed)
    with as_kept():
        assert read_phone(typed) == typed
    with pytest.raises(RefusedError, match="empty"):
        read_phone(" ", required=True)


@pytest.mark.parametrize("typed", ["ada@example.com", "a.b+c@mail.example.com", "josé@exämple.org", ""])
def test_a_mail_address_has_a_name_and_a_domain(typed: str) -> None:
    """It is kept as it was written."""
    assert read_email(typed) == typed


@pytest.mark.parametrize("typed", ["ada", "ada@", "@example.com", "ada@example", "a b@example.com", "a@b@example.com"])
def test_what_is_no_mail_address_is_refused(typed: str) -> None:
    """With one like it; what the ledger holds already goes on being read."""
    with pytest.raises(RefusedError, match=r"Type it like ada@example\.com"):
        read_email(typed)
    with as_kept():
        assert read_email(typed) == typed
