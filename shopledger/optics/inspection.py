"""Verdicts on finished lenses: ordered against measured, with the difference, the limit and the rule."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from shopledger.optics.measurements import Measurements
from shopledger.optics.power import SphereCylinder
from shopledger.optics.prism import PrismVector
from shopledger.optics.refusals import IncompleteError, within
from shopledger.optics.sides import Side
from shopledger.optics.stray_prism import BothEyes, StrayPrism, is_oblique, shifts, stray_pair
from shopledger.optics.tolerances import ANSI_Z80_1, LensType, Tolerance, ToleranceTable, tolerance

_LEAST_CYLINDER_WITH_AXIS = 0.12
# Readings end at hundredths; a limit met exactly is met.
_GRAIN = 1e-6


@dataclass(frozen=True, slots=True)
class Verdict:
    """One quantity judged: `ordered` and `measured` in `unit`, how far apart, how far is allowed, by which rule.

    A pair's centring has a second number that alone would do as well; it stands in `or_else`.
    """

    quantity: str
    where: str
    ordered: float
    measured: float
    difference: float
    limit: float
    unit: str
    rule: str
    source: str
    passed: bool
    or_else: str = ""


def judge(
    quantity: str,
    where: str,
    ordered: float,
    measured: float,
    design: LensType,
    strength: float = 0.0,
    table: ToleranceTable = ANSI_Z80_1,
) -> Verdict:
    """Judge one number against the row that holds for it.

    Parameters
    ----------
    quantity : str
        Name of the row, such as `add`, `height`, `base curve` or `centre thickness`.
    where : str
        `right`, `left` or `pair`.
    ordered : float
        What was ordered. [row's unit]
    measured : float
        What was measured. [row's unit]
    design : LensType
        The kind of lens.
    strength : float
        What picks the row, where rows depend on it. [D]
    table : ToleranceTable
        The standard.

    Returns
    -------
    Verdict
        Difference, limit, rule and whether it passed.

    Raises
    ------
    IncompleteError
        If the table is not enabled or has no such row.
    OutOfRangeError
        If a number is not finite.

    References
    ----------
    [ansi_z80_1]_; [ansi_z80_1_1999]_
    """
    row = tolerance(quantity, design, strength, table)
    wanted = within(f"ordered {quantity}", ordered, -200, 200, row.unit)
    found = within(f"measured {quantity}", measured, -200, 200, row.unit)
    return _verdict(row, where, wanted, found, found - wanted, row.limit(strength))


def judge_power(
    where: str,
    ordered: SphereCylinder,
    measured: SphereCylinder,
    design: LensType,
    table: ToleranceTable = ANSI_Z80_1,
) -> tuple[Verdict, ...]:
    """Judge sphere, cylinder and axis of one lens, both in minus-cylinder form.

    Parameters
    ----------
    where : str
        `right` or `left`.
    ordered : SphereCylinder
        What was ordered, or the maker's compensated power. [D]
    measured : SphereCylinder
        What the lensmeter reads. [D]
    design : LensType
        The kind of lens.
    table : ToleranceTable
        The standard.

    Returns
    -------
    (n,) tuple of Verdict
        Sphere, cylinder and, from 0.12 D of ordered cylinder on, the axis.

    Raises
    ------
    IncompleteError
        If the table is not enabled.

    Notes
    -----
    The sphere of the minus-cylinder form picks the sphere's row, as in the guide to the edition of 2015; the edition of
    1999 takes the strongest meridian. A lens that is measured without a cylinder has no axis to judge.

    References
    ----------
    [ansi_z80_1]_ tables 1 to 3
    """
    want, have = ordered.as_minus_cylinder(), measured.as_minus_cylinder()
    verdicts = [
        judge("sphere", where, want.sphere, have.sphere, design, want.sphere, table),
        judge("cylinder", where, want.cylinder, have.cylinder, design, want.cylinder, table),
    ]
    if want.axis is not None and have.axis is not None and abs(want.cylinder) >= _LEAST_CYLINDER_WITH_AXIS:
        row = tolerance("axis", design, want.cylinder, table)
        turned = (have.axis - want.axis + 90) % 180 - 90
        verdicts.append(_verdict(row, where, want.axis, have.axis, turned, row.allowed))
    return tuple(verdicts)


def judge_centring(
    right: SphereCylinder,
    left: SphereCylinder,
    ordered: Measurements | None,
    measured: Measurements | None,
    design: LensType,
    table: ToleranceTable = ANSI_Z80_1,
    excess: tuple[PrismVector, PrismVector] | None = None,
) -> tuple[Verdict, ...]:
    """Judge what the eyes of a finished pair meet of prism that nobody ordered, across and up and down.

    Parameters
    ----------
    right : SphereCylinder
        Ordered right power. [D]
    left : SphereCylinder
        Ordered left power. [D]
    ordered : Measurements, optional
        PD and heights to which the pair was made. [mm]
    measured : Measurements, optional
        PD and heights of the finished pair, each of the place where its power and prism were read. [mm]
    design : LensType
        The kind of lens.
    table : ToleranceTable
        The standard.
    excess : (2,) tuple of PrismVector, optional
        Prism read less prism ordered, right then left, where prism was ordered or read. [prism dioptres]

    Returns
    -------
    (n,) tuple of Verdict
        Horizontal and vertical imbalance; for multifocals and progressives each height and their difference too. Up and
        down is left out where nothing could make it: no height, no prism and no oblique cylinder.

    Raises
    ------
    IncompleteError
        If the table is not enabled, or a height was ordered and not measured.

    Notes
    -----
    Each eye's error is its `stray_prism`, with the whole power. Base in of both eyes adds up; up and down, the right
    eye's less the left eye's counts. A pair passes when either the prism or the millimetres are within their limit: the
    standard's clauses read both ways, and a guide to the edition of 2015 says or. Millimetres excuse no more than the
    prism which a shift along them makes: what comes from wrong prism, or from the other direction through an oblique
    cylinder, must stay within the limit of prism by itself. The millimetres are those of the pair or of one eye,
    whichever is more, so that unequal lenses are not excused by both being off alike. Where no heights were ordered,
    half of a difference in level is taken for each eye.

    References
    ----------
    [ansi_z80_1]_ tables 4 to 6; [ansi_z80_1_1999]_ for progressives; [long_1976]_ for the prism
    """
    heights = _heights(ordered, measured, design) if ordered and measured else None
    aside, lifted = shifts(ordered, measured)
    stray = stray_pair((right, left), ordered, measured, excess)
    found = [_across(stray, aside, design, table)]
    if lifted or excess or is_oblique(right) or is_oblique(left):
        found.append(_up_and_down(stray, lifted, design, table))
    if heights is not None and design is not LensType.SINGLE_VISION:
        found += _each_height(heights, design, table)
    return tuple(found)


def all_passed(verdicts: tuple[Verdict, ...]) -> bool:
    """Tell whether a pair may leave.

    Parameters
    ----------
    verdicts : (n,) tuple of Verdict
        All that was judged.

    Returns
    -------
    bool
        Whether each of them passed; nothing judged is nothing passed.

    References
    ----------
    [definition]_
    """
    return bool(verdicts) and all(verdict.passed for verdict in verdicts)


def _verdict(row: Tolerance, where: str, ordered: float, measured: float, difference: float, limit: float) -> Verdict:
    """Judge a difference by a row."""
    passed = abs(difference) <= limit + _GRAIN
    return Verdict(row.quantity, where, ordered, measured, difference, limit, row.unit, row.rule, row.source, passed)


def _across(
    stray: tuple[StrayPrism, StrayPrism], off: BothEyes | None, design: LensType, table: ToleranceTable
) -> Verdict:
    """Judge across: prism of both eyes together, or millimetres of PD."""
    row = tolerance("horizontal imbalance", design, 0, table)
    total = sum(each.total.inward for each in stray)
    if off is None:
        return _verdict(row, "pair", 0.0, abs(total), abs(total), row.allowed)
    progressive = design is LensType.PROGRESSIVE
    mm = tolerance("monocular PD" if progressive else "PD", design, 0, table)
    shift = _shift(0.0 if progressive else sum(off), off, mm)
    return _either(row, mm, total, sum(each.aside.inward for each in stray), shift)


def _up_and_down(
    stray: tuple[StrayPrism, StrayPrism], off: BothEyes | None, design: LensType, table: ToleranceTable
) -> Verdict:
    """Judge up and down: difference of prism, or of how high the reference points stand."""
    row = tolerance("vertical imbalance", design, 0, table)
    right, left = stray
    total = right.total.upward - left.total.upward
    if off is None:
        return _verdict(row, "pair", 0.0, abs(total), abs(total), row.allowed)
    mm = tolerance("centre height", design, 0, table)
    return _either(row, mm, total, right.lifted.upward - left.lifted.upward, _shift(off[0] - off[1], off, mm))


def _shift(together: float, each: BothEyes, mm: Tolerance) -> tuple[float, str]:
    """Give how far a pair is off, or one eye where that is more, and in words what is."""
    one = max(abs(off) for off in each)
    if mm.quantity == "monocular PD" or one <= abs(together) + _GRAIN:
        return max(one, abs(together)), mm.quantity
    return one, f"{mm.quantity} of one eye"


def _either(row: Tolerance, mm: Tolerance, total: float, shifted: float, shift: tuple[float, str]) -> Verdict:
    """Judge a pair by prism, or by millimetres where these make the prism that is too much."""
    off, what = shift
    rest = abs(total - shifted)
    judged = _verdict(row, "pair", 0.0, abs(total), abs(total), row.allowed)
    within_mm, clear = off <= mm.allowed + _GRAIN, rest <= row.allowed + _GRAIN
    answer = "yes" if within_mm and clear else "no"
    if within_mm and not clear:
        answer = f"no, {rest:.2f} {row.unit} do not come from that"
    return replace(
        judged,
        rule=f"{row.rule}, or {mm.rule}",
        passed=judged.passed or (within_mm and clear),
        or_else=f"{what} off by {round(off, 2) + 0.0:g} mm, {mm.allowed:g} mm would do: {answer}",
    )


def _heights(
    ordered: Measurements, measured: Measurements, design: LensType
) -> tuple[tuple[float, float], tuple[float, float]] | None:
    """Give ordered and measured height of each eye; single vision may have none."""
    pairs = [(ordered.eye(side).fitting_height, measured.eye(side).fitting_height) for side in Side]
    (right, right_now), (left, left_now) = pairs
    if right is not None and left is not None and right_now is not None and left_now is not None:
        return (right, right_now), (left, left_now)
    if design is LensType.SINGLE_VISION and right is None and left is None:
        return None
    reason = "a height was ordered or measured for one eye only, or not at all"
    raise IncompleteError("fitting_height", reason, "Measure both heights on the finished pair.")


def _each_height(
    heights: tuple[tuple[float, float], tuple[float, float]], design: LensType, table: ToleranceTable
) -> Iterator[Verdict]:
    """Judge each height, and how the two differ."""
    for side, (ordered, measured) in zip(Side, heights, strict=True):
        yield judge("height", side.value, ordered, measured, design, 0, table)
    (right, right_now), (left, left_now) = heights
    yield judge("height difference", "pair", right - left, right_now - left_now, design, 0, table)
