"""Which numbers are taken for a card's or a social security number, and which ordinary texts are not."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.errors import RefusedError
from shopledger.ledger.private_numbers import CARD, SOCIAL_SECURITY, luhn_remainder, private_number
from shopledger.ledger.text import as_kept, clean_text, kept_reference, read_code

# Numbers that payment processors publish for trying things out; no account stands behind any of them.
CARDS = (
    "4111111111111111",
    "4222222222222",
    "5555555555554444",
    "2223003122003222",
    "378282246310005",
    "6011111111111117",
    "3566002020360505",
    "30569309025904",
    "6759649826438453",
    "4111 1111 1111 1111",
    "4111-1111-1111-1111",
    "4111.1111.1111.1111",
    "4111 - 1111 - 1111 - 1111",
    "4111\N{NO-BREAK SPACE}1111\N{EN DASH}1111\N{NON-BREAKING HYPHEN}1111",
    "41111 11111 11111 1",
    "41 11 11 11 11 11 11 11",
    "4 1 1 1 1 1 1 1 1 1 1 1 1 1 1 1",
    "3782 822463 10005",
    "3056 930902 5904",
    "paid with 4111111111111111, call back",
    "x4111111111111111y",
    "card 5555 5555 5555 4444 exp 12/28 code 123",
    "4111 1111 1111 1111 123",
    "\uff14\uff11\uff11\uff11 \uff11\uff11\uff11\uff11 \uff11\uff11\uff11\uff11 \uff11\uff11\uff11\uff11",
    "\u0664\u0661\u0661\u0661\u0661\u0661\u0661\u0661\u0661\u0661\u0661\u0661\u0661\u0661\u0661\u0661",
    "\u096a\u0967\u0967\u0967\u0967\u0967\u0967\u0967\u0967\u0967\u0967\u0967\u0967\u0967\u0967\u0967",
    "4111\u200c1111\u200d1111\u200c1111",
)

# The first was printed on a sample in wallets and is not given out (Social Security Administration, history pages).
SOCIAL = (
    "078-05-1120",
    "123-45-6789",
    "123 45 6789",
    "123.45.6789",
    "123\N{EN DASH}45\N{EN DASH}6789",
    "call 123-45-6789.",
    "SSN 123456789",
    "ssn:123 456 789",
    "S.S.N. 123456789",
    "SS# 123456789",
    "social security number 123456789",
    "123456789 is her social",
    "soc. sec. no. 12345 6789",
    "\uff33\uff33\uff2e \uff11\uff12\uff13\uff14\uff15\uff16\uff17\uff18\uff19",
    "\u0661\u0662\u0663-\u0664\u0665-\u0666\u0667\u0668\u0669",
)

ORDINARY = (
    "555-0142",
    "(555) 010-0142",
    "555.010.0142",
    "+1 555 010 0142",
    "+1 (555) 010-0142 ext. 12",
    "1-800-555-0142",
    "15550100142",
    "0049 30 5550142",
    "555 010 0142 / 555 010 0143",
    "555 010 0142 555 010 0143",
    "555-010-0142, after six 555-010-0143",
    "home 555-0142, work 555-0143, sister 555-0144",
    "43002",
    "43002-1234",
    "12-3456789",
    "123456789",
    "1234567893",
    "NPI 1234567893, EIN 12-3456789",
    "order 1017 of 2026-03-02",
    "orders 1017 1018 1019 1020",
    "invoice 20260302-118",
    "PO 2026-00417-3",
    "TG-4471",
    "lot 4471 0021 880",
    "2026-03-02 10:30:00",
    "03/02/2026",
    "2026-03-02 2026-04-02",
    "WREN-52-18-140",
    "52-18-140 and 50-20-145",
    "blanks 65 70 75 80",
    "index 1.498 1.586 1.6 1.67 1.74",
    "-2.50 -1.25 x 090 add 2.00",
    "PD 31.5 31.0, heights 19 19.5",
    "V2203 V2103 V2020",
    "resale certificate 77-1042",
    "1Z9990001234567890",
    "9999 9999 9999 9999 9999 99",
    "9400000000000000000000",
    "092000000000000000000",
    "999999999999",
    "123456789012",
    "RB123456785ZZ",
    "000-12-3456",
    "666-12-3456",
    "900-12-3456",
    "123-00-4567",
    "123-45-0000",
    "4111111111111112",
    "1111 1111 1111 1111",
    "social media, 2026",
    "www.example.com/1017?x=2203",
    "0000000000000000",
)
"""Phones as people write them, ZIP codes, numbers of shops, orders, bills and parcels, days, sizes, powers, codes."""


@pytest.mark.parametrize("text", CARDS)
def test_a_whole_card_number_is_seen(text: str) -> None:
    """However it is grouped and in whichever digits, also in the middle of a sentence."""
    assert private_number(text) == CARD


@pytest.mark.parametrize("text", SOCIAL)
def test_a_social_security_number_is_seen(text: str) -> None:
    """By its form, or by its name beside nine digits."""
    assert private_number(text) == SOCIAL_SECURITY


@pytest.mark.parametrize("text", ORDINARY)
def test_an_ordinary_text_passes(text: str) -> None:
    """What a shop writes down every day is no private number."""
    assert private_number(text) == ""
    assert clean_text("note", text) == text


@given(st.text("0123456789", min_size=1, max_size=12))
def test_fewer_digits_than_a_card_has_are_none(digits: str) -> None:
    """An order's number, a phone number, a bar code of twelve digits are never taken for a card."""
    assert private_number(digits) == ""


@given(st.text("0123456789", min_size=15, max_size=15), st.sampled_from(["", " ", "-"]))
def test_a_slip_of_one_digit_is_no_card(digits: str, between: str) -> None:
    """Of the ten numbers that end differently exactly one can be a card's: the check digit tells."""
    start = f"4{digits[1:]}"
    grouped = [between.join((f"{start}{last}")[place : place + 4] for place in range(0, 16, 4)) for last in range(10)]
    assert [bool(private_number(text)) for text in grouped] == [
        luhn_remainder(f"{start}{last}") == 0 for last in range(10)
    ]
    assert sum(bool(private_number(text)) for text in grouped) == 1


def test_the_check_digit_is_the_published_one() -> None:
    """ISO/IEC 7812-1, annex B, example: 7992739871 has the check digit 3."""
    assert [last for last in range(10) if luhn_remainder(f"7992739871{last}") == 0] == [3]


def test_a_refusal_does_not_repeat_the_number() -> None:
    """What is refused is not written on the screen either, nor anywhere that keeps what a screen showed."""
    for text in (*CARDS, *SOCIAL):
        with pytest.raises(RefusedError) as caught:
            clean_text("note", text)
        assert sum(letter.isdigit() for letter in str(caught.value)) == 0


def test_codes_and_references_are_held_too() -> None:
    """A code of the owner's own and a reference of a payment are texts like others."""
    with pytest.raises(RefusedError, match="payment card"):
        read_code("frame", "4111-1111-1111-1111")
    with pytest.raises(RefusedError, match="social security"):
        kept_reference("payment", "check", "123-45-6789")


def test_what_was_kept_before_is_read() -> None:
    """A ledger that took such a text goes on being read, whatever it holds."""
    with as_kept():
        assert clean_text("note", "card 4111111111111111 \u202e") == "card 4111111111111111 \u202e"
    with pytest.raises(RefusedError):
        clean_text("note", "card 4111111111111111")
