"""What an attentive optician would ask about a prescription, about measurements and about a whole pair."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import chain

from shopledger.optics.age import age_in_words, months_old
from shopledger.optics.findings import Finding, Severity, gravest_first
from shopledger.optics.measurements import Measurements
from shopledger.optics.notation import write_dioptres, write_power
from shopledger.optics.power import SphereCylinder, power_vector
from shopledger.optics.prescription import EyePrescription, Prescription
from shopledger.optics.prism import Base
from shopledger.optics.sides import Side
from shopledger.optics.unlikely import USUAL_ADD, near_power_as_add, unlikely_sizes, usual_add_under

_COMMON = "common_practice"
_ANISOMETROPIA = 1.0
_ANISOMETROPIA_STRONG = 2.0
_SIGN_GAP = 0.5
_HIGH_POWER = 7.0
_USUAL_CHANGE = 1.0
_USUAL_ADD_CHANGE = 0.75
_SOON_DAYS = 30
_ADULT_PD = (45.0, 80.0)
_USUAL_PD = (54.0, 74.0)
_ADULT_MONO = (22.0, 40.0)
_MONO_GAP = 4.0
_NEAR_LESS = (2.0, 5.0)
_HEIGHT_GAP = 2.0


@dataclass(frozen=True, slots=True)
class _Words:
    """A finding in the making: everything but its sentence."""

    severity: Severity
    code: str
    field: str
    value: str
    limit: str
    source: str = _COMMON

    def say(self, sentence: str) -> Finding:
        """Add the sentence."""
        return Finding(self.severity, self.code, self.field, self.value, self.limit, self.source, sentence)


def check_prescription(
    prescription: Prescription,
    written_on: date | None = None,
    expires_on: date | None = None,
    today: date | None = None,
    previous: Prescription | None = None,
    old_after: int | None = None,
) -> tuple[Finding, ...]:
    """Ask about steps, axes, adds, signs, the difference between the eyes, the dates, and the change from the last one.

    Parameters
    ----------
    prescription : Prescription
        As written. [D]
    written_on : date, optional
        Day of the prescription.
    expires_on : date, optional
        Day until which it may be used, as written.
    today : date, optional
        The day of asking; without it no date is judged against it.
    previous : Prescription, optional
        What the same wearer had before. [D]
    old_after : int, optional
        Months after which the owner asks about a prescription that has no expiry as written. [months]

    Returns
    -------
    (n,) tuple of Finding
        What was found, gravest first.

    References
    ----------
    [mccarthy_2013]_ and [cet_article]_ on anisometropia (they differ); [iso_8429]_ on the axis; [nfos_11a]_ on high
    powers; [common_practice]_ for all other limits
    """
    eyes = [(side, prescription.eye(side)) for side in Side]
    found = chain.from_iterable((*_one_eye(side.value, eye), *unlikely_sizes(side, eye)) for side, eye in eyes)
    adds = near_power_as_add(prescription, previous)
    dated = [*_dates(written_on, expires_on, today), *_age(written_on, expires_on, today, old_after)]
    changed = () if previous is None else _changes(previous, prescription)
    return gravest_first([*found, *_both_eyes(prescription), *adds, *dated, *changed])


def check_measurements(measurements: Measurements, *, child: bool = False) -> tuple[Finding, ...]:
    """Ask about pupillary distances and heights that faces seldom have.

    Parameters
    ----------
    measurements : Measurements
        Both eyes. [mm]
    child : bool
        Whether the wearer is a child, whose PD starts at 40.

    Returns
    -------
    (n,) tuple of Finding
        What was found, gravest first.

    References
    ----------
    [dodgson_2004]_ PD of adults and children; [common_practice]_ for the narrower range and the differences
    """
    right, left = measurements.right, measurements.left
    found = [] if child else [*_adult_pd(measurements)]
    gap = right.mono_pd - left.mono_pd
    if abs(gap) > _MONO_GAP:
        words = _Words(Severity.WARNING, "MONO-PD-DIFFERS", "mono_pd", f"{gap:+.1f}", f"{_MONO_GAP:g} mm")
        found.append(words.say(f"The monocular PDs differ by {abs(gap):.1f} mm. Measure again."))
    return gravest_first([*found, *_near_pd(measurements), *_heights(measurements)])


def meridional_difference(one: SphereCylinder, other: SphereCylinder) -> float:
    """Give the largest difference of two powers in any meridian.

    Parameters
    ----------
    one : SphereCylinder
        A power. [D]
    other : SphereCylinder
        Another power. [D]

    Returns
    -------
    float
        Size of the largest difference. [D]

    References
    ----------
    [mccarthy_2013]_ difference in any meridian; [thibos_1997]_
    """
    apart = power_vector(one) + -power_vector(other)
    # Sums of sines are off in the last digit, and a limit is met exactly far more often than not.
    return round(abs(apart.mean) + abs(complex(apart.straight, apart.oblique)), 9)


def _one_eye(name: str, eye: EyePrescription) -> Iterator[Finding]:
    """Check what is written for one eye by itself."""
    for part, dioptres in (("sphere", eye.power.sphere), ("cylinder", eye.power.cylinder), ("add", eye.add)):
        yield from _step(name, part, dioptres or 0.0)
    axis = eye.power.axis
    if axis is not None and (axis < 1 or axis != int(axis)):
        words = _Words(Severity.ERROR, "AXIS-RANGE", f"{name}.axis", f"{axis:g}", "1 to 180", "iso_8429")
        yield words.say(f"The {name} axis is {axis:g}; it is a whole number from 1 to 180. Correct it.")
    low, high = USUAL_ADD
    if eye.add is not None and not low <= eye.add <= high:
        words = _Words(
            Severity.WARNING, "ADD-RANGE", f"{name}.add", write_dioptres(eye.add), f"{low:.2f} to {high:.2f} D"
        )
        yield words.say(
            f"The {name} add is {eye.add:.2f}; usual is {low:.2f} to {high:.2f}.{_near(eye)} Check the prescription."
        )
    strongest = eye.power.strongest_meridian_power
    if abs(strongest) >= _HIGH_POWER:
        value = write_dioptres(strongest)
        words = _Words(Severity.NOTE, "HIGH-POWER", f"{name}.power", value, f"{_HIGH_POWER:.2f} D", "nfos_11a")
        yield words.say(
            f"The {name} lens has {value} D: the vertex distance matters. Ask at which distance it was tested."
        )


def _step(name: str, part: str, value: float) -> Iterator[Finding]:
    """Check that a value lies on a quarter of a dioptre, or at least on an eighth."""
    if value * 4 == int(value * 4):
        return
    on_eighth = value * 8 == int(value * 8)
    severity, code = (Severity.WARNING, "OFF-QUARTER") if on_eighth else (Severity.ERROR, "OFF-EIGHTH")
    shown = write_dioptres(value) if on_eighth or value == round(value, 2) else f"{value:+.3f}"
    words = _Words(severity, code, f"{name}.{part}", shown, "0.25 D")
    yield words.say(f"The {name} {part} is {shown}; powers are written in steps of 0.25. Check the prescription.")


def _both_eyes(prescription: Prescription) -> Iterator[Finding]:
    """Compare one eye with the other; a lens that only balances is not compared."""
    right, left = prescription.right, prescription.left
    if right.balance and left.balance:
        words = _Words(Severity.WARNING, "BALANCE-BOTH", "balance", "right and left", "one eye")
        yield words.say("Both lenses are written as balance, so neither eye is corrected. Check the prescription.")
        return
    if right.balance or left.balance:
        side = "right" if right.balance else "left"
        words = _Words(Severity.NOTE, "BALANCE-LENS", f"{side}.balance", "balance", "-")
        yield words.say(f"The {side} lens only balances the other. Match its look and weight.")
        return
    yield from _forms(right.power, left.power)
    yield from _signs(right.power, left.power)
    yield from _anisometropia(right.power, left.power)
    yield from _adds(right, left)
    yield from _prisms(right, left)


def _forms(right: SphereCylinder, left: SphereCylinder) -> Iterator[Finding]:
    """Ask about a plus cylinder beside a minus cylinder."""
    if right.cylinder * left.cylinder < 0:
        value = f"{write_dioptres(right.cylinder)} and {write_dioptres(left.cylinder)}"
        words = _Words(Severity.WARNING, "CYLINDER-FORMS", "cylinder", value, "one form")
        yield words.say(f"The cylinders are {value}: one plus, one minus. Check the signs with the prescription.")


def _signs(right: SphereCylinder, left: SphereCylinder) -> Iterator[Finding]:
    """Ask about a plus lens beside a minus lens."""
    one, other = right.spherical_equivalent, left.spherical_equivalent
    if one * other < 0 and abs(one - other) > _SIGN_GAP:
        value = f"{write_power(right)} and {write_power(left)}"
        words = _Words(Severity.WARNING, "SIGN-MISMATCH", "sphere", value, f"{_SIGN_GAP:.2f} D apart")
        yield words.say(f"One eye is plus and the other minus ({value}). Check the signs with the prescription.")


def _anisometropia(right: SphereCylinder, left: SphereCylinder) -> Iterator[Finding]:
    """Ask about eyes that differ."""
    apart = meridional_difference(right, left)
    if apart >= _ANISOMETROPIA_STRONG:
        limit = f"{_ANISOMETROPIA_STRONG:.2f} D"
        words = _Words(Severity.WARNING, "ANISOMETROPIA-STRONG", "power", f"{apart:.2f}", limit, "cet_article")
        advice = "Confirm it, and think of image size and of prism when reading."
        yield words.say(f"The eyes differ by {apart:.2f} D in one meridian. {advice}")
    elif apart > _ANISOMETROPIA:
        limit = f"{_ANISOMETROPIA:.2f} D"
        words = _Words(Severity.WARNING, "ANISOMETROPIA", "power", f"{apart:.2f}", limit, "mccarthy_2013")
        yield words.say(f"The eyes differ by {apart:.2f} D in one meridian. Check the prescription.")


def _adds(one: EyePrescription, other: EyePrescription) -> Iterator[Finding]:
    """Ask about adds that differ, or stand on one eye only."""
    right, left = one.add, other.add
    if right == left:
        return
    if right is None or left is None:
        side = "right" if right is None else "left"
        words = _Words(Severity.WARNING, "ADD-ONE-EYE", f"{side}.add", "none", "both eyes")
        near = _near(one if left is None else other)
        yield words.say(f"The {side} eye has no add but the other one has.{near} Check the prescription.")
        return
    words = _Words(Severity.WARNING, "ADD-DIFFERS", "add", f"{right:.2f} and {left:.2f}", "equal")
    yield words.say(f"The adds differ: right {right:.2f}, left {left:.2f}. Check the prescription.")


def _near(eye: EyePrescription) -> str:
    """Say which add is meant if the near power was typed for it."""
    meant = usual_add_under(eye)
    return "" if meant is None else f" If {eye.add:.2f} is the near power, the add is {meant:.2f}."


def _prisms(right: EyePrescription, left: EyePrescription) -> Iterator[Finding]:
    """Ask about prism that works against itself over the two eyes."""
    bases = {each.base for each in right.prism}, {each.base for each in left.prism}
    for base in (Base.UP, Base.DOWN):
        if base in bases[0] and base in bases[1]:
            words = _Words(
                Severity.WARNING, "PRISM-SAME-VERTICAL", "prism", base.value, "up before one, down before other"
            )
            yield words.say(f"Both eyes have prism base {base.value}, which partly cancels. Check the bases.")
    for base in (Base.IN, Base.OUT):
        if base in bases[0] and base.opposite in bases[1]:
            value = f"{base.value} and {base.opposite.value}"
            words = _Words(Severity.WARNING, "PRISM-OPPOSED", "prism", value, "in before both or out before both")
            yield words.say(
                f"The right prism is base {base.value} and the left one base {base.opposite.value}. Check the bases."
            )


def _dates(written_on: date | None, expires_on: date | None, today: date | None) -> Iterator[Finding]:
    """Judge the dates against each other and against today."""
    if written_on and expires_on and expires_on < written_on:
        words = _Words(Severity.ERROR, "DATE-ORDER", "expires_on", expires_on.isoformat(), written_on.isoformat())
        yield words.say(f"It expires on {expires_on} but was written on {written_on}. Correct one of the dates.")
    if today and written_on and written_on > today:
        words = _Words(Severity.ERROR, "DATE-FUTURE", "written_on", written_on.isoformat(), today.isoformat())
        yield words.say(f"It was written on {written_on}, which is after today. Correct the date.")
    if not (today and expires_on):
        return
    left = (expires_on - today).days
    if left < 0:
        words = _Words(
            Severity.WARNING, "PRESCRIPTION-EXPIRED", "expires_on", expires_on.isoformat(), today.isoformat()
        )
        yield words.say(f"The prescription expired on {expires_on}. Ask for a new one; local rules decide.")
    elif left <= _SOON_DAYS:
        words = _Words(Severity.NOTE, "EXPIRES-SOON", "expires_on", expires_on.isoformat(), f"{_SOON_DAYS} days")
        yield words.say(f"The prescription expires on {expires_on}, in {left} days.")


def _age(
    written_on: date | None, expires_on: date | None, today: date | None, old_after: int | None
) -> Iterator[Finding]:
    """Ask about a prescription that is older than the owner's own limit; an expiry as written goes first."""
    if written_on is None or today is None or old_after is None or expires_on is not None:
        return
    if months_old(written_on, today - timedelta(days=1)) >= old_after:
        limit = f"{old_after} months"
        words = _Words(Severity.WARNING, "PRESCRIPTION-OLD", "written_on", written_on.isoformat(), limit)
        said = f"The prescription was {age_in_words(written_on, today)}; this shop asks after {limit}."
        yield words.say(f"{said} Ask for a new one; local rules decide.")


