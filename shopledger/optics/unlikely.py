"""What is seldom prescribed: powers and prism of an unlikely size, and a near power written where the add belongs."""

from __future__ import annotations

from collections.abc import Iterator

from shopledger.optics.findings import Finding, Severity
from shopledger.optics.notation import write_dioptres
from shopledger.optics.prescription import EyePrescription, Prescription
from shopledger.optics.prism import combine
from shopledger.optics.sides import Side

USUAL_ADD = (0.5, 4.0)
"""Adds that are usually prescribed [D]."""

_COMMON = "common_practice"
_HIGH_SPHERE = 10.0
_HIGH_CYLINDER = 4.0
_HIGH_PRISM = 6.0


def unlikely_sizes(side: Side, eye: EyePrescription) -> tuple[Finding, ...]:
    """Ask about a sphere from 10 D, a cylinder from 4 D, and prism of one eye from 6 prism dioptres together.

    Parameters
    ----------
    side : Side
        The eye.
    eye : EyePrescription
        What is written for it. [D]

    Returns
    -------
    (n,) tuple of Finding
        What was found.

    References
    ----------
    [common_practice]_ all three limits: no source
    """
    sphere, cylinder = eye.power.sphere, eye.power.cylinder
    prism = round(combine(eye.prism).amount, 6)
    sizes = (
        ("SPHERE-UNUSUAL", "sphere", sphere, _HIGH_SPHERE, write_dioptres(sphere), "D"),
        ("CYLINDER-UNUSUAL", "cylinder", cylinder, _HIGH_CYLINDER, write_dioptres(cylinder), "D"),
        ("PRISM-UNUSUAL", "prism", prism, _HIGH_PRISM, f"{prism:.2f}", "prism dioptres in all"),
    )
    return tuple(
        _asked(
            code,
            f"{side.value}.{part}",
            shown,
            f"{limit:.2f} {unit.split(' in ')[0]}",
            f"The {side.value} {part} is {shown} {unit}; from {limit:g} on it is seldom meant so. Check its point.",
        )
        for code, part, value, limit, shown, unit in sizes
        if abs(value) >= limit
    )


def near_power_as_add(prescription: Prescription, previous: Prescription | None = None) -> tuple[Finding, ...]:
    """Ask about adds that look like near powers: they differ as the spheres do, or are sphere and the add of before.

    Parameters
    ----------
    prescription : Prescription
        As written. [D]
    previous : Prescription, optional
        What the same wearer had before. [D]

    Returns
    -------
    (n,) tuple of Finding
        What was found.

    References
    ----------
    [common_practice]_ both eyes need the same add: no source
    """
    right, left = prescription.right, prescription.left
    if _differ_as_spheres(right, left):
        meant = usual_add_under(right)
        sentence = (
            f"The adds, right {right.add:.2f} and left {left.add:.2f}, differ as the spheres do: they may be near "
            f"powers, and the add {meant:.2f}. Check the prescription."
        )
        value = f"{right.add:.2f} and {left.add:.2f}"
        return (_asked("ADD-NEAR-POWER", "add", value, f"{meant:.2f} for both", sentence),)
    return () if previous is None else tuple(_as_before(prescription, previous))


def usual_add_under(eye: EyePrescription) -> float | None:
    """Give the add that is meant if what is written as the add is the near power: what it has above the sphere.

    Parameters
    ----------
    eye : EyePrescription
        What is written for one eye. [D]

    Returns
    -------
    float or None
        The add; None where no usual one comes out. [D]

    References
    ----------
    [opt_1156]_ unit 1, near power
    """
    low, high = USUAL_ADD
    if eye.add is None or not eye.power.sphere or eye.balance:
        return None
    meant = round(eye.add - eye.power.sphere, 6)
    return meant if low <= meant <= high else None


def _differ_as_spheres(right: EyePrescription, left: EyePrescription) -> bool:
    """Tell whether two adds are unlike and have the same usual add above their spheres."""
    meant = usual_add_under(right)
    return right.add != left.add and meant is not None and meant == usual_add_under(left)


def _as_before(prescription: Prescription, previous: Prescription) -> Iterator[Finding]:
    for side in Side:
        eye, add = prescription.eye(side), previous.eye(side).add
        if add is not None and eye.add != add and usual_add_under(eye) == add:
            sentence = (
                f"The {side.value} add, {eye.add:.2f}, is what the sphere and the add of before, {add:.2f}, make: "
                "it may be the near power. Check the prescription."
            )
            yield _asked("ADD-NEAR-POWER", f"{side.value}.add", f"{eye.add:.2f}", f"{add:.2f} before", sentence)


def _asked(code: str, field: str, value: str, limit: str, sentence: str) -> Finding:
    return Finding(Severity.WARNING, code, field, value, limit, _COMMON, sentence)
