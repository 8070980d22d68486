"""A finished job while it is being read and measured: what is found so far is judged as far as it goes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Any, Final

from shopledger.desk.context import Desk
from shopledger.desk.inspecting import (
    BothLenses,
    InspectionRequest,
    JobNeeds,
    job_needs,
    plan_inspection,
    wanted_figures,
)
from shopledger.ledger.inspections import PairFigures
from shopledger.optics.findings import Finding
from shopledger.optics.inspection import Verdict
from shopledger.optics.measurements import Measurements
from shopledger.optics.prescription import EyePrescription, Prescription
from shopledger.optics.refusals import IncompleteError
from shopledger.optics.sides import Side

_OF_ONE_LENS: Final = frozenset(
    {"sphere", "cylinder", "axis", "add", "prism at reference point", "centre thickness", "base curve"}
)
"""Judged by what a lensmeter or a gauge says of one lens alone."""


@dataclass(frozen=True, slots=True)
class Found:
    """What was read and measured so far; what is missing was not looked at yet."""

    read: Mapping[Side, EyePrescription] = field(default_factory=dict)
    pd: float | None = None
    """Of both eyes together."""
    pd_each: Mapping[Side, float] = field(default_factory=dict)
    heights: Mapping[Side, float] = field(default_factory=dict)
    near: Mapping[Side, float] = field(default_factory=dict)
    """From the middle of the bridge to the middle of each segment."""
    tilt: Mapping[Side, float] = field(default_factory=dict)

    def request(self, job_number: int, needs: JobNeeds, **more: Any) -> InspectionRequest:  # noqa: ANN401 - any of its fields
        """Ask for the inspection of a job by this; what the job is judged by and was not found is refused in words.

        Of an eye for which the job has no lens the other's figures stand for none.
        """
        one = self._of_one(needs)
        right, left = (one.read.get(side) for side in Side)
        if right is None or left is None:
            lacking = Side.RIGHT if right is None else Side.LEFT
            reason = f"the {lacking.value} lens was not read"
            raise IncompleteError(f"{lacking.value} reading", reason, "Type what the lensmeter says.")
        near = tuple(one.near[side] for side in needs.segments if side in one.near)
        return InspectionRequest(
            job_number,
            Prescription(right, left),
            one.measured(),
            near_pd=near,
            tilt=_both(one.tilt, needs.segments or needs.sides),
            **more,
        )

    def _of_one(self, needs: JobNeeds) -> Found:
        """Let the figures of the one lens that was made stand for the other eye too, of which none is judged."""
        if len(needs.sides) == len(Side):
            return self
        (made,) = needs.sides

        def alike(figures: Mapping[Side, Any]) -> Mapping[Side, Any]:
            return dict.fromkeys(Side, figures[made]) if made in figures else {}

        return replace(self, read=alike(self.read), pd_each=alike(self.pd_each), heights=alike(self.heights))

    def measured(self) -> Measurements | None:
        """Give PD and heights as they belong together; None where no PD was measured."""
        heights = (self.heights.get(Side.RIGHT), self.heights.get(Side.LEFT))
        right, left = (self.pd_each.get(side) for side in Side)
        if self.pd is not None and (right is not None or left is not None):
            raise IncompleteError("PD", "it is given for both eyes and for one", "Give one of them.")
        if self.pd is not None:
            return Measurements.from_binocular(self.pd, None, *heights)
        if right is None and left is None:
            return None
        if right is None or left is None:
            missing = "right" if right is None else "left"
            raise IncompleteError(f"{missing} PD", "only the other eye's was measured", "Measure both.")
        return Measurements.from_monocular((right, left), None, *heights)


@dataclass(frozen=True, slots=True)
class SoFar:
    """What can be said by now: verdicts of what was found, what is odd about it, and what is still to be looked at."""

    verdicts: tuple[Verdict, ...] = ()
    findings: tuple[Finding, ...] = ()
    lacking: tuple[str, ...] = ()

    @property
    def outside(self) -> int:
        """How many are outside their limits."""
        return sum(not each.passed for each in self.verdicts)


def judge_so_far(
    desk: Desk,
    job_number: int,
    found: Found,
    compensated: Prescription | None = None,
    thinning: float | None = None,
) -> SoFar:
    """Judge what was found so far; nothing is said of what was not, and nothing is stored."""
    needs = job_needs(desk, job_number)
    with desk.reading() as work:
        _, pair = work.orders.pair(job_number)
        wanted = wanted_figures(work, pair)
    lacking = tuple(_lacking(found, needs))
    whole = _as_wanted(found, needs, wanted)
    as_read = thinning is None and needs.thinned and all(side in found.read for side in Side)
    request = whole.request(
        job_number,
        needs,
        marks_seen=(True, True) if needs.marks else (None, None),
        thinning=thinning,
        thinning_as_read=as_read and len(needs.sides) == len(Side),
    )
    plan = plan_inspection(desk, request, compensated)
    verdicts = tuple(each for each in plan.inspection.verdicts if _known(each, found, lacking))
    return SoFar(verdicts, plan.findings if not lacking else (), lacking)


def _as_wanted(found: Found, needs: JobNeeds, wanted: PairFigures) -> Found:
    """Let what was not found stand as it was ordered, so that the rest can be judged."""
    places = {side: wanted.eye(side).place for side in needs.sides}
    pds = {side: place.mono_pd for side, place in places.items() if place is not None}
    heights = {side: at.fitting_height for side, at in places.items() if at is not None}
    nears = {side: wanted.eye(side).near_pd for side in needs.segments}
    return replace(
        found,
        read={side: found.read.get(side, wanted.eye(side).power) for side in needs.sides},
        pd_each={} if found.pd is not None or not needs.pd else {**pds, **found.pd_each},
        heights={**{side: height for side, height in heights.items() if height is not None}, **found.heights},
        near={**{side: near for side, near in nears.items() if near is not None}, **found.near},
        tilt={**dict.fromkeys(needs.segments, 0.0), **found.tilt},
    )


def _lacking(found: Found, needs: JobNeeds) -> Iterator[str]:
    """Say what a job is judged by and was not found yet, in the order in which it is looked at."""
    yield from (f"the {side.value} reading" for side in needs.sides if side not in found.read)
    if needs.pd and found.pd is None and any(side not in found.pd_each for side in needs.sides):
        yield "the PD"
    if needs.heights:
        yield from (f"the {side.value} height" for side in needs.sides if side not in found.heights)
    if needs.near:
        yield from (f"the {side.value} near PD" for side in needs.segments if side not in found.near)
    yield from (f"the {side.value} segment's tilt" for side in needs.segments if side not in found.tilt)


def _known(verdict: Verdict, found: Found, lacking: tuple[str, ...]) -> bool:
    """Tell whether a verdict rests on what was found alone."""
    side = next((each for each in Side if each.value == verdict.where), None)
    if verdict.quantity in _OF_ONE_LENS and side is not None:
        return side in found.read
    if verdict.quantity == "tilt" and side is not None:
        return side in found.tilt
    if verdict.quantity.startswith("segment"):
        return not any("near" in each for each in lacking)
    return not lacking


def _both(figures: Mapping[Side, float], sides: tuple[Side, ...]) -> BothLenses:
    right, left = (figures.get(side) if side in sides else None for side in Side)
    return right, left
