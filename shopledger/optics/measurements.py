"""The wearer's measurements: pupillary distances and fitting heights, per eye."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from shopledger.optics.refusals import OutOfRangeError, within
from shopledger.optics.sides import Side

PdGiven: TypeAlias = Literal["binocular", "monocular"]

_MONO = (20.0, 40.0)
_BINOCULAR = (40.0, 80.0)
_NEAR = (15.0, 40.0)
_HEIGHT = (5.0, 50.0)
_THOUSANDTHS = 3
"""Decimals to which a share of a near PD is worked out, as it is kept."""


@dataclass(frozen=True, slots=True)
class EyeMeasurements:
    """One eye's distances from the middle of the bridge, and its height from the lowest point of the lens, in mm.

    The monocular distance PD is 20 to 40, the near one 15 to 40 and no more than the distance one, the height 5 to 50.
    """

    mono_pd: float
    near_pd: float | None = None
    fitting_height: float | None = None

    def __post_init__(self) -> None:
        """Refuse what no face has."""
        mono = _distance("monocular PD", self.mono_pd, _MONO)
        object.__setattr__(self, "mono_pd", mono)
        if self.near_pd is not None:
            near = _distance("near PD", self.near_pd, (_NEAR[0], min(_NEAR[1], mono)))
            object.__setattr__(self, "near_pd", near)
        if self.fitting_height is not None:
            object.__setattr__(self, "fitting_height", _distance("fitting height", self.fitting_height, _HEIGHT))


@dataclass(frozen=True, slots=True)
class Measurements:
    """Both eyes' measurements, and whether the PD was given as one number or one for each eye.

    Two monocular PDs of 20 to 40 mm make a PD of 40 to 80, which is what faces have.
    """

    right: EyeMeasurements
    left: EyeMeasurements
    pd_given: PdGiven = "monocular"

    @property
    def pd(self) -> float:
        """The distance PD of both eyes [mm]."""
        return self.right.mono_pd + self.left.mono_pd

    @property
    def near_pd(self) -> float | None:
        """The near PD of both eyes, where both are known [mm]."""
        if self.right.near_pd is None or self.left.near_pd is None:
            return None
        return self.right.near_pd + self.left.near_pd

    def eye(self, side: Side) -> EyeMeasurements:
        """Give the measurements of one eye."""
        return self.right if side is Side.RIGHT else self.left

    @classmethod
    def from_binocular(
        cls,
        pd: float,
        near_pd: float | None = None,
        right_height: float | None = None,
        left_height: float | None = None,
    ) -> Measurements:
        """Halve a PD that was given as one number; heights are for each eye [mm]."""
        half = _distance("PD", pd, _BINOCULAR) / 2
        near = None if near_pd is None else _distance("near PD", near_pd, (2 * _NEAR[0], pd)) / 2
        right = EyeMeasurements(half, near, right_height)
        return cls(right, EyeMeasurements(half, near, left_height), "binocular")

    @classmethod
    def from_monocular(
        cls,
        mono_pds: tuple[float, float],
        near_pd: float | tuple[float | None, float | None] | None = None,
        right_height: float | None = None,
        left_height: float | None = None,
    ) -> Measurements:
        """Put PDs of each eye together; a near PD of both eyes keeps each eye's share, and is never halved [mm]."""
        for mono in mono_pds:
            _distance("monocular PD", mono, _MONO)
        right, left = near_pd if isinstance(near_pd, tuple) else (None, None)
        if near_pd is not None and not isinstance(near_pd, tuple):
            right, left = near_shares(mono_pds, near_pd)
        return cls(EyeMeasurements(mono_pds[0], right, right_height), EyeMeasurements(mono_pds[1], left, left_height))


def near_shares(mono_pds: tuple[float, float], near_pd: float) -> tuple[float, float]:
    """Share a near PD of both eyes between eyes whose distance PDs are known, in proportion to those.

    Parameters
    ----------
    mono_pds : (2,) tuple of float
        Monocular distance PD, right and left. [mm]
    near_pd : float
        Near PD of both eyes together. [mm]

    Returns
    -------
    (2,) tuple of float
        Monocular near PD, right and left, to thousandths; they add up to the near PD. [mm]

    Raises
    ------
    OutOfRangeError
        If the near PD is wider than the distance PD, or nobody's.

    Notes
    -----
    Both eyes look at one point straight before the middle of the bridge. The triangle of each eye is cut at the lens by
    the same share, so near and distance PD have one ratio on both sides. Equal insets are as good: where
    the distance PDs differ by 4 mm at most, the two ways differ by less than 0.2 mm.

    References
    ----------
    [definition]_
    """
    pd = sum(mono_pds)
    near = _distance("near PD", near_pd, (_NEAR[0] * pd / min(mono_pds), pd))
    # What is rounded up stays within the distance PD, to which eyes that do not turn in come.
    right = min(round(near * mono_pds[0] / pd, _THOUSANDTHS), mono_pds[0])
    return right, min(round(near - right, _THOUSANDTHS), mono_pds[1])


def _distance(name: str, value: float, allowed: tuple[float, float]) -> float:
    """Give a distance in mm; one that makes sense in centimetres is refused with that hint."""
    low, high = allowed
    if isinstance(value, int | float) and low <= value * 10 <= high and not low <= value <= high:
        hint = f"This looks like centimetres: write {value * 10:g}."
        raise OutOfRangeError(name, value, low, high, "mm", hint)
    return within(name, value, low, high, "mm")
