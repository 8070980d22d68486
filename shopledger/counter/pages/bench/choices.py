"""What can be picked for a job: frames, lenses, upgrades, each by its code and found by its words."""

from __future__ import annotations

from collections.abc import Sequence

from shopledger.counter.desks import desk
from shopledger.counter.forms.fields import Choice
from shopledger.counter.showing import money
from shopledger.desk.bench_past import JobPast
from shopledger.desk.goods import EXTRAS, FRAMES, LENSES
from shopledger.optics.notation import write_eye


def typed(text: str, _field: str) -> str:
    """Take what was picked as it is; the desk knows whether it is there."""
    return text.strip()


def frames() -> Sequence[Choice]:
    """Give all frames, with how many lie on the shelf."""
    return [Choice(each.code, each.description, f"{count} on hand") for each, count in FRAMES.all(desk())]


def lenses() -> Sequence[Choice]:
    """Give all lenses with their price."""
    return [Choice(each.code, each.name, f"{each.material}, {money(each.price)}") for each in LENSES.all(desk())]


def extras() -> Sequence[Choice]:
    """Give all upgrades and coatings with their price."""
    return [Choice(each.code, each.name, money(each.price)) for each in EXTRAS.all(desk())]


def prescriptions(past: JobPast) -> Sequence[Choice]:
    """Give all prescriptions of a job's wearer, the newest first."""
    return [
        Choice(
            str(each.number),
            f"{each.number} of {each.written_on.isoformat()}",
            f"right {write_eye(each.powers.right)}, left {write_eye(each.powers.left)}",
        )
        for each in sorted(past.prescriptions, key=lambda each: each.written_on, reverse=True)
    ]