def _changes(previous: Prescription, prescription: Prescription) -> Iterator[Finding]:
    """Ask about a change from the last prescription that is more than usual."""
    for side in Side:
        before, now = previous.eye(side), prescription.eye(side)
        if before.balance or now.balance:
            continue
        change = meridional_difference(before.power, now.power)
        if change > _USUAL_CHANGE:
            words = _Words(
                Severity.WARNING, "CHANGE-UNUSUAL", f"{side.value}.power", f"{change:.2f}", f"{_USUAL_CHANGE:.2f} D"
            )
            shown = f"from {write_power(before.power)} to {write_power(now.power)}"
            yield words.say(f"The {side.value} eye changes {shown}, by {change:.2f} D in one meridian. Confirm it.")
        yield from _add_change(side.value, before.add, now.add)


def _add_change(name: str, before: float | None, now: float | None) -> Iterator[Finding]:
    """Ask about an add that falls, or grows by more than usual."""
    if before is None or now is None:
        return
    if now < before or now - before > _USUAL_ADD_CHANGE:
        limit = f"0.00 to +{_USUAL_ADD_CHANGE:.2f} D"
        words = _Words(Severity.WARNING, "ADD-CHANGE", f"{name}.add", write_dioptres(now - before), limit)
        yield words.say(f"The {name} add changes from {before:.2f} to {now:.2f}. Confirm it.")


