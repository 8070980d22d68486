"""A prescription for both eyes, and the power to make from it for distance, reading or a screen."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass, replace
from enum import Enum

from shopledger.optics.power import SphereCylinder, near_power
from shopledger.optics.prism import Prism
from shopledger.optics.refusals import IncompleteError, OutOfRangeError, within
from shopledger.optics.sides import Side

MOST_ADD = 6.0
"""The largest add that can be [D]."""


class LensUse(Enum):
    """What a pair is made for."""

    DISTANCE = "distance"
    READING = "reading"
    SCREEN = "screen"
    MULTIFOCAL = "multifocal"


@dataclass(frozen=True, slots=True)
class EyePrescription:
    """What the prescriber wrote for one eye: power, add, prism, and whether the lens only balances the other."""

    power: SphereCylinder
    add: float | None = None
    prism: tuple[Prism, ...] = ()
    balance: bool = False

    def __post_init__(self) -> None:
        """Refuse an add that cannot be, and prism that contradicts itself."""
        object.__setattr__(self, "prism", tuple(self.prism))
        if self.add is not None:
            add = within("add", self.add, 0, MOST_ADD, "D")
            if add == 0:
                raise OutOfRangeError("add", add, 0.25, MOST_ADD, "D", "Leave the add out where there is none.")
            object.__setattr__(self, "add", add)
        ways = Counter(prism.base.horizontal for prism in self.prism)
        if any(count > 1 for count in ways.values()):
            reason = "two prisms are given along the same line"
            raise IncompleteError("prism", reason, "Give at most one of in or out, and one of up or down.")

    @property
    def lacks_power(self) -> bool:
        """Whether the lens only balances the other and no power is written for it."""
        return self.balance and self.power == SphereCylinder(0.0)


@dataclass(frozen=True, slots=True)
class Prescription:
    """What the prescriber wrote for both eyes of a wearer."""

    right: EyePrescription
    left: EyePrescription

    def eye(self, side: Side) -> EyePrescription:
        """Give what is written for one eye."""
        return self.right if side is Side.RIGHT else self.left


def power_to_make(
    eye: EyePrescription, use: LensUse, screen_share: float = 0.5, intermediate: float | None = None
) -> EyePrescription:
    """Work out what the lens must be for what it is used for; nothing is rounded.

    Parameters
    ----------
    eye : EyePrescription
        As written. [D]
    use : LensUse
        Distance, reading, screen or multifocal.
    screen_share : float
        Share of the add that a screen needs, where the prescriber gave no intermediate; half is common practice. [-]
    intermediate : float, optional
        What the prescriber gave for the screen above distance. [D]

    Returns
    -------
    EyePrescription
        Power to make with the prism as written; the add stays only in a multifocal. A lens that only balances the other
        is made as written. [D]

    Raises
    ------
    IncompleteError
        If reading, a screen or a multifocal is asked for and no add is written.
    OutOfRangeError
        If the share is not from 0 to 1, or the sum is out of range.

    References
    ----------
    [opt_1156]_ unit 1, near power; [common_practice]_ for the share of a screen
    """
    share = within("screen share", screen_share, 0, 1, "")
    if use is LensUse.MULTIFOCAL:
        _needed_add(eye, use)
        return eye
    more = 0.0
    if use is LensUse.READING:
        more = _needed_add(eye, use)
    elif use is LensUse.SCREEN:
        more = (
            share * _needed_add(eye, use) if intermediate is None else within("intermediate", intermediate, 0, 6, "D")
        )
    return replace(eye, power=near_power(eye.power, 0.0 if eye.balance else more), add=None)


def balance_power(other: EyePrescription) -> SphereCylinder:
    """Propose the power of a lens that only balances the other: a sphere like the other's, on the next quarter.

    Parameters
    ----------
    other : EyePrescription
        What is made for the eye that sees. [D]

    Returns
    -------
    SphereCylinder
        A sphere, so that both lenses look and weigh alike. [D]

    References
    ----------
    [common_practice]_
    """
    return SphereCylinder(on_quarter(other.power.as_minus_cylinder().sphere))


def on_quarter(power: float, *, up: bool | None = None) -> float:
    """Give the next quarter of a dioptre: the nearest, or the one with more plus (`up`) or with less.

    Parameters
    ----------
    power : float
        Any power. [D]
    up : bool, optional
        Whether the quarter above is wanted, or the one below; without it the nearest, a tie upward.

    Returns
    -------
    float
        A multiple of 0.25. [D]

    References
    ----------
    [definition]_
    """
    steps = round(power * 4, 9)
    whole = math.floor(steps + 0.5) if up is None else math.ceil(steps) if up else math.floor(steps)
    return whole / 4 + 0.0


def _needed_add(eye: EyePrescription, use: LensUse) -> float:
    """Give the add, or say that this use cannot do without."""
    if eye.add is not None:
        return eye.add
    if eye.balance:
        return 0.0
    hint = "Enter the add from the prescription, or make the pair for distance."
    raise IncompleteError("add", f"a lens for {use.value} needs an add and none is written", hint)
