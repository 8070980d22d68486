"""New lenses for an old frame, shown: what changed, what they come to in each lens of the catalogue, what they cost."""

from __future__ import annotations

from collections.abc import Iterator

from shopledger.cli.output import Block, Column, Drawing, Fields, Json, Table
from shopledger.cli.shape import draw_pair
from shopledger.cli.views.figures import day, mm, money
from shopledger.cli.views.lenses import finding_data, measurements_data, measurements_words, powers_data
from shopledger.cli.views.orders import order_data, priced_table, totals
from shopledger.desk.reordering import ReorderPlan
from shopledger.ledger.layout import EyeLayout, PairLayout
from shopledger.money.amount import write_amount
from shopledger.optics.body import LensBody
from shopledger.optics.notation import write_eye
from shopledger.optics.sides import Side

_LONGEST = 36
"""The longest bar in letters."""


def plan_data(plan: ReorderPlan) -> dict[str, Json]:
    """Give a reorder as JSON."""
    earlier = plan.earlier
    return {
        "customer": plan.customer.number,
        "wearer": plan.wearer.name,
        "frame": plan.frame.code,
        "earlier_job": earlier.pair.job_number if earlier else None,
        "earlier_in_this_frame": earlier is not None and earlier.same_frame,
        "trace": plan.trace.number,
        "prescription": plan.new.number,
        "previous_prescription": plan.old.number if plan.old else None,
        "powers": powers_data(plan.new.powers),
        "previous_powers": powers_data(plan.old.powers) if plan.old else None,
        "changes": {side.value: words for side, words in plan.changes.items()} or None,
        "measurements": measurements_data(plan.measurements),
        "chosen": _layout_data(plan.chosen),
        "others": [_layout_data(other) for other in plan.others],
        "order": order_data(plan.sale.order, plan.customer.name),
        "findings": finding_data(plan.findings),
    }


def plan_blocks(plan: ReorderPlan) -> Iterator[Block]:
    """Give a reorder for reading: head, shapes, prescriptions, lenses compared as table and bars, today's price."""
    shape = plan.trace.shape
    right, left = ([(float(x), float(y)) for x, y in eye.points] for eye in (shape.right, shape.left))
    yield plan_fields(plan)
    yield Drawing(draw_pair(right, left, shape.dbl))
    yield _powers_table(plan)
    yield Fields("What changed", [(side.value, words) for side, words in plan.changes.items()])
    yield layout_table(plan)
    yield Drawing(thickness_bars((plan.chosen, *plan.others)))
    yield priced_table(plan.sale.order)
    yield totals(plan.sale.order)


def plan_fields(plan: ReorderPlan) -> Fields:
    """Give the head of a reorder for reading."""
    rows = (
        ("frame", plan.frame.description),
        ("earlier pair", _earlier_words(plan)),
        ("trace", f"{plan.trace.number}, {plan.trace.origin.file_name}, {day(plan.trace.origin.traced_on)}"),
        ("prescription", f"{plan.new.number} of {day(plan.new.written_on)}"),
        ("measurements", measurements_words(plan.measurements)),
        ("lens", f"{plan.chosen.lens.name}, {plan.chosen.lens.material}"),
    )
    return Fields(f"New lenses for {plan.wearer.name}", rows)


def _earlier_words(plan: ReorderPlan) -> str:
    if plan.earlier is None:
        return "none from here"
    order, pair = plan.earlier.order, plan.earlier.pair
    where = "" if plan.earlier.same_frame else f", in {pair.frame_code}"
    return f"job {pair.job_number}, order {order.number} of {day(order.day)}{where}"


def _powers_table(plan: ReorderPlan) -> Table:
    """Set both prescriptions side by side, with the power that is made."""
    columns = (Column("eye"), Column("before"), Column("now"), Column("made"))
    rows = [
        (
            side.value,
            write_eye(plan.old.powers.eye(side)) if plan.old else "",
            write_eye(plan.new.powers.eye(side)),
            write_eye(plan.chosen.eye(side).power),
        )
        for side in Side
    ]
    return Table("Prescription", columns, rows)


def layout_table(plan: ReorderPlan) -> Table:
    """Compare the chosen lens with the catalogue's others of its design."""
    columns = (
        Column("lens"),
        Column("a pair", right=True),
        Column("blank", right=True),
        Column("centre", right=True),
        Column("thin edge", right=True),
        Column("thick edge", right=True),
        Column("weight", right=True),
    )
    return Table("Lenses that could be ordered", columns, [_row(each) for each in (plan.chosen, *plan.others)])


def thickness_bars(layouts: tuple[PairLayout, ...]) -> list[str]:
    """Draw the thickest edge of each lens that can be made as a bar of text, all on one scale from nought."""
    made = [(each.lens.name, each.thickest) for each in layouts if each.thickest is not None]
    if not made:
        return []
    most, name_width = max(thickest for _, thickest in made), max(len(name) for name, _ in made)
    rows = [
        f"{name:<{name_width}}  {'#' * max(1, round(thickest / most * _LONGEST))} {thickest:.1f} mm"
        for name, thickest in made
    ]
    return ["Thickest edge", *rows]


def _row(layout: PairLayout) -> tuple[str, ...]:
    thickest, weight = layout.thickest, layout.weight
    return (
        layout.lens.name,
        write_amount(layout.lens.price),
        _blanks(layout),
        "" if layout.centre is None else f"{layout.centre:.1f}",
        "" if layout.thinnest is None else f"{layout.thinnest:.1f}",
        "cannot be" if thickest is None else f"{thickest:.1f}",
        "" if weight is None else f"{weight:.1f} g",
    )


def _blanks(layout: PairLayout) -> str:
    """Give the diameter of the blank, or of both where right and left differ."""
    both = [mm(eye.blank) or "none" for eye in layout.eyes]
    return both[0] if both[0] == both[1] else " / ".join(both)


def _layout_data(layout: PairLayout) -> dict[str, Json]:
    return {
        "lens": layout.lens.code,
        "material": layout.lens.material,
        "price": money(layout.lens.price),
        "base_curve": layout.base_curve,
        "right": _eye_data(layout.right),
        "left": _eye_data(layout.left),
        "centre": None if layout.centre is None else round(layout.centre, 2),
        "thinnest_edge": None if layout.thinnest is None else round(layout.thinnest, 2),
        "thickest_edge": None if layout.thickest is None else round(layout.thickest, 2),
        "weight": None if layout.weight is None else round(layout.weight, 1),
    }


def _eye_data(eye: EyeLayout) -> dict[str, Json]:
    return {
        "made": write_eye(eye.power),
        "decentration_in": round(eye.decentration_in, 2),
        "offset_up": round(eye.offset_up, 2),
        "blank_needed": round(eye.blank_needed, 2),
        "blank": eye.blank,
        "refusal": eye.refusal,
        "thickness": None if eye.body is None else _body_data(eye.body),
    }


def _body_data(body: LensBody) -> dict[str, Json]:
    return {
        "centre": round(body.centre_thickness, 2),
        "thinnest": round(body.thinnest, 2),
        "thinnest_at": round(body.thinnest_angle, 1),
        "thickest": round(body.thickest, 2),
        "thickest_at": round(body.thickest_angle, 1),
        "weight": round(body.weight_g, 2),
    }
