"""New lenses for an old frame, shown: what they come to in each lens of the catalogue."""

from __future__ import annotations

from shopledger.cli.output import Column, Fields, Json, Table
from shopledger.cli.views.figures import day, mm, money
from shopledger.cli.views.lenses import finding_data, measurements_data, measurements_words, powers_data
from shopledger.desk.reordering import ReorderPlan
from shopledger.ledger.layout import EyeLayout, PairLayout
from shopledger.money.amount import write_amount
from shopledger.optics.notation import write_eye


def plan_data(plan: ReorderPlan) -> dict[str, Json]:
    """Give a reorder as JSON."""
    return {
        "customer": plan.customer.number,
        "wearer": plan.wearer.name,
        "frame": plan.frame.code,
        "earlier_job": plan.pair.job_number,
        "prescription": plan.new.number,
        "previous_prescription": plan.old.number if plan.old else None,
        "powers": powers_data(plan.new.powers),
        "measurements": measurements_data(plan.measurements),
        "chosen": _layout_data(plan.chosen),
        "others": [_layout_data(other) for other in plan.others],
        "findings": finding_data(plan.findings),
    }


def plan_fields(plan: ReorderPlan) -> Fields:
    """Give the head of a reorder for reading."""
    rows = (
        ("frame", plan.frame.description),
        ("earlier pair", f"job {plan.pair.job_number}, order {plan.order.number} of {day(plan.order.day)}"),
        ("prescription", f"{plan.new.number} of {day(plan.new.written_on)}"),
        ("right", write_eye(plan.new.powers.right)),
        ("left", write_eye(plan.new.powers.left)),
        ("measurements", measurements_words(plan.measurements)),
        ("lens", plan.chosen.lens.name),
    )
    return Fields(f"New lenses for {plan.wearer.name}", rows)


def layout_table(plan: ReorderPlan) -> Table:
    """Compare the chosen lens with the catalogue's others of its design."""
    columns = (
        Column("lens"),
        Column("price", right=True),
        Column("blank R", right=True),
        Column("blank L", right=True),
        Column("thickest edge", right=True),
        Column("weight", right=True),
    )
    return Table("Lenses that could be ordered", columns, [_row(each) for each in (plan.chosen, *plan.others)])


def _row(layout: PairLayout) -> tuple[str, ...]:
    thickest, weight = layout.thickest, layout.weight
    return (
        layout.lens.name,
        write_amount(layout.lens.price),
        mm(layout.right.blank) or "none",
        mm(layout.left.blank) or "none",
        "cannot be" if thickest is None else f"{thickest:.1f} mm",
        "" if weight is None else f"{weight:.1f} g",
    )


def _layout_data(layout: PairLayout) -> dict[str, Json]:
    return {
        "lens": layout.lens.code,
        "price": money(layout.lens.price),
        "base_curve": layout.base_curve,
        "right": _eye_data(layout.right),
        "left": _eye_data(layout.left),
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
    }
