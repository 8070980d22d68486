"""Judging a finished job: which figures are compared with which, and whether right and left were read the other way."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import replace
from itertools import chain
from typing import Final

from shopledger.errors import RefusedError
from shopledger.ledger import catalogue
from shopledger.ledger.inspections import LensFigures, PairFigures
from shopledger.ledger.orders import Pair
from shopledger.optics.findings import Finding, Severity
from shopledger.optics.inspection import Verdict, all_passed, judge, judge_centring, judge_power
from shopledger.optics.measurements import EyeMeasurements, Measurements
from shopledger.optics.notation import write_eye
from shopledger.optics.pair_checks import layout_pd
from shopledger.optics.power import SphereCylinder, power_vector
from shopledger.optics.prescription import EyePrescription, LensUse, Prescription
from shopledger.optics.prism import PrismVector, combine
from shopledger.optics.refusals import IncompleteError
from shopledger.optics.sides import Side
from shopledger.optics.stray_prism import StrayPrism, stray_pair
from shopledger.optics.tolerances import ANSI_Z80_1, LensType, ToleranceTable

SWAPPED: Final = "READINGS-SWAPPED"
COUNTED_TWICE: Final = "PRISM-COUNTED-TWICE"

_KIND: Final = {
    catalogue.Design.SINGLE_VISION: LensType.SINGLE_VISION,
    catalogue.Design.BIFOCAL: LensType.MULTIFOCAL,
    catalogue.Design.TRIFOCAL: LensType.MULTIFOCAL,
    catalogue.Design.OCCUPATIONAL: LensType.MULTIFOCAL,
    catalogue.Design.PROGRESSIVE: LensType.PROGRESSIVE,
}
_PLANO: Final = EyePrescription(SphereCylinder(0.0))
_ALIKE: Final = 0.15
"""Prism that a lensmeter hardly tells from another [prism dioptres]; common practice, no source."""
PLACES: Final = 6
"""Decimals to which a verdict's figures are frozen."""


def kind_of(design: catalogue.Design) -> LensType:
    """Give the kind of lens as tolerances tell them apart; an occupational lens is held to the stricter rows."""
    return _KIND[design]


def ordered_figures(
    pair: Pair, uses: Mapping[Side, LensUse], centre_thickness: float | None = None, base_curve: float | None = None
) -> PairFigures:
    """Give what a pair has to be: the powers to make, its PD for its use, its heights; plano without a prescription."""
    right, left = (
        LensFigures(
            pair.made.eye(side) if pair.made else _PLANO,
            _place(pair.measurements.eye(side), uses[side]) if pair.measurements else None,
            centre_thickness,
            base_curve,
        )
        for side in Side
    )
    return PairFigures(right, left, pair.measurements.pd_given if pair.measurements else "monocular")


def stricter(designs: Iterable[LensType]) -> LensType:
    """Give the kind by which a pair is judged whose lenses are of two: that with the stricter rows."""
    met = set(designs)
    return next(kind for kind in (LensType.PROGRESSIVE, LensType.MULTIFOCAL, LensType.SINGLE_VISION) if kind in met)


def as_ordered(read: PairFigures, ordered: PairFigures, made: Collection[Side]) -> PairFigures:
    """Put the ordered figures in the place of those of a lens that was not made: nothing of it is judged."""
    right, left = (
        read.eye(side) if side in made else replace(ordered.eye(side), centre_thickness=None, base_curve=None)
        for side in Side
    )
    return PairFigures(right, left, read.pd_given)


def read_places(
    ordered: PairFigures, measured: Measurements | None, design: LensType, made: Collection[Side] = tuple(Side)
) -> Measurements | None:
    """Give the measured PD and heights as they can be compared with the order, or say what is missing.

    One PD of both eyes is shared between them as it was ordered; a progressive needs one for each eye, and so does a
    lens that was made alone, whose error would be halved.
    """
    wanted = ordered.measurements
    if wanted is None:
        return measured
    if measured is None:
        raise IncompleteError(
            "PD", "the job was made to a PD and none was measured", "Measure it on the finished pair."
        )
    if measured.pd_given == "monocular":
        return measured
    if len(made) == 1:
        reason = f"the {next(iter(made)).value} lens was made alone, and one PD of both eyes was given"
        raise IncompleteError("PD", reason, "Measure from the middle of the bridge to that lens.")
    if design is LensType.PROGRESSIVE:
        reason = "a progressive is judged for each eye, and one PD of both was given"
        raise IncompleteError("PD", reason, "Measure from the middle of the bridge to each fitting cross.")
    off = (measured.pd - wanted.pd) / 2
    right, left = (replace(measured.eye(side), mono_pd=wanted.eye(side).mono_pd + off) for side in Side)
    return Measurements(right, left, "binocular")


