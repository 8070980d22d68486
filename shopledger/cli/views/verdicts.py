"""Verdicts on finished lenses, shown: each quantity with its difference, its limit and its rule."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from shopledger.cli.output import Column, Fields, Json, Table
from shopledger.cli.views.figures import Outside, rounded
from shopledger.ledger.canonical import Shape
from shopledger.optics.inspection import Verdict
from shopledger.optics.notation import write_dioptres

if TYPE_CHECKING:
    from shopledger.optics.tolerances import LensType, ToleranceTable


_JUDGED = ("ordered", "measured", "difference", "limit")

OUT = Outside(
    {
        Verdict: Shape(
            first=("where", "quantity", *_JUDGED, "unit", "rule", "or_else", "source", "passed"),
            renamed={"where": "lens"},
            made=rounded(4, *_JUDGED),
        )
    }
)


def verdict_data(verdicts: Sequence[Verdict], design: LensType, table: ToleranceTable) -> dict[str, Json]:
    """Give verdicts as JSON."""
    return {
        "standard": table.name,
        "edition": table.edition,
        "design": design.value,
        "passed": all(verdict.passed for verdict in verdicts),
        "verdicts": OUT.all(verdicts),
    }


def verdict_blocks(
    verdicts: Sequence[Verdict], design: LensType, table: ToleranceTable
) -> tuple[Fields, Table, Fields, Fields]:
    """Give verdicts for reading: after which edition it was judged, the figures, the rules."""
    after = f"after published summaries of {table.name}, edition {table.edition}, for {design.value}"
    head = Fields("", (("tolerances", after),))
    columns = (
        Column("lens"),
        Column("quantity"),
        *(Column(name, right=True) for name in ("ordered", "measured", "off by", "allowed")),
        Column("verdict", whole=True),
    )
    rows = [_row(verdict) for verdict in verdicts]
    rules = dict.fromkeys((verdict.quantity, verdict.rule) for verdict in verdicts)
    either = tuple((verdict.quantity, verdict.or_else) for verdict in verdicts if verdict.or_else)
    return head, Table("", columns, rows), Fields("Or else", either), Fields("Rules", tuple(rules))


def _row(verdict: Verdict) -> tuple[str, ...]:
    shown = (_figure(figure, verdict.unit) for figure in (verdict.ordered, verdict.measured, verdict.difference))
    # Limits such as an eighth of a dioptre have more places than a lensmeter.
    limit = f"{verdict.limit:.3g}"
    return (verdict.where, verdict.quantity, *shown, limit, "within" if verdict.passed else "OUTSIDE")


def _figure(figure: float, unit: str) -> str:
    """Write a figure as its kind is written: powers with their sign, angles whole."""
    if unit == "D":
        return write_dioptres(figure)
    return f"{figure:.0f}" if unit == "degrees" else f"{figure:.2f}"