def _adult_pd(measurements: Measurements) -> Iterator[Finding]:
    """Judge the PD of a grown-up."""
    pd, (low, high), (usual_low, usual_high) = measurements.pd, _ADULT_PD, _USUAL_PD
    if not low <= pd <= high:
        words = _Words(Severity.ERROR, "PD-RANGE", "pd", f"{pd:.1f}", f"{low:g} to {high:g} mm", "dodgson_2004")
        yield words.say(
            f"The PD is {pd:.1f} mm; adults have {low:g} to {high:g}. Measure again, or say that it is a child."
        )
    elif not usual_low <= pd <= usual_high:
        words = _Words(Severity.WARNING, "PD-UNUSUAL", "pd", f"{pd:.1f}", f"{usual_low:g} to {usual_high:g} mm")
        yield words.say(f"The PD is {pd:.1f} mm; usual is {usual_low:g} to {usual_high:g}. Measure again.")
    low, high = _ADULT_MONO
    # A half of one PD was never measured; the whole of it was judged above.
    for side in Side if measurements.pd_given == "monocular" else ():
        mono = measurements.eye(side).mono_pd
        if not low <= mono <= high:
            words = _Words(
                Severity.ERROR, "MONO-PD-RANGE", f"{side.value}.mono_pd", f"{mono:.1f}", f"{low:g} to {high:g} mm"
            )
            yield words.say(f"The {side.value} PD is {mono:.1f} mm; adults have {low:g} to {high:g}. Measure again.")


