"""How near a state's limit is: by the nearer figure where either is enough, by the farther where both count."""

from __future__ import annotations

from datetime import date

import pytest

from shopledger.errors import RefusedError
from shopledger.ledger.nexus import NexusLimit, NexusRow, Standing

DAY = date(2026, 1, 1)


@pytest.mark.parametrize(
    ("orders", "net", "limit_sales", "limit_orders", "both", "share", "standing"),
    [
        (10, 50_000, None, None, False, None, Standing.UNSET),
        (10, 50_000, 100_000, 200, False, 500_000, Standing.BELOW),
        (10, 79_999, 100_000, None, False, 799_990, Standing.BELOW),
        (10, 80_000, 100_000, None, False, 800_000, Standing.NEAR),
        (160, 50_000, 100_000, 200, False, 800_000, Standing.NEAR),
        (200, 50_000, 100_000, 200, False, 1_000_000, Standing.REACHED),
        (200, 50_000, 100_000, 200, True, 500_000, Standing.BELOW),
        (200, 100_000, 100_000, 200, True, 1_000_000, Standing.REACHED),
        (0, -500, 100_000, None, False, 0, Standing.BELOW),
        (1, 99_999_999, 100_000_000, None, False, 1_000_000, Standing.NEAR),
    ],
)
def test_a_year_stands_to_its_limit(
    orders: int, net: int, limit_sales: int | None, limit_orders: int | None, both: bool, share: int | None,
    standing: Standing,
) -> None:  # fmt: skip
    """Near from 80 % on (common practice, no source); reached only by the whole of it, however it is rounded."""
    row = NexusRow("VT", orders, net + 700, 700, limit_sales, limit_orders, both)
    assert (row.net, row.share, row.standing) == (net, share, standing)


@pytest.mark.parametrize(
    ("state", "sales", "orders", "both", "said"),
    [
        ("Vermont", 100, None, False, "state"),
        ("VT", 0, None, False, "must be more than 0"),
        ("VT", None, -1, False, "must be more than 0"),
        ("VT", 100, None, True, "both need limits of sales and of orders"),
    ],
)
def test_a_limit_without_sense_is_refused(
    state: str, sales: int | None, orders: int | None, both: bool, said: str
) -> None:
    """A state is a code, a limit lies above zero, and both means that there are two."""
    with pytest.raises(RefusedError, match=said):
        NexusLimit(state, DAY, sales, orders, both)
