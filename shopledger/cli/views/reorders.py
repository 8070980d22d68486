"""New lenses for an old frame, shown: what changed, what they come to in each lens of the catalogue, what they cost."""

from __future__ import annotations

from collections.abc import Iterator

from shopledger.cli.output import Block, Column, Drawing, Fields, Json, Table
from shopledger.cli.views.drawing import draw_pair
from shopledger.cli.views.figures import Outside, day, mm, money, rounded
from shopledger.cli.views.lenses import OUT as LENSES
from shopledger.cli.views.lenses import finding_data, measurements_words
from shopledger.cli.views.orders import order_data, priced_table, totals
from shopledger.desk.reordering import ReorderPlan
from shopledger.ledger.canonical import Shape
from shopledger.ledger.layout import EyeLayout, PairLayout
from shopledger.ledger.line_model import kept_lines
from shopledger.ledger.orders import OrderAccount
from shopledger.money.amount import write_amount
from shopledger.optics.age import age_in_words
from shopledger.optics.body import LensBody
from shopledger.optics.notation import write_eye
from shopledger.optics.sides import Side

_MEASURES = ("centre", "thinnest_edge", "thickest_edge", "weight")
_LONGEST = 36
"""The longest bar in letters."""


OUT = Outside(
    {
        PairLayout: Shape(
            keys=("lens", "material", "price", "base_curve", "right", "left", *_MEASURES),
            made={
                "lens": lambda layout: layout.lens.code,
                "material": lambda layout: layout.lens.material,
                "price": lambda layout: money(layout.lens.price),
                **rounded(2, "centre", thinnest_edge="thinnest", thickest_edge="thickest"),
                **rounded(1, "weight"),
            },
        ),
        EyeLayout: Shape(
            keys=("made", "decentration_in", "offset_up", "blank_needed", "blank", "refusal", "body"),
            renamed={"body": "thickness"},
            made={
                "made": lambda eye: write_eye(eye.power),
                **rounded(2, "decentration_in", "offset_up", "blank_needed"),
            },
        ),
        LensBody: Shape(
            keys=("centre", "thinnest", "thinnest_at", "thickest", "thickest_at", "weight"),
            made={
                **rounded(2, "thinnest", "thickest", centre="centre_thickness", weight="weight_g"),
                **rounded(1, thinnest_at="thinnest_angle", thickest_at="thickest_angle"),
            },
        ),
    },
    LENSES,
)


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
        "powers": OUT.of(plan.new.powers),
        "previous_powers": OUT.of(plan.old.powers) if plan.old else None,
        "changes": {side.value: words for side, words in plan.changes.items()} or None,
        "measurements": OUT.of(plan.measurements),
        "chosen": OUT.of(plan.chosen),
        "others": OUT.all(plan.others),
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
    yield priced_table(kept_lines(OrderAccount(plan.sale.order)))
    yield totals(plan.sale.order)


def plan_fields(plan: ReorderPlan) -> Fields:
    """Give the head of a reorder for reading."""
    rows = (
        ("frame", plan.frame.description),
        ("earlier pair", _earlier_words(plan)),
        ("trace", f"{plan.trace.number}, {plan.trace.origin.file_name}, {day(plan.trace.origin.traced_on)}"),
        ("prescription", f"{plan.new.number}, {age_in_words(plan.new.written_on, plan.day)}"),
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
    """Draw the thickest edge of each lens that can be made as a bar of text, all on one scale from zero."""
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
