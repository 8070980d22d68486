"""The power bands of the lens codes, in hundredths of a dioptre as the published text prints them.

The text prints an odd eighth with two decimals (.12, .37, .62, .87); .12, .125 and .13 are the same eighth. Apart from
that no power is moved: what lies between two bands lies in none, and what lies in two gets both.
Bands look at the size of sphere and cylinder alone, not at their signs, and never at the add.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from shopledger.ledger.claims.code_table import CodeGroup


@dataclass(frozen=True, slots=True)
class Span:
    """From `low` to `high`, both included, in hundredths of a dioptre; without `high` everything above `low`."""

    low: int
    high: int | None = None

    def holds(self, hundredths: Decimal) -> bool:
        """Tell whether a power lies inside."""
        return hundredths > self.low if self.high is None else self.low <= hundredths <= self.high


@dataclass(frozen=True, slots=True)
class Band:
    """One code's band; a band without a cylinder is for spheres only."""

    code: str
    sphere: Span
    cylinder: Span | None

    def holds(self, sphere: Decimal, cylinder: Decimal) -> bool:
        """Tell whether a power, both sizes in hundredths, lies inside."""
        fits = not cylinder if self.cylinder is None else cylinder > 0 and self.cylinder.holds(cylinder)
        return fits and self.sphere.holds(sphere)


_TO_4, _TO_7, _TO_12 = Span(0, 400), Span(425, 700), Span(725, 1200)
_TO_2, _2_TO_4, _4_TO_6, _OVER_6 = Span(12, 200), Span(212, 400), Span(425, 600), Span(600)
_ANY: Final = Span(0)

_ROWS: Final = (
    ("00", Span(0, 400), None),
    ("01", Span(412, 700), None),
    ("02", Span(712, 2000), None),
    ("03", _TO_4, _TO_2),
    ("04", _TO_4, _2_TO_4),
    ("05", _TO_4, _4_TO_6),
    ("06", _TO_4, _OVER_6),
    ("07", _TO_7, _TO_2),
    ("08", _TO_7, _2_TO_4),
    ("09", _TO_7, _4_TO_6),
    ("10", _TO_7, _OVER_6),
    ("11", _TO_12, Span(25, 225)),
    ("12", _TO_12, Span(225, 400)),
    ("13", _TO_12, _4_TO_6),
    ("14", Span(1200), _ANY),
)
"""End of the code, sphere, cylinder: alike for all three kinds of lens but for the one below."""

# The trifocal text alone begins this band at 2.25.
_UNLIKE: Final = {"V2304": Span(225, 400)}

_STEMS: Final = {CodeGroup.SINGLE_VISION: "V21", CodeGroup.BIFOCAL: "V22", CodeGroup.TRIFOCAL: "V23"}

BANDS: Final = {
    group: tuple(Band(stem + end, sphere, _UNLIKE.get(stem + end, cylinder)) for end, sphere, cylinder in _ROWS)
    for group, stem in _STEMS.items()
}
"""The fifteen bands of each kind of lens."""


def bands_for(group: CodeGroup, sphere: float, cylinder: float) -> tuple[Band, ...]:
    """Give every band that holds a power in dioptres: usually one, in a gap none, in the overlap two."""
    sizes = hundredths(sphere), hundredths(cylinder)
    return tuple(band for band in BANDS[group] if band.holds(*sizes))


def hundredths(power: float) -> Decimal:
    """Give the size of a power in hundredths of a dioptre, an odd eighth as it is printed: 4.125 and 4.13 give 412."""
    # Six more decimals are kept: a sum of floats is wrong far behind them, and no power is meant so finely.
    size = round(Decimal(abs(power)) * 100, 6)
    quarters, rest = divmod(size, 25)
    odd_eighth = rest in {Decimal(12), Decimal("12.5"), Decimal(13)}
    return quarters * 25 + 12 if odd_eighth else size
