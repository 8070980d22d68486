"""What nobody at the bench or in the lab may miss: each fact is one strip, white on black, under the head of a paper.

A new kind is a member of `StripKind`, its rule in `_RULES`, and its words in the templates of the papers that show it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from enum import Enum
from types import MappingProxyType
from typing import Final, NamedTuple, TypeAlias

from shopledger.optics.lengths import worked_out
from shopledger.optics.pair_checks import THICK
from shopledger.optics.sides import Side


class StripKind(Enum):
    """A kind of strip; its value is the key of its words."""

    REMAKE = "remake"
    OWN_FRAME = "own_frame"
    ONE_LENS = "one_lens"
    PRISM = "prism"
    THICK_EDGE = "thick_edge"


ON_JOB_SHEET: Final = tuple(StripKind)
ON_LENS_ORDER: Final = (StripKind.REMAKE, StripKind.ONE_LENS, StripKind.PRISM)
"""What concerns who makes the lenses; the frame stays here, and how thick they come out is the shop's question."""
ON_REORDER: Final = (StripKind.OWN_FRAME, StripKind.ONE_LENS, StripKind.PRISM, StripKind.THICK_EDGE)


@dataclass(frozen=True, slots=True)
class LensSaid:
    """What a strip says of one lens."""

    side: Side
    said: str = ""


@dataclass(frozen=True, slots=True)
class Strip:
    """One fact: its kind, of which lenses, and what else is said; no lens where it is about none."""

    kind: StripKind
    lenses: tuple[LensSaid, ...] = ()
    said: tuple[str, ...] = ()


class Remade(NamedTuple):
    """That lenses are made again: which, and what is known of it."""

    lenses: tuple[Side, ...]
    said: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class StripFacts:
    """What the strips of a paper are made from; what a paper does not know or does not show stays as it is here."""

    made: tuple[Side, ...] = tuple(Side)
    """For which eyes a lens is made."""
    remade: Remade | None = None
    own_frame: bool = False
    """Whether the frame is the customer's own."""
    prism: Mapping[Side, str] = field(default_factory=dict)
    """Prescribed prism of each lens in words."""
    thickest: Mapping[Side, float] = field(default_factory=dict)
    """The thickest edge of each lens. [mm]"""


_Rule: TypeAlias = Callable[[StripFacts], Strip | None]


def _remake(facts: StripFacts) -> Strip | None:
    """Say that lenses are made again, which, and why."""
    if facts.remade is None:
        return None
    return Strip(StripKind.REMAKE, tuple(map(LensSaid, facts.remade.lenses)), facts.remade.said)


def _own_frame(facts: StripFacts) -> Strip | None:
    """Say that there is no second frame like it."""
    return Strip(StripKind.OWN_FRAME) if facts.own_frame else None


def _one_lens(facts: StripFacts) -> Strip | None:
    """Say which lens is the only one that is made."""
    return Strip(StripKind.ONE_LENS, tuple(map(LensSaid, facts.made))) if len(facts.made) == 1 else None


def _prism(facts: StripFacts) -> Strip | None:
    """Say which lens has prism, and how much."""
    found = tuple(LensSaid(side, facts.prism[side]) for side in facts.made if facts.prism.get(side))
    return Strip(StripKind.PRISM, found) if found else None


def _thick_edge(facts: StripFacts) -> Strip | None:
    """Say which lens comes out thick at its edge, from the thickness on that the checks ask about."""
    thick = {side: facts.thickest[side] for side in facts.made if facts.thickest.get(side, 0.0) >= THICK}
    found = tuple(LensSaid(side, f"{worked_out(thickest)} mm") for side, thickest in thick.items())
    return Strip(StripKind.THICK_EDGE, found) if found else None


_RULES: Final[Mapping[StripKind, _Rule]] = MappingProxyType(
    {
        StripKind.REMAKE: _remake,
        StripKind.OWN_FRAME: _own_frame,
        StripKind.ONE_LENS: _one_lens,
        StripKind.PRISM: _prism,
        StripKind.THICK_EDGE: _thick_edge,
    }
)


def strips_of(facts: StripFacts, kinds: tuple[StripKind, ...]) -> tuple[Strip, ...]:
    """Give the strips of a paper that shows these kinds, in their order."""
    found = (_RULES[kind](facts) for kind in kinds)
    return tuple(strip for strip in found if strip is not None)
