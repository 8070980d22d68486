"""Trade units to whole numbers and back: what is typed with two decimals is stored exactly or refused."""

from __future__ import annotations

from datetime import date
from typing import Final, overload

from shopledger.store.refusals import PrecisionError

HUNDREDTHS: Final = 2
THOUSANDTHS: Final = 3
TEN_THOUSANDTHS: Final = 4
MILLIONTHS: Final = 6

_QUARTER: Final = 25
_CUT_EIGHTH: Final = 12
_NOISE: Final = 1e-4
"""What sums of floats may leave behind, in units of the last place kept."""


@overload
def whole(name: str, value: float, places: int) -> int: ...
@overload
def whole(name: str, value: float | None, places: int) -> int | None: ...
def whole(name: str, value: float | None, places: int) -> int | None:
    """Give the value in whole units of its last place, or refuse one that has more places."""
    if value is None:
        return None
    nearest = rounded(value, places)
    if abs(value * 10**places - nearest) > _NOISE:
        raise PrecisionError(name, value, places)
    return nearest


@overload
def rounded(value: float, places: int) -> int: ...
@overload
def rounded(value: float | None, places: int) -> int | None: ...
def rounded(value: float | None, places: int) -> int | None:
    """Give the value in whole units, rounded: for figures that were worked out or measured finer than is kept."""
    return None if value is None else round(value * 10**places)


@overload
def parted(stored: int, places: int) -> float: ...
@overload
def parted(stored: int | None, places: int) -> float | None: ...
def parted(stored: int | None, places: int) -> float | None:
    """Give the value back: the float that the written decimal number stands for."""
    return None if stored is None else stored / 10**places


def whole_power(name: str, value: float | None) -> int | None:
    """Give a power as written, in hundredths, or refuse one that is neither in hundredths nor an eighth."""
    return written_power(value) if value is not None and value * 8 % 2 == 1 else whole(name, value, HUNDREDTHS)


@overload
def written_power(value: float) -> int: ...
@overload
def written_power(value: float | None) -> int | None: ...
def written_power(value: float | None) -> int | None:
    """Give a power as written, in hundredths: an odd eighth is cut as the trade writes it, 2.375 as 2.37."""
    if value is not None and value * 8 % 2 == 1:
        return int(value * 100)
    return rounded(value, HUNDREDTHS)


@overload
def parted_power(stored: int) -> float: ...
@overload
def parted_power(stored: int | None) -> float | None: ...
def parted_power(stored: int | None) -> float | None:
    """Give a written power back: hundredths that end as a cut eighth does are that eighth."""
    if stored is None or abs(stored) % _QUARTER != _CUT_EIGHTH:
        return parted(stored, HUNDREDTHS)
    return (stored + (0.5 if stored > 0 else -0.5)) / 100


@overload
def day_text(day: date) -> str: ...
@overload
def day_text(day: date | None) -> str | None: ...
def day_text(day: date | None) -> str | None:
    """Give a day as it is stored."""
    return None if day is None else day.isoformat()


@overload
def read_day(stored: str) -> date: ...
@overload
def read_day(stored: str | None) -> date | None: ...
def read_day(stored: str | None) -> date | None:
    """Give a stored day back."""
    return None if stored is None else date.fromisoformat(stored)
