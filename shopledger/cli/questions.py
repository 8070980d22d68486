"""Rounds of questions: one after another, `back` along the way that was taken; and how common answers are read."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, TypeAlias

from shopledger.cli.params import Word
from shopledger.cli.prompts import BACK, BackError, ask, tell
from shopledger.errors import RefusedError, listed
from shopledger.optics.prescription import LensUse
from shopledger.typed.measurements import measurements_of
from shopledger.typed.numbers import read_lengths

if TYPE_CHECKING:
    from shopledger.ledger.parties import Wearer
    from shopledger.optics.findings import Finding
    from shopledger.optics.measurements import Measurements

Step: TypeAlias = "Callable[[], Step | None]"
"""Asks one thing and gives what to ask next; None ends the questions."""

LEAVING = f"Type '{BACK}' to change the answer before, Ctrl-C to stop; nothing is stored before you say so at the end."
"""Said before the first question."""

_USES = Word(LensUse)
_YES_NO = {"y": True, "yes": True, "n": False, "no": False}


def read_yes(text: str) -> bool:
    """Read a yes or a no."""
    answer = _YES_NO.get(text.strip().casefold())
    if answer is None:
        raise RefusedError("answer", f"'{text}'", "it is y or n", "Type y or n.")
    return answer


def read_wearer(names: list[str], text: str) -> str:
    """Find a wearer by any part of the name that fits one only."""
    fitting = [name for name in names if text.strip().casefold() in name.casefold()]
    if len(fitting) != 1 and text.strip() not in names:
        raise RefusedError("wearer", f"'{text}'", f"it is {listed(names)}", "Type the name, or enough of it.")
    return fitting[0] if len(fitting) == 1 else text.strip()


def read_use(text: str) -> LensUse:
    """Read what single vision lenses are made for."""
    use = _USES.read(text, "use")
    if use is LensUse.MULTIFOCAL:
        raise RefusedError(
            "use", "multifocal", "single vision is for distance, reading or a screen", "Type one of them."
        )
    return use


class AgainError(Exception):
    """The answer was read, but the order cannot stand with it; the same thing is asked again."""


def walk(first: Step) -> None:
    """Ask one thing after another; `back` returns along the way that was taken."""
    path = [first]
    while True:
        try:
            following = path[-1]()
        except AgainError:
            continue
        except BackError:
            del path[max(1, len(path) - 1) :]
            continue
        if following is None:
            return
        path.append(following)


def ask_wearer(wearers: Iterable[Wearer]) -> str:
    """Ask which of a customer's wearers it is."""
    names = [wearer.name for wearer in wearers]
    if not names:
        tell("  This customer has no wearer yet: stop here and use 'shopledger wearer add'.")
        raise BackError
    usual = names[0] if len(names) == 1 else None
    return ask(f"Wearer ({listed(names)})", lambda text: read_wearer(names, text), default=usual)


def ask_pd() -> tuple[float, ...]:
    """Ask for the PD of both eyes or of each, which must be possible."""

    def read(text: str) -> tuple[float, ...]:
        pd = read_lengths(text, "PD")
        put_together(pd, (), (None, None))
        return pd

    return ask("PD, for both eyes, or right and left with a space", read)


def ask_near_pd(pd: tuple[float, ...]) -> tuple[float, ...]:
    """Ask for the near PD of a pair that is used near, which must go with its PD."""

    def read(text: str) -> tuple[float, ...]:
        near = read_lengths(text, "near PD") if text.strip() else ()
        put_together(pd, near, (None, None))
        return near

    return ask("Near PD, for both eyes or right and left (Enter for none)", read, default="")


def ask_heights(pd: tuple[float, ...], near: tuple[float, ...]) -> Measurements | None:
    """Ask for the fitting heights, and give them with the PD."""

    def read(text: str) -> Measurements | None:
        given = read_lengths(text, "fitting height") if text.strip() else (None,)
        return put_together(pd, near, (given[0], given[-1]))

    return ask("Fitting height, for both or right and left (Enter for none)", read, default="")


def put_together(
    pd: tuple[float, ...], near: tuple[float, ...], heights: tuple[float | None, float | None]
) -> Measurements | None:
    """Put measurements together, or refuse what cannot be."""
    return measurements_of(pd, near, heights)


def stop_at(findings: Iterable[Finding]) -> None:
    """Say what stops an order, and ask the same thing again."""
    stopping = [finding for finding in findings if finding.stops]
    for finding in stopping:
        tell(f"Error: {finding.sentence} [{finding.code}] Type '{BACK}' to change what was answered before.")
    if stopping:
        raise AgainError