def _near_pd(measurements: Measurements) -> Iterator[Finding]:
    """Ask about a near PD that is not the usual bit smaller than the distance one."""
    near, (low, high) = measurements.near_pd, _NEAR_LESS
    if near is None:
        return
    less = round(measurements.pd - near, 6)
    if not low <= less <= high:
        words = _Words(Severity.WARNING, "NEAR-PD-UNUSUAL", "near_pd", f"{near:.1f}", f"{low:g} to {high:g} mm less")
        yield words.say(
            f"The near PD is {less:.1f} mm less than the distance PD; usual is {low:g} to {high:g}. Measure again."
        )


def _heights(measurements: Measurements) -> Iterator[Finding]:
    """Ask about a height for one eye only, or heights that differ."""
    right, left = measurements.right.fitting_height, measurements.left.fitting_height
    if right is None and left is None:
        return
    if right is None or left is None:
        side = "right" if right is None else "left"
        words = _Words(Severity.WARNING, "HEIGHT-ONE-EYE", f"{side}.fitting_height", "none", "both eyes")
        yield words.say(f"The {side} eye has no height but the other one has. Measure it.")
    elif abs(right - left) > _HEIGHT_GAP:
        value, limit = f"{right - left:+.1f}", f"{_HEIGHT_GAP:g} mm"
        words = _Words(Severity.WARNING, "HEIGHT-DIFFERS", "fitting_height", value, limit)
        yield words.say(f"The heights differ: right {right:.1f}, left {left:.1f} mm. Check that the frame sits level.")
