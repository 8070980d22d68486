"""The board of open jobs, shown."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from shopledger.cli.output import Column, Json, Table
from shopledger.cli.views.figures import day

if TYPE_CHECKING:
    from shopledger.desk.jobs import BoardRow


def board_data(row: BoardRow) -> dict[str, Json]:
    """Give a job on the board as JSON."""
    facts = row.job.facts
    return {
        "job": facts.job_number,
        "order": facts.order_number,
        "wearer": row.initials,
        "frame": facts.frame_code,
        "lens": row.job.lens_code,
        "stage": row.standing.stage.value,
        "next": row.standing.next_step,
        "command": row.standing.command,
        "ordered_on": day(facts.ordered_on),
        "lens_order": facts.lens_order,
        "lenses_ordered_on": day(facts.lenses_ordered_on) or None,
        "lenses_expected_on": day(facts.lenses_expected_on) or None,
        "lenses_arrived_on": day(facts.lenses_arrived_on) or None,
        "in_place_of": facts.in_place_of,
        "overtaken_by": facts.overtaken_by,
        "days": row.days,
        "overdue": row.overdue,
    }


def board_table(rows: Sequence[BoardRow]) -> Table:
    """Give the board for reading; what is overdue is marked in words."""
    columns = (
        Column("job", right=True, whole=True),
        Column("order", right=True, whole=True),
        Column("for"),
        Column("frame", whole=True),
        Column("lens", whole=True),
        Column("stage"),
        Column("next"),
        Column("days", right=True, whole=True),
    )
    return Table("Open jobs", columns, [_board_row(row) for row in rows], "no job is open.")


def _board_row(row: BoardRow) -> tuple[str, ...]:
    facts = row.job.facts
    stage = f"{row.standing.stage.value}, OVERDUE" if row.overdue else row.standing.stage.value
    return (
        str(facts.job_number),
        str(facts.order_number),
        row.initials,
        facts.frame_code,
        row.job.lens_code,
        stage,
        row.standing.next_step,
        str(row.days),
    )