def judged_pair(
    ordered: PairFigures,
    compensated: Prescription | None,
    read: PairFigures,
    designs: Mapping[Side, LensType],
    table: ToleranceTable = ANSI_Z80_1,
) -> tuple[Verdict, ...]:
    """Judge a finished pair quantity by quantity; the powers by the maker's compensated ones where there are any.

    `designs` gives the kind of each lens that was made; of another there is nothing to judge.
    """
    powers = compensated or Prescription(ordered.right.power, ordered.left.power)
    design = stricter(designs.values())
    verdicts = [
        each for side, kind in designs.items() for each in _lens(side, powers.eye(side), ordered, read, kind, table)
    ]
    excess = _excess(powers, read, designs)
    wanted, found = _alone(ordered.measurements, read.measurements, tuple(designs))
    if excess is not None or (wanted is not None and found is not None):
        centring = judge_centring(powers.right.power, powers.left.power, wanted, found, design, table, excess)
        made = {"pair", *(side.value for side in designs)}
        unknown = {"height difference"} if len(designs) == 1 else set()
        verdicts += [verdict for verdict in centring if verdict.where in made and verdict.quantity not in unknown]
    return tuple(as_kept(verdict) for verdict in verdicts)


def _alone(
    wanted: Measurements | None, found: Measurements | None, made: tuple[Side, ...]
) -> tuple[Measurements | None, Measurements | None]:
    """Give places to compare; beside a lens that was made alone one stands that is just where it was ordered."""
    if wanted is None or found is None or len(made) > 1:
        return wanted, found
    (side,) = made
    beside = wanted.eye(side)
    both = ((each, beside) if side is Side.RIGHT else (beside, each) for each in (beside, found.eye(side)))
    ordered, measured = (Measurements(right, left) for right, left in both)
    return ordered, measured


def counted_twice_findings(
    wanted: Prescription, ordered: PairFigures, read: PairFigures, made: Collection[Side] = tuple(Side)
) -> tuple[Finding, ...]:
    """Notice prism that was read at the ordered place and typed together with where the centre stands instead.

    Prism and place of a lens belong together: the place is where the prism was read. A lens whose prism is too much by
    just what its place would make has as a rule been measured in both ways, and its error counts double.
    """
    places = ordered.measurements, read.measurements
    excess = _excess(wanted, read, made)
    if places[0] is None or places[1] is None or excess is None:
        return ()
    stray = stray_pair((wanted.right.power, wanted.left.power), places[0], places[1], excess)
    return tuple(
        _twice(side, each)
        for side, each in zip(Side, stray, strict=True)
        if each.moved.amount >= _ALIKE and (each.excess - each.moved).amount < min(_ALIKE, each.moved.amount / 2)
    )


def _twice(side: Side, stray: StrayPrism) -> Finding:
    said, limit = f"{stray.excess.amount:.2f}", f"{_ALIKE:g} prism dioptres apart"
    sentence = (
        f"the {side.value} lens reads {said} prism dioptres beside its order, and standing off its ordered place "
        f"makes the same, so that one error may be counted twice. PD and height are those of the place where the prism "
        f"was read: type the ordered ones if it was read there."
    )
    return Finding(Severity.WARNING, COUNTED_TWICE, f"{side.value}.prism", said, limit, "definition", sentence)


def _excess(wanted: Prescription, read: PairFigures, made: Collection[Side]) -> tuple[PrismVector, PrismVector] | None:
    """Give what each lens that was made is read to have of prism above its order; nothing where neither knows any."""
    eyes = [(wanted.eye(side).prism, read.eye(side).power.prism) if side in made else ((), ()) for side in Side]
    if not any(want or have for want, have in eyes):
        return None
    right, left = (combine(have) - combine(want) for want, have in eyes)
    return right, left


