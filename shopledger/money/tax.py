"""Sales tax on the lines of an order, rounded on each line or once for the order, as the owner's state asks.

Which rate applies to which line is the owner's setting; here it is only worked out exactly.
"""

from __future__ import annotations

import enum
from collections.abc import Sequence

from shopledger.money.amount import Cents
from shopledger.money.rate import WHOLE, Rate, round_half_away
from shopledger.money.split import share_rounded


class TaxRounding(enum.Enum):
    """Where the tax is rounded to whole cents."""

    PER_LINE = "line"
    PER_ORDER = "order"


def tax_on_lines(nets: Sequence[tuple[Cents, Rate]], rounding: TaxRounding) -> tuple[Cents, ...]:
    """Give the tax of each line, from its net charge and its rate.

    Per order, the exact taxes are summed, the sum is rounded once, and that sum is shared over the lines by the
    largest remainder of each line's exact tax; so the lines add up to what the order owes.
    """
    return rounded_taxes([net * rate for net, rate in nets], WHOLE, rounding)


def rounded_taxes(exact: Sequence[int], whole: int, rounding: TaxRounding) -> tuple[Cents, ...]:
    """Round taxes that are known exactly, as whole numbers of which `whole` are a cent."""
    if rounding is TaxRounding.PER_LINE:
        return tuple(round_half_away(tax, whole) for tax in exact)
    return share_rounded(exact, whole, round_half_away(sum(exact), whole))
