"""That a job is made in the place of another of its order: a table beside the pairs. The pairs of before stand."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "20261128_jobs_again"
down_revision = "20261128_corrections"
branch_labels = None
depends_on = None

TABLE = "job_again"
CAUSES = (
    *("put right", "exchanged", "shop error", "maker error", "prescriber change", "customer wish"),
    *("broken in work", "lost on its way"),
)


def upgrade() -> None:
    listed = ", ".join(f"'{cause}'" for cause in CAUSES)
    op.create_table(
        TABLE,
        *(sa.Column(name, sa.Text(), nullable=False) for name in ("operator", "recorded_at", "cause", "day", "reason")),
        *(_number(name) for name in ("job_number", "in_place_of", "place", "new_frame", "seal")),
        sa.Column("correction_number", sa.Integer(), autoincrement=False, nullable=True),
        sa.Column("salt", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("job_number", name=op.f(f"pk_{TABLE}")),
        sa.UniqueConstraint("in_place_of", name=op.f(f"uq_{TABLE}_in_place_of")),
        *(_refers(name, "order_pair", "job_number") for name in ("job_number", "in_place_of")),
        _refers("correction_number", "correction", "number"),
        sa.CheckConstraint("new_frame IN (0, 1)", name=op.f(f"ck_{TABLE}_new_frame_flag")),
        sa.CheckConstraint("place >= 1", name=op.f(f"ck_{TABLE}_place_counts")),
        sa.CheckConstraint(f"cause IN ({listed})", name=op.f(f"ck_{TABLE}_cause_known")),
        sa.CheckConstraint("day LIKE '____-__-__'", name=op.f(f"ck_{TABLE}_day_is_day")),
        sa.CheckConstraint("job_number > in_place_of", name=op.f(f"ck_{TABLE}_later_job")),
        sqlite_strict=True,
    )
    for column in ("correction_number", "seal"):
        op.create_index(op.f(f"ix_{TABLE}_{column}"), TABLE, [column])


def downgrade() -> None:
    if op.get_bind().execute(sa.text(f"SELECT COUNT(*) FROM {TABLE}")).scalar_one():  # noqa: S608 - the name above
        message = f"the earlier form has no place for the rows of {TABLE}; nothing was changed"
        raise RuntimeError(message)
    op.drop_table(TABLE)


def _number(name: str) -> sa.Column[int]:
    return sa.Column(name, sa.Integer(), autoincrement=False, nullable=False)


def _refers(column: str, other: str, key: str) -> sa.ForeignKeyConstraint:
    name = op.f(f"fk_{TABLE}_{column}_{other}")
    return sa.ForeignKeyConstraint([column], [f"{other}.{key}"], name=name, ondelete="RESTRICT")
