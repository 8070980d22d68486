"""The table of codes: what is in it, what is not, and how a typed code is found."""

from __future__ import annotations

import re

import pytest

from shopledger.errors import RefusedError
from shopledger.ledger.claims.code_table import CODES, RELEASE, RELEASE_CAUTION, CodeGroup, codes_in, find_code

# Typed from CMS HCPCS Level II, October 2025: the spectacle codes whose long descriptor does not say "per lens".
NOT_PER_LENS = "V2020 V2025 V2118 V2199 V2219 V2220 V2299 V2318 V2319 V2320 V2399 V2499 V2702 V2756 V2797 V2799"
# The same source: how many codes of each kind there are, 89 in all.
COUNTS = {
    CodeGroup.FRAME: 2,
    CodeGroup.SINGLE_VISION: 19,
    CodeGroup.BIFOCAL: 21,
    CodeGroup.TRIFOCAL: 21,
    CodeGroup.ASPHERICITY: 3,
    CodeGroup.OPTION: 23,
}


def test_the_table_holds_the_published_number_of_codes() -> None:
    """Eighty-nine spectacle codes, each in its kind."""
    assert {group: len(list(codes_in(group))) for group in CodeGroup} == COUNTS
    assert len(CODES) == 89


def test_codes_are_counted_per_lens_where_the_text_says_so() -> None:
    """The published text says "per lens" or does not; the flag repeats that."""
    assert [row.code for row in CODES.values() if not row.per_lens] == NOT_PER_LENS.split()


def test_every_code_has_its_form_and_short_words() -> None:
    """V and four digits, in order, each described in one short line of its own."""
    assert list(CODES) == sorted(CODES)
    assert all(re.fullmatch(r"V2[0-9]{3}", code) for code in CODES)
    words = [row.description for row in CODES.values()]
    assert all(0 < len(each) <= 80 for each in words)
    assert len(set(words)) == len(words)


@pytest.mark.parametrize("code", ["V2500", "V2526", "V2600", "V2623", "V2785", "92340"])
def test_codes_of_other_trades_are_not_in_the_table(code: str) -> None:
    """Contact lenses, low vision, prostheses and services are not this shop's."""
    with pytest.raises(RefusedError, match=f"'{code}'"):
        find_code(code)


def test_a_code_is_found_as_typed() -> None:
    """Small letters and blanks around do not matter."""
    assert find_code(" v2103 ").code == "V2103"


def test_an_unknown_code_names_the_nearest() -> None:
    """A slip of one digit suggests what may have been meant."""
    with pytest.raises(RefusedError, match=r"Did you mean .*V2750"):
        find_code("V275O")
    with pytest.raises(RefusedError, match="Type a code such as V2103"):
        find_code("??")


def test_the_release_says_how_old_the_table_is() -> None:
    """The release is named, and so is the one that was not read."""
    assert RELEASE == "CMS HCPCS Level II, October 2025"
    assert "October 2026 release was not read" in RELEASE_CAUTION
