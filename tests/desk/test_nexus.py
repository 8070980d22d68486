"""States watched: orders and sales of a year beside the limit that held on its last day, on both databases."""

from __future__ import annotations

from datetime import date

import pytest

from shopledger.desk.books.reports import set_state_limit, states_watched
from shopledger.desk.context import Desk
from shopledger.errors import RefusedError
from shopledger.ledger.books.period import Period
from shopledger.ledger.nexus import NexusLimit, Standing
from tests.desk.books import on_both
from tests.desk.busy_year import busy_year
from tests.desk.family import Past, later

pytestmark = pytest.mark.slow

YEAR = Period.of_year(2026)


@pytest.fixture(scope="module")
def past() -> Past:
    """Trade for a busy year."""
    return busy_year


@on_both
def test_each_state_stands_beside_the_limit_of_the_year_s_last_day(desk: Desk) -> None:
    """A limit holds from its day on until a later one; one without figures ends the watch; one is never changed."""
    there = later(desk, date(2027, 2, 10))
    assert {row.standing for row in states_watched(there, YEAR)} == {Standing.UNSET}
    set_state_limit(there, NexusLimit("VT", date(2026, 1, 1), 1_000_000, 200))
    set_state_limit(there, NexusLimit("VT", date(2026, 7, 1), None, 1))
    set_state_limit(there, NexusLimit("VT", date(2027, 1, 1)))
    rows = {row.state: row for row in states_watched(there, YEAR)}
    assert (rows["VT"].limit_sales, rows["VT"].limit_orders) == (None, 1)
    assert rows["VT"].standing is Standing.REACHED
    assert rows["OH"].standing is Standing.UNSET
    assert {row.standing for row in states_watched(there, Period.of_year(2027))} == {Standing.UNSET}
    with pytest.raises(RefusedError, match="there is one from that day on"):
        set_state_limit(there, NexusLimit("VT", date(2026, 7, 1), 500, None))
