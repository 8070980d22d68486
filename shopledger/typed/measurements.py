"""Measurements as they are typed: a PD of both eyes or of each, a near PD of both, of each or none, and heights."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopledger.errors import RefusedError

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from shopledger.optics.measurements import Measurements


def measurements_of(
    pd: Sequence[float], near: Sequence[float], heights: tuple[float | None, float | None]
) -> Measurements:
    """Put measurements together, or refuse what cannot be."""
    from shopledger.optics.measurements import Measurements

    if len(pd) == 1:
        if len(near) > 1:
            given = f"{near[0]:g} and {near[1]:g} beside one PD of {pd[0]:g}"
            allowed = "a near PD of each eye needs the distance PD of each eye"
            raise RefusedError("near PD", given, allowed, "Measure the distance PD of each eye too.")
        return Measurements.from_binocular(pd[0], near[0] if near else None, *heights)
    both = near[0] if len(near) == 1 else None
    return Measurements.from_monocular((pd[0], pd[1]), (near[0], near[1]) if len(near) > 1 else both, *heights)


def pd_as_typed(measured: Measurements) -> str:
    """Give the PD as it would be typed: one number where it was given so."""
    if measured.pd_given == "binocular":
        return f"{measured.pd:g}"
    return _typed((measured.right.mono_pd, measured.left.mono_pd))


def near_pd_as_typed(measured: Measurements) -> str:
    """Give the near PD as it would be typed; empty where it is not known."""
    if measured.pd_given == "binocular":
        return "" if measured.near_pd is None else f"{measured.near_pd:g}"
    return _typed((measured.right.near_pd, measured.left.near_pd))


def heights_as_typed(measured: Measurements) -> str:
    """Give the fitting heights as they would be typed; empty where they are not known of both eyes."""
    return _typed((measured.right.fitting_height, measured.left.fitting_height))


def _typed(lengths: Iterable[float | None]) -> str:
    known = [f"{each:g}" for each in lengths if each is not None]
    return " ".join(known) if len(known) == 2 else ""
