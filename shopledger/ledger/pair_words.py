"""A pair in words, as papers name it: which lenses, what they are made for, in which frame."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Final

from shopledger.errors import RefusedError
from shopledger.ledger.orders import Making, Order, Pair
from shopledger.optics.prescription import LensUse
from shopledger.optics.sides import Side

_BETWEEN_NAMES: Final = " + "


def names_in_a_row(names: Iterable[str]) -> str:
    """Put names of goods behind one another, so that a comma inside one does not make two of it.

    A name that holds the sign between them itself stands in quotation marks.
    """
    return _BETWEEN_NAMES.join(f"“{name}”" if _BETWEEN_NAMES in name else name for name in names)


def pair_words(pair: Pair, lenses: Mapping[str, str], frame: str) -> str:
    """Give a pair in words, without powers, from the names of its lenses by code and the description of its frame."""
    return f"{lens_words(pair, lenses)}{made_for(pair)} in {frame}"


def lens_words(pair: Pair, lenses: Mapping[str, str]) -> str:
    """Name the lenses that are made: one name for both, or one for each."""
    names = {side: lenses[pair.lens_of(side)] for side in pair.sides}
    if len(names) == 1:
        ((side, name),) = names.items()
        return f"{name}, {side.value} lens only"
    if len(set(names.values())) == 1:
        return names[Side.RIGHT]
    return names_in_a_row(f"{side.value}: {name}" for side, name in names.items())


def made_for(pair: Pair) -> str:
    """Say what single vision lenses are for where it is not the distance: they then differ from the prescription."""
    if pair.made is None:
        return ", without prescription"
    return {LensUse.READING: ", for reading", LensUse.SCREEN: ", for a screen"}.get(pair.use, "")


def not_made(pair: Pair, side: Side) -> str:
    """Say why an eye gets no lens; empty where it gets one."""
    return {Making.NEW: "", Making.KEPT: "not made: the old lens stays", Making.NONE: "no lens"}[pair.own(side).making]


def overtaken(order: Order, pair: Pair) -> str:
    """Say which job is made in the place of a pair's, or that it was taken out; empty where it stands."""
    after = order.next_pair(pair)
    if pair.taken_out_by is not None:
        return f"it was taken out of order {order.number}"
    if after is None or after.again is None:
        return ""
    return f"job {after.job_number} took its place on {after.again.day.isoformat()} ({after.again.cause.value})"


def refuse_overtaken(order: Order, pair: Pair, what: str) -> None:
    """Refuse what is done for a job in whose place another is made, or that was taken out of its order."""
    after, said = order.next_pair(pair), overtaken(order, pair)
    if said:
        go_on = f"Look with 'shopledger sale show {order.number}'."
        if after is not None:
            go_on = f"Go on with that one: 'shopledger job show {after.job_number}'."
        raise RefusedError(what, f"for job {pair.job_number}", said, go_on)
