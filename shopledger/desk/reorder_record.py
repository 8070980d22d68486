"""The reorder record's content: a plan put into the words and numbers of the paper."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from shopledger.desk.context import Desk
from shopledger.desk.reordering import ReorderPlan, ReorderRequest, draft_reorder
from shopledger.ledger.journal import Head
from shopledger.ledger.layout import EyeLayout, PairLayout
from shopledger.ledger.parties import Shop, spellings_of
from shopledger.money.amount import write_amount
from shopledger.optics.body import LensBody
from shopledger.optics.boxing import box
from shopledger.optics.notation import write_dioptres, write_eye, write_prism
from shopledger.optics.prescription import EyePrescription
from shopledger.optics.sides import Side
from shopledger.optics.trace import Trace
from shopledger.paperwork.reorder import reorder_document, reorder_pdf
from shopledger.paperwork.reorder_sheet import (
    EyeFigures,
    EyeShape,
    LensOption,
    LensThickness,
    PowerChange,
    ReorderSheet,
    SheetFinding,
)
from shopledger.paperwork.wording import read_wording

_NONE: Final = "–"
_UNUSUAL: Final = "CHANGE-UNUSUAL"


def reorder(desk: Desk, request: ReorderRequest, folder: Path) -> tuple[int, ReorderPlan, Path]:
    """Store the draft order for new lenses and print the record; gives draft number, plan and file."""
    wording = read_wording("reorder", desk.own_templates)
    with desk.writing() as work:
        draft, plan = draft_reorder(work, desk, request)
        shop, settings, head = work.shop.profile(), work.shop.settings(), work.journal.head()
        extras = tuple(work.catalogue.extra(code).name for code in plan.request.pairs[0].extras)
        sheet = reorder_sheet(draft, plan, shop, extras, head)
        # Placed before anything is stored, so that no draft is left behind by a record that cannot be printed.
        spellings = dict(spellings_of(plan.customer, plan.wearer))
        reorder_document(sheet, paper=settings.paper, wording=wording, spellings=spellings)
    file = folder / f"reorder-{draft:05d}.pdf"
    target = reorder_pdf(sheet, file, paper=settings.paper, wording=wording, spellings=spellings)
    return draft, plan, target


def reorder_sheet(draft: int, plan: ReorderPlan, shop: Shop, extras: tuple[str, ...], head: Head) -> ReorderSheet:
    """Give everything the record says."""
    chosen, origin, old = plan.chosen, plan.trace.origin, plan.old
    device = f", {origin.device}" if origin.device else ""
    return ReorderSheet(
        number=str(draft),
        day=plan.day.isoformat(),
        shop_name=shop.name,
        shop_lines=shop.address.lines,
        shop_phone=shop.phone,
        customer=plan.customer.name,
        customer_lines=plan.customer.address.lines,
        wearer=plan.wearer.name,
        earlier_pair=f"job {plan.pair.job_number}, order {plan.order.number} of {plan.order.day.isoformat()}",
        prescriber=plan.prescriber.name,
        frame=plan.frame.description,
        trace_origin=f"{origin.file_name}, traced {origin.traced_on.isoformat()}{device}",
        right_shape=_shape(plan.trace.shape.right, chosen.right),
        left_shape=_shape(plan.trace.shape.left, chosen.left),
        dbl=plan.trace.shape.dbl,
        right=_figures(plan, chosen.right),
        left=_figures(plan, chosen.left),
        before_day=old.written_on.isoformat() if old else "",
        now_day=plan.new.written_on.isoformat(),
        right_powers=_changes(plan, Side.RIGHT),
        left_powers=_changes(plan, Side.LEFT),
        lens=f"{chosen.lens.name}, {chosen.lens.material}, {write_amount(chosen.lens.price)} a pair",
        use=plan.request.pairs[0].use.value if plan.request.pairs[0].use else "",
        right_made=write_eye(chosen.right.power),
        left_made=write_eye(chosen.left.power),
        extras=extras,
        base_curve=chosen.base_curve,
        options=(_option(chosen, chosen=True), *(_option(other) for other in plan.others)),
        findings=tuple(SheetFinding(finding.severity.value, finding.sentence) for finding in plan.findings),
        ledger_head=str(head),
    )


def _shape(trace: Trace, eye: EyeLayout) -> EyeShape:
    """Draw a lens from its boxed centre, as seen from the front: inward is to the right for the right lens."""
    boxed = box(trace)
    outline = tuple((float(x) - boxed.centre_x, float(y) - boxed.centre_y) for x, y in trace.points)
    inward = eye.decentration_in if eye.side is Side.RIGHT else -eye.decentration_in
    return EyeShape(outline, (inward, eye.offset_up), eye.blank)


def _figures(plan: ReorderPlan, eye: EyeLayout) -> EyeFigures:
    measured = plan.measurements.eye(eye.side)
    return EyeFigures(
        a=eye.boxed.a,
        b=eye.boxed.b,
        ed=eye.boxed.ed,
        circumference=eye.boxed.circumference,
        mono_pd=measured.mono_pd,
        near_pd=measured.near_pd,
        fitting_height=measured.fitting_height,
        decentration_in=eye.decentration_in,
        offset_up=eye.offset_up,
        blank_needed=eye.blank_needed,
        blank_by_rule=eye.blank_by_rule,
        blank=eye.blank,
    )


def _changes(plan: ReorderPlan, side: Side) -> tuple[PowerChange, ...]:
    """Give each quantity before and now; the cylinder forms are made alike first, so that differences mean much."""
    before, now = plan.old.powers.eye(side) if plan.old else None, plan.new.powers.eye(side)
    was = before.power.as_minus_cylinder() if before else None
    power = now.power.as_minus_cylinder()
    notable = any(finding.code == _UNUSUAL and finding.field.startswith(side.value) for finding in plan.findings)
    return (
        _change("sphere", was.sphere if was else None, power.sphere, notable=notable),
        _change("cylinder", was.cylinder if was else None, power.cylinder, notable=notable),
        PowerChange("axis", _axis(was.axis if was else None), _axis(power.axis), ""),
        _change("add", before.add if before else None, now.add),
        PowerChange("prism", _prism(before), _prism(now), ""),
        _change("equivalent", was.spherical_equivalent if was else None, power.spherical_equivalent, notable=notable),
    )


def _change(quantity: str, before: float | None, now: float | None, *, notable: bool = False) -> PowerChange:
    change = "" if before is None or now is None else write_dioptres(now - before)
    return PowerChange(quantity, _dioptres(before), _dioptres(now), change, notable)


def _dioptres(value: float | None) -> str:
    return _NONE if value is None else write_dioptres(value)


def _axis(axis: float | None) -> str:
    return _NONE if axis is None else f"{axis:03.0f}"


def _prism(eye: EyePrescription | None) -> str:
    return ", ".join(write_prism(prism) for prism in eye.prism) if eye and eye.prism else _NONE


def _option(layout: PairLayout, *, chosen: bool = False) -> LensOption:
    refusal = " ".join(dict.fromkeys(eye.refusal for eye in layout.eyes if eye.refusal))
    return LensOption(
        layout.lens.name, _thickness(layout.right.body), _thickness(layout.left.body), chosen=chosen, refusal=refusal
    )


def _thickness(body: LensBody | None) -> LensThickness | None:
    if body is None:
        return None
    return LensThickness(
        body.centre_thickness, body.thinnest, body.thinnest_angle, body.thickest, body.thickest_angle, body.weight_g
    )
