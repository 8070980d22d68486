"""Prism: amounts with a base, their sum as one vector, and the prism that a power makes away from its centre."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum

from shopledger.optics.power import SphereCylinder, power_matrix
from shopledger.optics.refusals import IncompleteError, OutOfRangeError, within
from shopledger.optics.sides import Side

MOST_PRISM = 40.0
"""The largest prism that is written for one base direction [prism dioptres]."""

_NO_PRISM = 1e-9


class Base(Enum):
    """The way the thick edge of a prism points, for the wearer: to the nose, the temple, up or down."""

    IN = "in"
    OUT = "out"
    UP = "up"
    DOWN = "down"

    @property
    def opposite(self) -> Base:
        """The other way."""
        return _OPPOSITE[self]

    @property
    def horizontal(self) -> bool:
        """Whether it lies along the line of the eyes."""
        return self in {Base.IN, Base.OUT}


_OPPOSITE = {Base.IN: Base.OUT, Base.OUT: Base.IN, Base.UP: Base.DOWN, Base.DOWN: Base.UP}


@dataclass(frozen=True, slots=True)
class Prism:
    """An amount of prism with its base, as written; no prism is no Prism, so the amount is above zero."""

    amount: float
    base: Base

    def __post_init__(self) -> None:
        """Refuse what is never written."""
        amount = within("prism", self.amount, 0, MOST_PRISM, "prism dioptres")
        if amount == 0:
            raise IncompleteError("prism", "a prism of zero has no base", "Leave the prism out.")
        object.__setattr__(self, "amount", amount)


@dataclass(frozen=True, slots=True)
class PrismVector:
    """Prism of one eye as two parts: `inward` is base in (out is minus), `upward` is base up (down is minus).

    Calculated prism is unlimited and may be zero; both parts are in prism dioptres.
    """

    inward: float
    upward: float

    def __add__(self, other: PrismVector) -> PrismVector:
        """Lay one prism on another before the same eye."""
        return PrismVector(self.inward + other.inward, self.upward + other.upward)

    def __sub__(self, other: PrismVector) -> PrismVector:
        """Take one prism away from another before the same eye."""
        return PrismVector(self.inward - other.inward, self.upward - other.upward)

    @property
    def amount(self) -> float:
        """The size of the resultant [prism dioptres]."""
        return math.hypot(self.inward, self.upward)

    def base_angle(self, side: Side) -> float:
        """Give the base of the resultant from 0 up to 360 degrees, counter-clockwise for who faces the wearer."""
        return round(math.degrees(math.atan2(self.upward, side.inward * self.inward)), 9) % 360

    def as_prisms(self) -> tuple[Prism, ...]:
        """Give the vertical and the horizontal part as written prisms; a part of zero is left out."""
        parts = ((self.upward, Base.UP), (self.inward, Base.IN))
        return tuple(
            Prism(abs(amount), base if amount > 0 else base.opposite)
            for amount, base in parts
            if abs(amount) > _NO_PRISM
        )


NO_PRISM = PrismVector(0.0, 0.0)
"""A lens without prism."""


def combine(prisms: Iterable[Prism]) -> PrismVector:
    """Add prisms before the same eye into one inward and one upward part.

    Parameters
    ----------
    prisms : iterable of Prism
        Any number, any bases. [prism dioptres]

    Returns
    -------
    PrismVector
        The sum; zero for none. [prism dioptres]

    References
    ----------
    [nfos_12]_ resultant prism
    """
    ways = {Base.IN: (1, 0), Base.OUT: (-1, 0), Base.UP: (0, 1), Base.DOWN: (0, -1)}
    known = [(prism.amount, ways[prism.base]) for prism in prisms]
    return PrismVector(
        math.fsum(amount * way[0] for amount, way in known), math.fsum(amount * way[1] for amount, way in known)
    )


def resolve(amount: float, base_angle: float, side: Side) -> PrismVector:
    r"""Give the inward and upward part of a prism written with a base angle.

    Parameters
    ----------
    amount : float
        Size of the prism. [prism dioptres]
    base_angle : float
        Base from 0 to 360, counter-clockwise from the right of who faces the wearer. [degrees]
    side : Side
        The eye, since 0 degrees is in for the right eye and out for the left.

    Returns
    -------
    PrismVector
        Both parts. [prism dioptres]

    Raises
    ------
    OutOfRangeError
        If the amount or the angle is out of range.

    Notes
    -----
    .. math:: P_x = P\cos\beta, \quad P_y = P\sin\beta

    References
    ----------
    [iso_8429]_ scope; [nfos_12]_ resultant prism
    """
    size = within("prism", amount, 0, MOST_PRISM, "prism dioptres")
    angle_rad = math.radians(within("base angle", base_angle, 0, 360, "degrees"))
    return PrismVector(side.inward * size * math.cos(angle_rad), size * math.sin(angle_rad))


def prentice(power: float, distance: float) -> float:
    r"""Give the prism of a power at a distance from the optical centre, along one meridian.

    Parameters
    ----------
    power : float
        Power along the meridian. [D]
    distance : float
        From the optical centre to the point. [mm]

    Returns
    -------
    float
        Prism; minus where the base points away from the optical centre for a positive distance. [prism dioptres]

    Raises
    ------
    OutOfRangeError
        If either number is not finite or absurd.

    Notes
    -----
    .. math:: P = c F, \quad c \text{ in centimetres}

    A small-angle rule: a real ray 5 mm off centre at 3 D meets 1 per cent less.

    References
    ----------
    [nfos_13a]_ Prentice's rule
    """
    return within("power", power, -80, 80, "D") * within("distance", distance, -100, 100, "mm") / 10


def prism_at(power: SphereCylinder, side: Side, inward: float, upward: float) -> PrismVector:
    r"""Give the prism that a lens makes at any point, oblique cylinders included.

    Parameters
    ----------
    power : SphereCylinder
        Power of the lens, axis in standard notation for either eye. [D]
    side : Side
        The eye, since the nose lies on the other side of the picture for the left one.
    inward : float
        From the optical centre to the point, toward the nose; outward is minus. [mm]
    upward : float
        From the optical centre to the point; downward is minus. [mm]

    Returns
    -------
    PrismVector
        Base in and base up at the point. [prism dioptres]

    Raises
    ------
    OutOfRangeError
        If the point is not finite or absurdly far.

    Notes
    -----
    .. math:: P = F \cdot d, \quad d \text{ from the point to the optical centre, in centimetres}

    Only an abstract was read for the matrix; it agrees with the printed example of [jalie_2024]_ for the right eye.
    Sign rules that measure a left lens from the nose turn its axis to 180 minus the axis; here the picture is turned.

    References
    ----------
    [long_1976]_; [jalie_2024]_ astigmatic prism
    """
    x = -side.inward * within("inward", inward, -100, 100, "mm") / 10
    y = -within("upward", upward, -100, 100, "mm") / 10
    (xx, xy), (yx, yy) = power_matrix(power)
    return PrismVector(side.inward * (xx * x + xy * y) + 0.0, yx * x + yy * y + 0.0)


def imbalance_at(right: SphereCylinder, left: SphereCylinder, below: float, inward: float = 0.0) -> PrismVector:
    """Give the difference of prism between the eyes at the reading points of a pair.

    Parameters
    ----------
    right : SphereCylinder
        Right lens. [D]
    left : SphereCylinder
        Left lens. [D]
    below : float
        Reading point under the optical centre, both eyes. [mm]
    inward : float
        Reading point to the nose of the optical centre, both eyes. [mm]

    Returns
    -------
    PrismVector
        `upward` is the right eye's base up less the left eye's; `inward` is what both eyes have of base in together.
        [prism dioptres]

    Raises
    ------
    OutOfRangeError
        If the point is absurdly far.

    References
    ----------
    [mccarthy_2013]_ vertical differential prism; [opt_1156]_ unit 1
    """
    one = prism_at(right, Side.RIGHT, inward, -below)
    other = prism_at(left, Side.LEFT, inward, -below)
    return PrismVector(one.inward + other.inward, one.upward - other.upward)


def point_of_prism(power: SphereCylinder, side: Side, prism: PrismVector) -> tuple[float, float]:
    """Give the point of a lens where it has a wanted prism, to know how far its centre must be moved.

    Parameters
    ----------
    power : SphereCylinder
        Power of the lens. [D]
    side : Side
        The eye.
    prism : PrismVector
        Wanted base in and base up. [prism dioptres]

    Returns
    -------
    (2,) tuple of float
        Inward and upward from the optical centre to the point. [mm]

    Raises
    ------
    OutOfRangeError
        If the lens has next to no power in a meridian, so that no point will do.

    References
    ----------
    [long_1976]_
    """
    (xx, xy), (_, yy) = power_matrix(power)
    size = xx * yy - xy * xy
    if min(abs(each) for each in power.principal_powers) < 0.1:
        weakest = min(power.principal_powers, key=abs)
        hint = "A lens this weak must be surfaced with its prism; moving the centre does not make it."
        raise OutOfRangeError("weakest principal power", weakest, 0.1, 40, "D either sign", hint)
    x, y = side.inward * prism.inward, prism.upward
    return (-10 * side.inward * (yy * x - xy * y) / size + 0.0, -10 * (xx * y - xy * x) / size + 0.0)


def split_prism(prism: PrismVector, right_share: float = 0.5) -> tuple[PrismVector, PrismVector]:
    """Share one prism of the right eye over both eyes without changing what they do together.

    Parameters
    ----------
    prism : PrismVector
        As if all stood before the right eye. [prism dioptres]
    right_share : float
        What the right eye keeps; half is usual. [-]

    Returns
    -------
    (2,) tuple of PrismVector
        Right and left: base in stays in for both, base up becomes base down before the left eye. [prism dioptres]

    Raises
    ------
    OutOfRangeError
        If the share is not from 0 to 1.

    References
    ----------
    [nfos_12]_ splitting prism; [common_practice]_ for half each
    """
    share = within("right share", right_share, 0, 1, "")
    rest = 1 - share
    right = PrismVector(prism.inward * share, prism.upward * share)
    return right, PrismVector(prism.inward * rest, -prism.upward * rest + 0.0)
