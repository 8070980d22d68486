"""Sales tax rates as the owner set them: which holds on a day, and none where none was set."""

from __future__ import annotations

from datetime import date

import pytest

from shopledger.errors import RefusedError
from shopledger.ledger.catalogue import TaxCategory
from shopledger.ledger.taxes import Destination, TaxRate, rate_on

ACCESSORY, SHIPPING = TaxCategory.ACCESSORY, TaxCategory.SHIPPING
RATES = (
    TaxRate("oh", ACCESSORY, 72_500, date(2026, 1, 1)),
    TaxRate("OH", ACCESSORY, 70_000, date(2020, 1, 1)),
    TaxRate("OH", SHIPPING, 0, date(2020, 1, 1)),
    TaxRate("PA", ACCESSORY, 60_000, date(2020, 1, 1)),
)


@pytest.mark.parametrize(
    ("state", "category", "day", "rate"),
    [
        ("OH", ACCESSORY, date(2025, 12, 31), 70_000),
        ("OH", ACCESSORY, date(2026, 1, 1), 72_500),
        ("OH", SHIPPING, date(2026, 1, 1), 0),
        ("PA", ACCESSORY, date(2026, 1, 1), 60_000),
        ("OH", ACCESSORY, date(2019, 12, 31), None),
        ("PA", SHIPPING, date(2026, 1, 1), None),
        ("NY", ACCESSORY, date(2026, 1, 1), None),
    ],
)
def test_the_newest_rate_that_has_begun_holds(state: str, category: TaxCategory, day: date, rate: int | None) -> None:
    """By state, category and day; a rate of 0 is a rate, and where none is set nothing is assumed."""
    assert rate_on(RATES, Destination(state), category, day) == rate


@pytest.mark.parametrize("rate", [-1, 300_001])
def test_a_rate_lies_from_0_to_30_per_cent(rate: int) -> None:
    """Both limits are rates; beyond is a slip."""
    assert TaxRate("OH", ACCESSORY, 300_000, date(2026, 1, 1)).rate == 300_000
    with pytest.raises(RefusedError, match="from 0 to 30 %"):
        TaxRate("OH", ACCESSORY, rate, date(2026, 1, 1))


def test_a_rate_belongs_to_a_state() -> None:
    """An unknown state is refused."""
    with pytest.raises(RefusedError, match="two-letter"):
        TaxRate("Ohio", ACCESSORY, 0, date(2026, 1, 1))


def test_only_what_is_not_taxed_has_a_reason() -> None:
    """A reason beside a rate is refused; white space in it is evened out."""
    assert (
        TaxRate("OH", ACCESSORY, 0, date(2026, 1, 1), exempt_reason=" made  to order ").exempt_reason == "made to order"
    )
    with pytest.raises(RefusedError, match="only what is not taxed has one"):
        TaxRate("OH", ACCESSORY, 1, date(2026, 1, 1), exempt_reason="made to order")
