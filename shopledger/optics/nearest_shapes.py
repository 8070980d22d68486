"""The nearest of many shapes, with the answer of laying every one on the wanted one, and a fraction of the work.

Every shape is gauged first, many at once. Then the caller hands over shapes in the order of their bounds, until the
next bound lies beyond the farthest of the best that were found. A shape handed over is laid on the wanted one only if
its ranked radii do not keep it out.
"""

from __future__ import annotations

from bisect import insort
from collections.abc import Sequence
from dataclasses import dataclass, field
from math import inf

import numpy as np

from shopledger.optics.alignment import Alignment, Seen, align_seen, seen_from_middle
from shopledger.optics.refusals import TraceError
from shopledger.optics.shape_bounds import Gauges, Ranked, gauge_gaps, gauges, ranked, ranked_gap
from shopledger.optics.trace import TIE, Trace


@dataclass(frozen=True, slots=True)
class Near:
    """A shape under its key, and how it lies on the wanted one."""

    key: int
    alignment: Alignment


@dataclass(slots=True)
class NearestShapes:
    """A search for the shapes nearest to the wanted one; equally near ones stand in the order of their keys.

    Two are equally near where they are so to a millionth of a millimetre.

    A shape that cannot be seen whole from the middle of its area is passed over; a wanted one is refused.
    """

    wanted: Trace
    limit: int
    count: int = 1000
    laid: int = 0
    """How many shapes were laid on the wanted one, for those who measure."""
    _best: list[tuple[float, int, Alignment]] = field(default_factory=list, init=False)
    _seen: Seen = field(init=False)
    _ranked: Ranked = field(init=False)
    _gauges: Gauges = field(init=False)

    def __post_init__(self) -> None:
        """Look at the wanted shape once."""
        self._seen = seen_from_middle(self.wanted, self.count)
        self._ranked = ranked(self._seen)
        self._gauges = gauges(self.wanted.radii[None], self.count)

    def bounds(self, written: Sequence[str]) -> list[float]:
        """Give for each of many shapes how far away it must at least be; infinite for one to pass over.

        A shape is written as the whole hundredths of its radii, parted by blanks. A few dozen at once are quickest.
        """
        rows = [np.fromstring(text, dtype=np.int32, sep=" ") for text in written]
        bounds = np.full(len(rows), inf)
        for count in {len(row) for row in rows}:
            places = [place for place, row in enumerate(rows) if len(row) == count]
            together = np.array([rows[place] for place in places]) / 100
            bounds[places] = gauge_gaps(self._gauges, gauges(together, self.count))
        found: list[float] = bounds.tolist()
        return found

    @property
    def reach(self) -> float:
        """How near a shape must be to come among the found ones; infinite until there are enough."""
        return self._best[-1][0] + TIE if len(self._best) == self.limit else inf

    def offer(self, key: int, trace: Trace) -> None:
        """Take a shape among the found ones if it is near enough."""
        try:
            seen = seen_from_middle(trace, self.count)
        except TraceError:
            return
        if ranked_gap(self._ranked, ranked(seen)) > self.reach:
            return
        self.laid += 1
        alignment = align_seen(self._seen, seen)
        insort(self._best, (round(alignment.worst, 6), key, alignment), key=lambda each: each[:2])
        del self._best[self.limit :]

    @property
    def found(self) -> tuple[Near, ...]:
        """The nearest shapes so far, nearest first."""
        return tuple(Near(key, alignment) for _, key, alignment in self._best)