def swapped_findings(wanted: Prescription, read: PairFigures, design: LensType) -> tuple[Finding, ...]:
    """Notice readings that fit the other eye better than their own, where they do not pass as they are."""
    right, left = (replace(wanted.eye(side), add=None) for side in Side)
    of_right, of_left = (replace(read.eye(side).power, add=None) for side in Side)
    judged = [
        *_power_and_prism(Side.RIGHT, right, of_right, design),
        *_power_and_prism(Side.LEFT, left, of_left, design),
    ]
    if all_passed(tuple(chain.from_iterable(judged))) or _apart(left, of_right) + _apart(right, of_left) >= (
        _apart(right, of_right) + _apart(left, of_left)
    ):
        return ()
    said = f"right {write_eye(of_right)}, left {write_eye(of_left)}"
    sentence = (
        f"right and left fit better swapped: read were {said}, wanted are right {write_eye(right)}, left "
        f"{write_eye(left)}. Look which lens lay in the lensmeter, and in which rim it sits."
    )
    limit = f"right {write_eye(right)}, left {write_eye(left)}"
    return (Finding(Severity.WARNING, SWAPPED, "readings", said, limit, "definition", sentence),)


def _place(measured: EyeMeasurements, use: LensUse) -> EyeMeasurements:
    """Give where the lens has to stand: a reading pair is laid out for the near PD where that is known."""
    return EyeMeasurements(layout_pd(measured, use), None, measured.fitting_height)


def _lens(
    side: Side, want: EyePrescription, ordered: PairFigures, read: PairFigures, design: LensType, table: ToleranceTable
) -> Iterator[Verdict]:
    """Judge one lens: power, add, prism, and what else was ordered and measured."""
    where, found = side.value, read.eye(side)
    have = found.power
    power, prism = _power_and_prism(side, want, have, design, table)
    yield from power
    if want.add is not None or have.add is not None:
        yield judge("add", where, *_adds(side, want, have), design, want.add or 0.0, table)
    yield from prism
    for name in ("centre_thickness", "base_curve"):
        asked, got = getattr(ordered.eye(side), name), getattr(found, name)
        if asked is not None:
            yield judge(name.replace("_", " "), where, asked, _needed(side, name, got), design, table=table)


def _power_and_prism(
    side: Side,
    want: EyePrescription,
    have: EyePrescription,
    design: LensType,
    table: ToleranceTable = ANSI_Z80_1,
) -> tuple[tuple[Verdict, ...], tuple[Verdict, ...]]:
    """Judge what every lens has, and its prism where it has any."""
    power = judge_power(side.value, want.power, have.power, design, table)
    if not want.prism and not have.prism:
        return power, ()
    wanted, has = combine(want.prism), combine(have.prism)
    off = judge("prism at reference point", side.value, 0.0, (has - wanted).amount, design, table=table)
    return power, (replace(off, ordered=wanted.amount, measured=has.amount),)


def _adds(side: Side, want: EyePrescription, have: EyePrescription) -> tuple[float, float]:
    if want.add is None:
        raise RefusedError(
            f"{side.value} add",
            f"{have.add:.2f}",
            "the lens was ordered without an add",
            "Leave it out of the reading.",
        )
    if have.add is None:
        reason = f"the {side.value} lens was ordered with an add of {want.add:.2f} and none was read"
        raise IncompleteError("add", reason, 'Write it behind the power, as in "-2.50 -1.25 x 090 add 2.00".')
    return want.add, have.add


def _needed(side: Side, name: str, got: float | None) -> float:
    words = name.replace("_", " ")
    if got is None:
        reason = f"a {words} was ordered and the {side.value} lens was not measured"
        raise IncompleteError(words, reason, "Measure both lenses.")
    return got


def _apart(one: EyePrescription, other: EyePrescription) -> float:
    """Give how far apart two lenses are: the difference of their powers as vectors [D], with that of their prism."""
    powers = (power_vector(one.power) + -power_vector(other.power)).length
    return math.hypot(powers, (combine(one.prism) - combine(other.prism)).amount)


def as_kept(verdict: Verdict) -> Verdict:
    """Give the verdict with figures as they are kept."""
    figures = {name: round(getattr(verdict, name), PLACES) for name in ("ordered", "measured", "difference", "limit")}
    return replace(verdict, **figures)
