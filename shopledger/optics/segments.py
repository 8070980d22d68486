"""Segments of lined multifocals: how far in they stand, by a measured near PD or a usual one, and on which blank."""

from __future__ import annotations

from dataclasses import dataclass

from shopledger.optics.refusals import within

READING_DISTANCE = 400.0
"""From the lens to what is read; common practice [mm]."""

ROTATION = 27.0
"""From the lens to the point about which the eye turns; common practice [mm]."""


@dataclass(frozen=True, slots=True)
class BlankMarks:
    """Where the fitting point of a multifocal stands on its blank, from the blank's middle: inward and upward [mm].

    The fitting point of a lined one is the middle of its segment's top, that of a progressive its fitting cross.
    `distance_up` is how far the optical centre for distance stands above a segment's top. None is not known.
    """

    lined: bool
    inward: float | None = None
    upward: float | None = None
    distance_up: float | None = None

    @property
    def placed(self) -> bool:
        """Whether the maker says where the fitting point stands."""
        return self.inward is not None and self.upward is not None


def usual_near_pd(mono_pd: float, reading_distance: float = READING_DISTANCE) -> float:
    """Give the near PD of an eye that was not measured, from where its line of sight crosses the lens.

    Parameters
    ----------
    mono_pd : float
        Distance PD of the eye. [mm]
    reading_distance : float
        From the lens to what is read. [mm]

    Returns
    -------
    float
        Near PD of the eye. [mm]

    Raises
    ------
    OutOfRangeError
        If a measure is out of range.

    Notes
    -----
    The eye turns about a point 27 mm behind the lens toward something straight before the bridge. A stand-in only: a
    measured near PD always comes first.

    References
    ----------
    [definition]_ similar triangles; [common_practice]_ for both distances
    """
    far = within("reading distance", reading_distance, 150, 2000, "mm")
    return within("monocular PD", mono_pd, 10, 45, "mm") * far / (far + ROTATION)


def segment_inset(mono_pd: float, near_pd: float) -> float:
    """Give how far the middle of a segment stands inward of the optical centre for distance.

    Parameters
    ----------
    mono_pd : float
        Distance PD of the eye. [mm]
    near_pd : float
        Near PD of the eye. [mm]

    Returns
    -------
    float
        Segment inset. [mm]

    Raises
    ------
    OutOfRangeError
        If a measure is out of range.

    References
    ----------
    [dispensing_course]_ quiz on decentration; [definition]_
    """
    return within("monocular PD", mono_pd, 10, 45, "mm") - within("near PD", near_pd, 10, 45, "mm")
