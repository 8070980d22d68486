"""That a job was taken out of its order with nothing in its place: a table beside the pairs, which stand as before."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "20261128_jobs_taken_out"
down_revision = "20261128_paid_shares"
branch_labels = None
depends_on = None

TABLE = "job_taken_out"


def upgrade() -> None:
    op.create_table(
        TABLE,
        *map(_number, ("job_number", "correction_number", "seal")),
        sa.PrimaryKeyConstraint("job_number", name=op.f(f"pk_{TABLE}")),
        _refers("job_number", "order_pair", "job_number"),
        _refers("correction_number", "correction", "number"),
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


def _refers(column: str, table: str, key: str) -> sa.ForeignKeyConstraint:
    name = op.f(f"fk_{TABLE}_{column}_{table}")
    return sa.ForeignKeyConstraint([column], [f"{table}.{key}"], name=name, ondelete="RESTRICT")
