"""That a job is made again, in short for a strip and in sentences: which lenses, why, and in the place of which job."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from shopledger.ledger.again import MADE_AGAIN, Again
from shopledger.ledger.inspections import Remake, Scrap
from shopledger.ledger.orders import Pair
from shopledger.ledger.papers.strips import Remade
from shopledger.ledger.parties import Wearer
from shopledger.ledger.text import nameless
from shopledger.optics.sides import Side

_SCRAPPED: Final[Mapping[Scrap, tuple[tuple[Side, ...], str]]] = MappingProxyType(
    {
        Scrap.BOTH: (tuple(Side), ""),
        Scrap.RIGHT: ((Side.RIGHT,), "the left one is done"),
        Scrap.LEFT: ((Side.LEFT,), "the right one is done"),
        Scrap.NONE: ((), "with the lenses that are there"),
    }
)
"""Which lenses are made again, and what of the others."""


def remade_in_place(pair: Pair) -> Again | None:
    """Give in whose place a job is made again; a correction of what was entered is no remake."""
    return pair.again if pair.again is not None and pair.again.cause in MADE_AGAIN else None


@dataclass(frozen=True, slots=True)
class MadeAgain:
    """What is known of a job that is made again; of the wearer nothing is said but initials."""

    pair: Pair
    wearer: Wearer
    remake: Remake | None
    """Within the job, not yet inspected anew."""
    remakes: int
    """How often that happened to the job."""

    @property
    def remade(self) -> Remade | None:
        """Which lenses are made again, and why, in short; None where none is."""
        again = remade_in_place(self.pair)
        before = () if again is None else (_place(again), self._reason(again))
        if self.remake is None:
            return Remade(self.pair.sides, tuple(filter(None, before))) if again else None
        lenses, others = _SCRAPPED[self.remake.scrap]
        made = tuple(side for side in lenses if side in self.pair.sides)
        alone = made == self.pair.sides
        count = f"remake {self.remakes} of this job" if self.remakes > 1 else ""
        said = ("" if alone else others, count, self._reason(self.remake), *before)
        return Remade(made, tuple(filter(None, said)))

    def sentences(self) -> Iterator[str]:
        """Say the same in sentences."""
        again = remade_in_place(self.pair)
        if again is not None:
            yield self._sentence(again)
        if self.remake is not None:
            lenses, others = _SCRAPPED[self.remake.scrap]
            which = (
                "both lenses" if len(lenses) > 1 else "".join(f"the {side.value.upper()} lens only" for side in lenses)
            )
            yield f"Made again, {'; '.join(filter(None, (which, others)))}: {self._reason(self.remake)}."

    def corrected(self) -> Iterator[str]:
        """Say that the job is in the place of one that was put right or exchanged: nothing was made yet."""
        if self.pair.again is not None and remade_in_place(self.pair) is None:
            yield self._sentence(self.pair.again)

    def _sentence(self, again: Again) -> str:
        return f"{': '.join(filter(None, (_place(again).capitalize(), self._reason(again))))}."

    def _reason(self, why: Again | Remake) -> str:
        return nameless(why.reason, self.wearer.name, self.wearer.printed_name).rstrip(".")


def _place(again: Again) -> str:
    return f"in the place of job {again.job}, {again.cause.value}"
