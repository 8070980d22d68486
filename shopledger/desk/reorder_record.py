"""The reorder record: a plan put into the words and numbers of the paper, powers before and now side by side."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from shopledger.desk.context import Desk
from shopledger.desk.printing import pdf_of, placed, with_papers
from shopledger.desk.reorder_lookups import ReorderRequest
from shopledger.desk.reordering import ReorderPlan, draft_reorder
from shopledger.ledger.books.journal import Head
from shopledger.ledger.layout import EyeLayout, PairLayout
from shopledger.ledger.orders import Order
from shopledger.ledger.papers.reorder_record import (
    CutShape,
    EyeFigures,
    EyeShape,
    LensOption,
    LensProfile,
    LensThickness,
    PowerChange,
    PriceLine,
    RecordFinding,
    RecordPrice,
    ReorderRecord,
)
from shopledger.ledger.papers.shop_lines import ShopLines
from shopledger.ledger.papers.strips import ON_REORDER, StripFacts, strips_of
from shopledger.ledger.parties import Shop, spellings_of
from shopledger.ledger.prescription import axis_turn
from shopledger.optics.body import LensBody
from shopledger.optics.notation import write_dioptres, write_eye, write_prisms
from shopledger.optics.prescription import EyePrescription
from shopledger.optics.profile import LensCut, edge_from_nose, lens_cut
from shopledger.optics.refusals import TraceError
from shopledger.optics.sides import Side
from shopledger.paperwork.reorder import REORDER


def reorder(desk: Desk, request: ReorderRequest, folder: Path) -> tuple[int, ReorderPlan, Path]:
    """Store the draft order for new lenses and print the record; gives draft number, plan and file."""
    with with_papers(desk) as outgoing:
        work = outgoing.work
        draft, plan = draft_reorder(work, desk, request)
        outgoing.stored = f"draft {draft}"
        shop, head = work.shop.profile(), work.seals.head()
        extras = tuple(work.catalogue.extra(code).name for code in plan.request.pairs[0].extras)
        record = reorder_record(draft, plan, shop, extras, head)
        pdf = pdf_of(placed(work, desk, REORDER, record, spellings_of(plan.customer, plan.wearer)))
        file = outgoing.add(pdf, folder / REORDER.file_name(draft))
    return draft, plan, file


def reorder_record(draft: int, plan: ReorderPlan, shop: Shop, extras: tuple[str, ...], head: Head) -> ReorderRecord:
    """Give everything the record says."""
    chosen, origin, old = plan.chosen, plan.trace.origin, plan.old
    device = f", {origin.device}" if origin.device else ""
    return ReorderRecord(
        number=str(draft),
        day=plan.day.isoformat(),
        shop=ShopLines(shop.name, shop.address.lines, shop.phone, ""),
        customer=plan.customer.name,
        customer_lines=plan.customer.address.lines,
        wearer=plan.wearer.name,
        earlier_pair=_earlier(plan),
        prescriber=plan.prescriber.name,
        frame=plan.frame.description,
        trace_origin=f"{origin.file_name}, traced {origin.traced_on.isoformat()}{device}",
        right_shape=_shape(plan, Side.RIGHT),
        left_shape=_shape(plan, Side.LEFT),
        dbl=plan.trace.shape.dbl,
        right=_figures(plan, chosen.right),
        left=_figures(plan, chosen.left),
        before_day=old.written_on.isoformat() if old else "",
        now_day=plan.new.written_on.isoformat(),
        right_powers=power_changes(plan, Side.RIGHT),
        left_powers=power_changes(plan, Side.LEFT),
        lens=f"{chosen.lens.name} · {chosen.lens.material}",
        use=plan.request.pairs[0].use.value if plan.request.pairs[0].use else "",
        right_made=_made(plan, Side.RIGHT),
        left_made=_made(plan, Side.LEFT),
        extras=extras,
        base_curve=chosen.base_curve,
        options=(_option(chosen, chosen=True), *(_option(other) for other in plan.others)),
        findings=tuple(RecordFinding(finding.severity.value, finding.sentence) for finding in plan.findings),
        ledger_head=str(head),
        right_change=plan.changes.get(Side.RIGHT, ""),
        left_change=plan.changes.get(Side.LEFT, ""),
        right_profile=_profile(plan, Side.RIGHT),
        left_profile=_profile(plan, Side.LEFT),
        price=_price(plan.sale.order),
        strips=strips_of(_facts(plan), ON_REORDER),
    )


def _made(plan: ReorderPlan, side: Side) -> str:
    """Give the power to make; empty where that eye gets no lens."""
    return write_eye(plan.chosen.eye(side).power) if side in plan.chosen.sides else ""


def _facts(plan: ReorderPlan) -> StripFacts:
    powers = plan.chosen.eyes
    return StripFacts(
        made=plan.chosen.sides,
        own_frame=plan.frame.owned_by is not None,
        prism={eye.side: write_prisms(eye.power.prism) for eye in powers},
        thickest={eye.side: eye.body.thickest for eye in powers if eye.body},
    )


def _earlier(plan: ReorderPlan) -> str:
    if plan.earlier is None or not plan.earlier.same_frame:
        return ""
    order = plan.earlier.order
    return f"job {plan.earlier.pair.job_number}, order {order.number} of {order.day.isoformat()}"


def _shape(plan: ReorderPlan, side: Side) -> EyeShape:
    """Draw a lens from its boxed centre, as seen from the front: inward is to the right for the right lens."""
    trace, eye = plan.trace.shape.eye(side), plan.chosen.eye(side)
    x, y = trace.points.T
    outline = tuple(zip((x - eye.boxed.centre_x).tolist(), (y - eye.boxed.centre_y).tolist(), strict=True))
    middle = eye.blank_middle
    return EyeShape(
        outline,
        (side.inward * eye.level.inward, eye.level.upward),
        eye.blank,
        eye.blank_needed,
        plan.measurements.eye(side).fitting_height,
        (side.inward * middle.inward, middle.upward),
    )


def _profile(plan: ReorderPlan, side: Side) -> LensProfile | None:
    """Cut the chosen lens; one that cannot be made, or whose centre lies outside its shape, has no cut to show."""
    eye, trace = plan.chosen.eye(side), plan.trace.shape.eye(side)
    if eye.body is None:
        return None
    try:
        level, upright = (_cut(lens_cut(eye.body, trace, eye.centre, meridian)) for meridian in (0.0, 90.0))
    except TraceError:
        return None
    return LensProfile(level, upright, tuple(edge_from_nose(eye.body, trace).tolist()), eye.body.centre_thickness)


def _cut(cut: LensCut) -> CutShape:
    return CutShape(tuple(cut.along.tolist()), tuple(cut.front.tolist()), tuple(cut.back.tolist()))


def _price(order: Order) -> RecordPrice:
    lines = tuple(PriceLine(line.description, line.list_price, line.reduction, line.net) for line in order.lines)
    return RecordPrice(lines, order.tax_total, order.total)


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
        decentration_in=eye.level.inward,
        offset_up=eye.level.upward,
        blank_needed=eye.blank_needed,
        blank_by_rule=eye.blank_by_rule,
        blank=eye.blank,
    )


def _option(layout: PairLayout, *, chosen: bool = False) -> LensOption:
    refusal = " ".join(dict.fromkeys(eye.refusal for eye in layout.eyes if eye.refusal))
    return LensOption(
        layout.lens.name,
        _thickness(layout.right.body),
        _thickness(layout.left.body),
        chosen=chosen,
        refusal=refusal,
        price=layout.lens.price,
    )


def _thickness(body: LensBody | None) -> LensThickness | None:
    if body is None:
        return None
    return LensThickness(
        body.centre_thickness, body.thinnest, body.thinnest_angle, body.thickest, body.thickest_angle, body.weight_g
    )


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
    return write_prisms(eye.prism) if eye and eye.prism else _NONE
