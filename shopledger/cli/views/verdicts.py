"""Verdicts on finished lenses, shown: each quantity with its difference, its limit and its rule."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from shopledger.cli.output import Column, Fields, Json, Table
from shopledger.optics.notation import write_dioptres

if TYPE_CHECKING:
    from shopledger.optics.inspection import Verdict
    from shopledger.optics.tolerances import Design, ToleranceTable


def verdict_data(verdicts: Sequence[Verdict], design: Design, table: ToleranceTable) -> dict[str, Json]:
    """Give verdicts as JSON."""
    return {
        "standard": table.name,
        "edition": table.edition,
        "design": design.value,
        "passed": all(verdict.passed for verdict in verdicts),
        "verdicts": [_one(verdict) for verdict in verdicts],
    }


def verdict_blocks(
    verdicts: Sequence[Verdict], design: Design, table: ToleranceTable
) -> tuple[Fields, Table, Fields, Fields]:
    """Give verdicts for reading: what was judged by which edition, the figures, the rules."""
    head = Fields("", (("standard", f"{table.name}, edition {table.edition}, for {design.value}"),))
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


def _one(verdict: Verdict) -> dict[str, Json]:
    return {
        "lens": verdict.where,
        "quantity": verdict.quantity,
        "ordered": round(verdict.ordered, 4),
        "measured": round(verdict.measured, 4),
        "difference": round(verdict.difference, 4),
        "limit": round(verdict.limit, 4),
        "unit": verdict.unit,
        "rule": verdict.rule,
        "or_else": verdict.or_else,
        "source": verdict.source,
        "passed": verdict.passed,
    }


def _row(verdict: Verdict) -> tuple[str, ...]:
    shown = (_figure(figure, verdict.unit) for figure in (verdict.ordered, verdict.measured, verdict.difference))
    # Limits such as an eighth of a dioptre have more places than a lensmeter.
    limit = f"{verdict.limit:.3g}"
    return (verdict.where, verdict.quantity, *shown, limit, "good" if verdict.passed else "NOT GOOD")


def _figure(figure: float, unit: str) -> str:
    """Write a figure as its kind is written: powers with their sign, angles whole."""
    if unit == "D":
        return write_dioptres(figure)
    return f"{figure:.0f}" if unit == "degrees" else f"{figure:.2f}"
