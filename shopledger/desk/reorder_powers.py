"""Each quantity of both prescriptions, before and now, as the reorder record sets them side by side."""

from __future__ import annotations

from typing import Final

from shopledger.desk.reordering import ReorderPlan
from shopledger.ledger.papers.reorder_record import PowerChange
from shopledger.ledger.prescription import axis_turn
from shopledger.optics.notation import write_dioptres, write_prism
from shopledger.optics.prescription import EyePrescription
from shopledger.optics.sides import Side

_NONE: Final = "–"
_UNUSUAL: Final = "CHANGE-UNUSUAL"


def power_changes(plan: ReorderPlan, side: Side) -> tuple[PowerChange, ...]:
    """Give each quantity before and now; the cylinder forms are made alike first, so that differences mean much."""
    before, now = plan.old.powers.eye(side) if plan.old else None, plan.new.powers.eye(side)
    was = before.power.as_minus_cylinder() if before else None
    power = now.power.as_minus_cylinder()
    notable = any(finding.code == _UNUSUAL and finding.field.startswith(side.value) for finding in plan.findings)
    return (
        _change("sphere", was.sphere if was else None, power.sphere, notable=notable),
        _change("cylinder", was.cylinder if was else None, power.cylinder, notable=notable),
        _axis_change(was.axis if was else None, power.axis),
        _change("add", before.add if before else None, now.add),
        _prism_change(before, now),
        _change("equivalent", was.spherical_equivalent if was else None, power.spherical_equivalent, notable=notable),
    )


def _change(quantity: str, before: float | None, now: float | None, *, notable: bool = False) -> PowerChange:
    change = "" if before is None or now is None else write_dioptres(now - before)
    return PowerChange(quantity, _dioptres(before), _dioptres(now), change, notable)


def _axis_change(before: float | None, now: float | None) -> PowerChange:
    turned = axis_turn(before, now)
    return PowerChange(
        "axis", _axis(before), _axis(now), "" if turned is None else f"{turned:+.0f}°".replace("+0", "0")
    )


def _prism_change(before: EyePrescription | None, now: EyePrescription) -> PowerChange:
    was, is_now = _prism(before), _prism(now)
    return PowerChange("prism", was, is_now, "" if before is None or was == is_now else "changed")


def _dioptres(value: float | None) -> str:
    return _NONE if value is None else write_dioptres(value)


def _axis(axis: float | None) -> str:
    return _NONE if axis is None else f"{axis:03.0f}"


def _prism(eye: EyePrescription | None) -> str:
    return ", ".join(write_prism(prism) for prism in eye.prism) if eye and eye.prism else _NONE
