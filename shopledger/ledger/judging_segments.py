"""Judging what multifocals have beside powers: where segments stand, their tilt and size, equal thinning prism."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Final

from shopledger.errors import RefusedError, listed
from shopledger.ledger.catalogue import Lens
from shopledger.ledger.inspections import LEAST_NEAR, MOST_NEAR, LensFigures, PairFigures
from shopledger.ledger.judging import PLACES, as_kept
from shopledger.ledger.orders import Pair
from shopledger.optics.findings import Finding, Severity
from shopledger.optics.inspection import Verdict, judge
from shopledger.optics.pair_checks import near_pd_of
from shopledger.optics.prescription import EyePrescription, Prescription
from shopledger.optics.prism import PrismVector, combine
from shopledger.optics.refusals import IncompleteError, within
from shopledger.optics.sides import Side
from shopledger.optics.tolerances import ANSI_Z80_1, LensType, ToleranceTable

THINNING: Final = "THINNING-UNUSUAL"

_GRAIN: Final = 1e-6
_OF_BOTH: Final = "One number is of both eyes together; for one of each, type right and left with a space."


def with_segments(ordered: PairFigures, pair: Pair, lenses: Mapping[Side, Lens]) -> PairFigures:
    """Add to what was ordered where each segment has to stand and how wide it is."""

    def eye(side: Side) -> LensFigures:
        lens, figures = lenses[side], ordered.eye(side)
        if not lens.lined or side not in pair.sides:
            return figures
        near = near_pd_of(pair.measurements.eye(side)) if pair.measurements else None
        return replace(figures, near_pd=near, segment_width=lens.segment_width)

    return PairFigures(eye(Side.RIGHT), eye(Side.LEFT), ordered.pd_given)


def with_found(
    read: PairFigures,
    ordered: PairFigures,
    near_pd: Sequence[float],
    tilt: tuple[float | None, float | None],
    width: tuple[float | None, float | None],
) -> PairFigures:
    """Add to what was read where segments were found; one near PD of both is shared as it was ordered."""
    nears = _nears(ordered, near_pd)
    eyes = {
        side: replace(read.eye(side), near_pd=nears[side], tilt=turned, segment_width=wide)
        for side, turned, wide in zip(Side, tilt, width, strict=True)
    }
    return PairFigures(eyes[Side.RIGHT], eyes[Side.LEFT], read.pd_given)


def _nears(ordered: PairFigures, near_pd: Sequence[float]) -> dict[Side, float | None]:
    """Give each eye's near PD as it was found."""
    wanted = {side: ordered.eye(side).near_pd for side in Side}
    lined = [side for side in Side if wanted[side] is not None]
    if not near_pd:
        return dict.fromkeys(Side)
    if not lined:
        raise RefusedError(
            "near PD", " and ".join(f"{near:g}" for near in near_pd), "no segment was ordered", "Leave it out."
        )
    if len(near_pd) > 1:
        found = dict(zip(Side, near_pd, strict=True))
        return {side: found[side] if side in lined else None for side in Side}
    if len(lined) == 1:
        return {side: near_pd[0] if side in lined else None for side in Side}
    if ordered.pd_given == "monocular":
        reason = "the segments were ordered for each eye, and one near PD of both was given"
        raise IncompleteError("near PD", reason, "Measure from the middle of the bridge to each segment's middle.")
    apart = abs((wanted[Side.RIGHT] or 0.0) - (wanted[Side.LEFT] or 0.0))
    within("near PD of both eyes", near_pd[0], 2 * LEAST_NEAR + apart, 2 * MOST_NEAR - apart, "mm", _OF_BOTH)
    off = (near_pd[0] - sum(wanted[side] or 0.0 for side in Side)) / 2
    return {side: (wanted[side] or 0.0) + off for side in Side}


def segment_verdicts(
    ordered: PairFigures, read: PairFigures, lined: Collection[Side], table: ToleranceTable = ANSI_Z80_1
) -> tuple[Verdict, ...]:
    """Judge where the segments of lined lenses stand, how they lie, and how wide they are where that was measured."""
    sides = [side for side in Side if side in lined]
    verdicts = [
        *_places(ordered, read, [side for side in sides if ordered.eye(side).near_pd is not None], table),
        *_tilts(read, sides, table),
        *_sizes(ordered, read, sides, table),
    ]
    return tuple(as_kept(verdict) for verdict in verdicts)


def tilt_verdicts(
    read: PairFigures, designs: Mapping[Side, LensType], table: ToleranceTable = ANSI_Z80_1
) -> tuple[Verdict, ...]:
    """Judge how the level of progressives lies, where it was measured."""
    return tuple(
        as_kept(judge("tilt", side.value, 0.0, read.eye(side).tilt or 0.0, kind, table=table))
        for side, kind in designs.items()
        if kind is LensType.PROGRESSIVE and read.eye(side).tilt is not None
    )


