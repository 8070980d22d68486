"""Days as they are typed."""

from __future__ import annotations

import re
from datetime import date

from shopledger.errors import RefusedError

_ISO = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})")
_US = re.compile(r"([0-9]{2})/([0-9]{2})/([0-9]{4})")


def read_day(text: str, field: str = "day") -> date:
    """Read a day as `2026-03-02` or `03/02/2026` (month first); any other form could mean two days and is refused."""
    typed = text.strip()
    allowed = "a day is year-month-day or month/day/year with all digits, as in 2026-03-02 or 03/02/2026"
    if iso := _ISO.fullmatch(typed):
        year, month, day = map(int, iso.groups())
    elif us := _US.fullmatch(typed):
        month, day, year = map(int, us.groups())
    else:
        raise RefusedError(field, f"'{typed}'", allowed, "Type it so.")
    try:
        found = date(year, month, day)
    except ValueError:
        raise RefusedError(field, f"'{typed}'", "there is no such day", "Look at the calendar.") from None
    from shopledger.ledger.limits import hold_day

    return hold_day(field, found)
