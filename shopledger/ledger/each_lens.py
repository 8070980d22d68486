"""What each eye of a pair gets: its lens, its upgrades and the power to make, from what was asked for the pair."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Final

from shopledger.errors import RefusedError
from shopledger.ledger.catalogue import Extra, ExtraKind, Lens
from shopledger.ledger.orders import Making, OffStep, PairRequest
from shopledger.ledger.prescription import WrittenPrescription
from shopledger.ledger.pricing import Sold
from shopledger.ledger.settings import Settings
from shopledger.optics.findings import Finding, Severity
from shopledger.optics.notation import write_dioptres, write_power
from shopledger.optics.power import SphereCylinder
from shopledger.optics.prescription import (
    EyePrescription,
    LensUse,
    Prescription,
    balance_power,
    on_quarter,
    power_to_make,
)
from shopledger.optics.sides import Side

BALANCE: Final = "BALANCE-POWER"
OFF_STEP: Final = "MADE-OFF-QUARTER"
_COMMON: Final = "common practice, no source"


def sides_of(request: PairRequest) -> tuple[Side, ...]:
    """Give the eyes for which a lens is asked, right first."""
    return tuple(side for side in Side if request.eye(side).making is Making.NEW)


def sold_lenses(lenses: Mapping[Side, Lens]) -> tuple[Sold[Lens], ...]:
    """Give the lenses as they are sold: two alike as a pair, otherwise each by itself."""
    alike = {lens.code for lens in lenses.values()}
    if len(alike) == 1:
        return (Sold(next(iter(lenses.values())), tuple(lenses)),)
    return tuple(Sold(lens, (side,)) for side, lens in lenses.items())


def sold_extras(
    on_pair: Sequence[Extra], on_one: Mapping[Side, Sequence[Extra]], made: Prescription | None
) -> tuple[Sold[Extra], ...]:
    """Give each upgrade with the lenses that it is on; `on_one` names every lens that is made.

    Prism is on the lenses that have some, and slab-off on one.
    """
    both = tuple(on_one)
    asked = {extra.code: (extra, [*_sides(extra, both, made)]) for extra in on_pair}
    for side, extras in on_one.items():
        for extra in extras:
            _refuse_without_prism(extra, (side,), made)
            sides = asked.setdefault(extra.code, (extra, []))[1]
            if side not in sides:
                sides.append(side)
    return tuple(Sold(extra, tuple(side for side in both if side in sides)) for extra, sides in asked.values())


def _sides(extra: Extra, both: tuple[Side, ...], made: Prescription | None) -> tuple[Side, ...]:
    """Give the lenses that an upgrade of the pair is on."""
    if extra.kind is ExtraKind.SLAB_OFF and len(both) > 1:
        raise RefusedError(
            "extra",
            extra.code,
            "slab-off is ground on one lens of a pair, and it was asked for both",
            f"Ask for it on the lens that has it, as in '--left-extra {extra.code}' (left_extras in an order file).",
        )
    if extra.kind is not ExtraKind.PRISM or made is None:
        return both
    _refuse_without_prism(extra, both, made)
    return tuple(side for side in both if made.eye(side).prism)


def _refuse_without_prism(extra: Extra, sides: tuple[Side, ...], made: Prescription | None) -> None:
    if extra.kind is ExtraKind.PRISM and made is not None and not any(made.eye(side).prism for side in sides):
        raise RefusedError(
            "extra",
            extra.code,
            f"the {' and the '.join(side.value for side in sides)} lens has no prism in its prescription",
            "Leave it out, or look at the prescription.",
        )


def powers_to_make(
    written: WrittenPrescription, uses: Mapping[Side, LensUse], settings: Settings, request: PairRequest | None = None
) -> Prescription:
    """Give both eyes' powers for what each lens is used for; what a prescription leaves open is the owner's choice."""
    share = settings.screen_share / 1_000_000
    eyes = {
        side: _stepped(
            power_to_make(written.powers.eye(side), uses[side], share, written.intermediate),
            request.off_step if request else None,
            written.powers.eye(side),
        )
        for side in Side
    }
    right, left = (_balanced(eyes, side, request.eye(side).balance if request else None) for side in Side)
    return Prescription(right, left)


def _stepped(made: EyePrescription, step: OffStep | None, written: EyePrescription) -> EyePrescription:
    """Put a power that was worked out on the quarter that the owner chose."""
    if step in {None, OffStep.EXACT} or not off_quarter(made, written):
        return made
    sphere = on_quarter(made.power.sphere, up=step is OffStep.MORE)
    return replace(made, power=replace(made.power, sphere=sphere))


def off_quarter(made: EyePrescription, written: EyePrescription) -> bool:
    """Tell whether working the power out moved it off the quarters of a dioptre."""
    quarters = made.power.sphere * 4
    return made.power.sphere != written.power.sphere and abs(quarters - round(quarters)) > 1e-9


def _balanced(eyes: Mapping[Side, EyePrescription], side: Side, chosen: SphereCylinder | None) -> EyePrescription:
    """Give an eye; one that only balances gets a power where the prescription states none."""
    eye, other = eyes[side], eyes[side.other]
    if not eye.lacks_power:
        if chosen is not None:
            _refuse_chosen(eye, side)
        return eye
    return replace(eye, power=balance_power(other) if chosen is None else chosen)


def _refuse_chosen(eye: EyePrescription, side: Side) -> None:
    why = f"the prescription states {write_power(eye.power)}" if eye.balance else "that lens does not only balance"
    raise RefusedError(f"{side.value} balance power", "given", why, "Leave it out.")


def power_findings(
    written: WrittenPrescription, made: Prescription, request: PairRequest, uses: Mapping[Side, LensUse]
) -> Iterator[Finding]:
    """Ask about each power that is not simply the prescription's: of a balance lens, or between two quarters."""
    for side in sides_of(request):
        eye, wrote = made.eye(side), written.powers.eye(side)
        if wrote.lacks_power and request.eye(side).balance is None:
            yield _ask_balance(side, eye)
        elif off_quarter(eye, wrote) and request.off_step is None:
            yield _ask_step(side, eye, uses[side])


def _ask_balance(side: Side, eye: EyePrescription) -> Finding:
    shown = write_power(eye.power)
    sentence = (
        f"The {side.value} lens only balances the other and no power is written for it: it is made as {shown}, near "
        f"the {side.other.value} lens. Accept that, or give its power with --{side.value}-balance "
        f"({side.value}_balance in an order file)."
    )
    return Finding(Severity.WARNING, BALANCE, f"{side.value}.balance", shown, "the owner's choice", _COMMON, sentence)


def _ask_step(side: Side, eye: EyePrescription, use: LensUse) -> Finding:
    sphere = eye.power.sphere
    less, more = (write_dioptres(on_quarter(sphere, up=up)) for up in (False, True))
    sentence = (
        f"The {side.value} lens for {use.value} comes to {sphere:+.3f}, which is no quarter of a dioptre: {less} or "
        f"{more} are. Accept it as it is, or choose with --off-step less or more (off_step in an order file)."
    )
    field = f"{side.value}.sphere"
    return Finding(Severity.WARNING, OFF_STEP, field, f"{sphere:+.3f}", f"{less} or {more}", _COMMON, sentence)