def _places(ordered: PairFigures, read: PairFigures, sides: Sequence[Side], table: ToleranceTable) -> Iterator[Verdict]:
    """Judge segments across: both together, and each eye alone where each has its own PD or only one was made.

    What is off one way before one eye and the other way before the other adds up to nothing and is not right; so the
    pair is held to the larger of the two.
    """
    pairs = [(_wanted(ordered, side), _measured(read, side)) for side in sides]
    if len(sides) == len(Side):
        wanted, found = (sum(each) for each in zip(*pairs, strict=True))
        verdict = judge("segment place", "pair", wanted, found, LensType.MULTIFOCAL, table=table)
        worst = max((found - wanted, *(have - want for want, have in pairs)), key=abs)
        passed = verdict.passed and abs(worst) <= verdict.limit + _GRAIN
        yield replace(verdict, difference=worst, passed=passed)
    if ordered.pd_given == "monocular" or len(sides) == 1:
        for side, (want, have) in zip(sides, pairs, strict=True):
            yield judge("segment place of one eye", side.value, want, have, LensType.MULTIFOCAL, table=table)


def _wanted(ordered: PairFigures, side: Side) -> float:
    return ordered.eye(side).near_pd or 0.0


def _measured(read: PairFigures, side: Side) -> float:
    near = read.eye(side).near_pd
    if near is None:
        reason = f"the {side.value} segment was ordered at a near PD and none was measured"
        raise IncompleteError("near PD", reason, "Measure from the middle of the bridge to the segment's middle.")
    return near


def _tilts(read: PairFigures, sides: Sequence[Side], table: ToleranceTable) -> Iterator[Verdict]:
    for side in sides:
        tilt = read.eye(side).tilt
        if tilt is None:
            reason = f"how the {side.value} segment lies was not measured"
            raise IncompleteError("tilt", reason, "Measure it against the line of both rims; level is 0.")
        yield judge("tilt", side.value, 0.0, tilt, LensType.MULTIFOCAL, table=table)


def _sizes(ordered: PairFigures, read: PairFigures, sides: Sequence[Side], table: ToleranceTable) -> Iterator[Verdict]:
    """Judge widths where the catalogue has them and they were measured, and how those of a pair differ."""
    found: list[tuple[float, float]] = []
    for side in sides:
        want, have = ordered.eye(side).segment_width, read.eye(side).segment_width
        if want is not None and have is not None:
            found.append((want, have))
            yield judge("segment size", side.value, want, have, LensType.MULTIFOCAL, table=table)
    if len(found) == len(Side):
        (right, right_now), (left, left_now) = found
        apart = right - left, right_now - left_now
        yield judge("segment size difference", "pair", *apart, LensType.MULTIFOCAL, table=table)


# ------------------------------------------------------------ equal thinning prism


def equal_thinning(wanted: Prescription, read: PairFigures, designs: Mapping[Side, LensType]) -> float:
    """Give the vertical prism that both lenses are read to have alike above their order; upward is plus."""
    _refuse_thinning(designs, "as it is read", least=len(Side))
    excess = [combine(read.eye(side).power.prism) - combine(wanted.eye(side).prism) for side in Side]
    return round(sum(each.upward for each in excess) / len(excess), PLACES)


def with_thinning(wanted: Prescription, thinning: float | None, designs: Mapping[Side, LensType]) -> Prescription:
    """Add equal thinning prism to what the progressive lenses of a pair have to be."""
    if thinning is None:
        return wanted
    _refuse_thinning(designs, f"{abs(thinning):.2f}", least=1)
    right, left = (
        _thinned(wanted.eye(side), thinning) if designs.get(side) is LensType.PROGRESSIVE else wanted.eye(side)
        for side in Side
    )
    return Prescription(right, left)


def thinning_findings(thinning: float | None, wanted: Prescription) -> tuple[Finding, ...]:
    """Ask about equal thinning prism of more than the add, which no maker grinds (common practice, no source)."""
    adds = [eye.add for eye in (wanted.right, wanted.left) if eye.add is not None]
    if thinning is None or not adds or abs(thinning) <= max(adds) + _GRAIN:
        return ()
    said, most = f"{abs(thinning):.2f}", f"{max(adds):.2f}"
    sentence = (
        f"both lenses have {said} prism dioptres up or down alike beside their order; thinning prism is about two "
        f"thirds of the add, and the add is {most}. Read both lenses again, where their prism is to be measured."
    )
    return (
        Finding(Severity.WARNING, THINNING, "thinning", said, f"{most} prism dioptres", "common_practice", sentence),
    )


def _thinned(eye: EyePrescription, thinning: float) -> EyePrescription:
    prism = combine(eye.prism)
    return replace(eye, prism=PrismVector(prism.inward, prism.upward + thinning).as_prisms())


def _refuse_thinning(designs: Mapping[Side, LensType], said: str, least: int) -> None:
    kinds = list(designs.values())
    if kinds.count(LensType.PROGRESSIVE) < least:
        made = listed(sorted({kind.value for kind in kinds}))
        allowed = "only progressives have it, before both eyes alike"
        raise RefusedError("thinning prism", said, f"{allowed}; this job has {len(kinds)} {made}", "Leave it out.")
