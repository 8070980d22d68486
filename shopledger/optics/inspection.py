"""Verdicts on finished lenses: ordered against measured, with the difference, the limit and the rule."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from shopledger.optics.measurements import Measurements
from shopledger.optics.power import SphereCylinder, power_in_meridian
from shopledger.optics.refusals import IncompleteError, within
from shopledger.optics.sides import Side
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
    ordered: Measurements,
    measured: Measurements,
    design: LensType,
    table: ToleranceTable = ANSI_Z80_1,
) -> tuple[Verdict, ...]:
    """Judge where the centres of a finished pair stand: across by prism or by PD, up and down by prism or by level.

    Parameters
    ----------
    right : SphereCylinder
        Ordered right power. [D]
    left : SphereCylinder
        Ordered left power. [D]
    ordered : Measurements
        PD and heights to which the pair was made. [mm]
    measured : Measurements
        PD and heights of the finished pair. [mm]
    design : LensType
        The kind of lens.
    table : ToleranceTable
        The standard.

    Returns
    -------
    (n,) tuple of Verdict
        Horizontal and, where heights were measured, vertical centring; for multifocals and progressives each height and
        their difference.

    Raises
    ------
    IncompleteError
        If the table is not enabled, or a height was ordered and not measured.

    Notes
    -----
    Prism is worked out by Prentice's rule from how far each centre stands from its ordered place. A pair passes when
    either the prism or the millimetres are within their limit: the standard's clauses read both ways, and a guide to
    the edition of 2015 says or.

    References
    ----------
    [ansi_z80_1]_ tables 4 to 6; [ansi_z80_1_1999]_ for progressives; [nfos_13a]_ Prentice's rule
    """
    found = [_across(right, left, ordered, measured, design, table)]
    heights = _heights(ordered, measured, design)
    if heights is not None:
        found.append(_up_and_down(right, left, heights, design, table))
        if design is not LensType.SINGLE_VISION:
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
    right: SphereCylinder,
    left: SphereCylinder,
    ordered: Measurements,
    measured: Measurements,
    design: LensType,
    table: ToleranceTable,
) -> Verdict:
    """Judge the centres across: prism of both eyes together, or millimetres."""
    off = [measured.eye(side).mono_pd - ordered.eye(side).mono_pd for side in Side]
    prism = abs(sum(power_in_meridian(power, 180) * each for power, each in zip((right, left), off, strict=True))) / 10
    row = tolerance("horizontal imbalance", design, 0, table)
    if design is LensType.PROGRESSIVE:
        shift, mm = max(abs(each) for each in off), tolerance("monocular PD", design, 0, table)
    else:
        shift, mm = abs(sum(off)), tolerance("PD", design, 0, table)
    return _either(row, mm, prism, shift)


def _up_and_down(
    right: SphereCylinder,
    left: SphereCylinder,
    heights: tuple[tuple[float, float], tuple[float, float]],
    design: LensType,
    table: ToleranceTable,
) -> Verdict:
    """Judge the centres up and down: difference of prism, or of level."""
    off = [measured - ordered for ordered, measured in heights]
    prism = abs(power_in_meridian(right, 90) * off[0] - power_in_meridian(left, 90) * off[1]) / 10
    row, mm = tolerance("vertical imbalance", design, 0, table), tolerance("level", design, 0, table)
    return _either(row, mm, prism, abs(off[0] - off[1]))


def _either(row: Tolerance, mm: Tolerance, prism: float, shift: float) -> Verdict:
    """Judge a pair by prism, or by millimetres where the prism is too much."""
    within_mm = shift <= mm.allowed + _GRAIN
    judged = _verdict(row, "pair", 0.0, prism, prism, row.allowed)
    or_else = f"{mm.quantity} off by {shift:.1f} mm, within {mm.allowed:g} mm would do: {'yes' if within_mm else 'no'}"
    return Verdict(
        judged.quantity,
        judged.where,
        judged.ordered,
        judged.measured,
        judged.difference,
        judged.limit,
        judged.unit,
        f"{row.rule}, or {mm.rule}",
        judged.source,
        judged.passed or within_mm,
        or_else,
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
        if right_now is None or left_now is None:
            return None
        # Nothing was ordered, so both centres should stand at one level.
        return (right_now, right_now), (right_now, left_now)
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
