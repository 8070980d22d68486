"""The prism that a finished lens has too much where its wearer looks through, and what each part of it comes from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, TypeAlias

from shopledger.optics.measurements import Measurements
from shopledger.optics.power import SphereCylinder
from shopledger.optics.prism import NO_PRISM, PrismVector, prism_at
from shopledger.optics.sides import Side

BothEyes: TypeAlias = tuple[float, float]
"""Right, then left."""

_STILL: Final = (0.0, 0.0)


@dataclass(frozen=True, slots=True)
class StrayPrism:
    """One eye's prism above what was ordered, at the wearer's reference point, in three parts that add up.

    `excess` is what was read less what was ordered; `aside` comes from a lens that stands too far in or out, `lifted`
    from one that stands too high or low. An oblique cylinder makes both kinds of prism of either shift.
    """

    excess: PrismVector
    aside: PrismVector
    lifted: PrismVector

    @property
    def moved(self) -> PrismVector:
        """What the place of the lens makes of it [prism dioptres]."""
        return self.aside + self.lifted

    @property
    def total(self) -> PrismVector:
        """All three together [prism dioptres]."""
        return self.excess + self.moved


def stray_prism(
    power: SphereCylinder, side: Side, inward: float, upward: float, excess: PrismVector = NO_PRISM
) -> StrayPrism:
    r"""Give the prism that an eye meets too much through a lens that stands off its place, or has another prism.

    Parameters
    ----------
    power : SphereCylinder
        Power of the lens, axis in standard notation for either eye. [D]
    side : Side
        The eye.
    inward : float
        How far the measured place stands to the nose of the ordered one. [mm]
    upward : float
        How far the measured place stands above the ordered one. [mm]
    excess : PrismVector
        Prism read at the measured place, less the prism ordered. [prism dioptres]

    Returns
    -------
    StrayPrism
        Its parts. [prism dioptres]

    Raises
    ------
    OutOfRangeError
        If a shift is not finite or absurd.

    Notes
    -----
    .. math:: E = (P_{read} - P_{ordered}) + F \cdot (m - o)

    with m and o the measured and the ordered place. Prism of a lens grows evenly with the distance, so a reading at
    any place m of the lens tells the prism at the place o that the wearer looks through: it is the reading and F times
    the way from o to m. Two ways of measuring are therefore the same thing, each with the place **where the reading was
    taken**: the ordered place is marked on the lens and the prism is read there (m is o, and the reading alone counts);
    or the place is looked for that reads what was ordered, the optical centre where that is nothing (the reading is
    what was ordered, and the distance alone counts). Reading at the ordered place and giving the place of the optical
    centre besides would count one error twice.

    References
    ----------
    [long_1976]_; [jalie_2024]_ astigmatic prism
    """
    # A lens moved one way is looked through on its other side.
    return StrayPrism(excess, prism_at(power, side, -inward, 0.0), prism_at(power, side, 0.0, -upward))


def stray_pair(
    powers: tuple[SphereCylinder, SphereCylinder],
    ordered: Measurements | None,
    measured: Measurements | None,
    excess: tuple[PrismVector, PrismVector] | None = None,
) -> tuple[StrayPrism, StrayPrism]:
    """Give the prism that each eye of a pair meets too much.

    Parameters
    ----------
    powers : (2,) tuple of SphereCylinder
        Right, then left power. [D]
    ordered : Measurements, optional
        PD and heights to which the pair was made. [mm]
    measured : Measurements, optional
        PD and heights of the finished pair, each of the place where its power and prism were read. [mm]
    excess : (2,) tuple of PrismVector, optional
        Prism read less prism ordered, right then left. [prism dioptres]

    Returns
    -------
    (2,) tuple of StrayPrism
        Right, then left; what was not measured counts as being in its place. [prism dioptres]

    Raises
    ------
    OutOfRangeError
        If a shift is absurd.

    Notes
    -----
    Where no heights were ordered both centres should stand at one level, and half of a difference is taken for each.

    References
    ----------
    [long_1976]_
    """
    aside, lifted = shifts(ordered, measured)
    # A longer PD stands farther from the nose.
    right, left = (
        stray_prism(power, side, -off, up, too_much)
        for side, power, off, up, too_much in zip(
            Side, powers, aside or _STILL, lifted or _STILL, excess or (NO_PRISM, NO_PRISM), strict=True
        )
    )
    return right, left


def shifts(ordered: Measurements | None, measured: Measurements | None) -> tuple[BothEyes | None, BothEyes | None]:
    """Give how far each eye's measured place stands from the ordered one.

    Parameters
    ----------
    ordered : Measurements, optional
        PD and heights to which the pair was made. [mm]
    measured : Measurements, optional
        PD and heights of the finished pair. [mm]

    Returns
    -------
    (2,) tuple of tuple of float or None
        Right and left from the nose, then right and left upward; None where nothing tells. [mm]

    References
    ----------
    [definition]_
    """
    if ordered is None or measured is None:
        return None, None
    off = [measured.eye(side).mono_pd - ordered.eye(side).mono_pd for side in Side]
    found = [measured.eye(side).fitting_height for side in Side]
    wanted = [ordered.eye(side).fitting_height for side in Side]
    (right, left), (right_wanted, left_wanted) = found, wanted
    if right is None or left is None:
        return (off[0], off[1]), None
    if right_wanted is None or left_wanted is None:
        return (off[0], off[1]), ((right - left) / 2, (left - right) / 2)
    return (off[0], off[1]), (right - right_wanted, left - left_wanted)


def is_oblique(power: SphereCylinder) -> bool:
    """Tell whether a shift to one side makes prism up or down.

    Parameters
    ----------
    power : SphereCylinder
        The power. [D]

    Returns
    -------
    bool
        Whether it has a cylinder that lies neither level nor upright.

    References
    ----------
    [definition]_
    """
    return power.axis is not None and power.axis % 90 != 0
