"""What one eye of a pair has of its own: another lens, upgrades of its own, or no new lens at all.

The pairs of before have two equal lenses, which takes no row.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "20261128_own_lenses"
down_revision = "20261127_prescription_files"
branch_labels = None
depends_on = None

LENS, EXTRA = "order_own_lens", "order_own_extra"


def upgrade() -> None:
    op.create_table(
        LENS,
        *_keys(LENS),
        sa.Column("making", sa.Text(), nullable=False),
        sa.Column("lens_code", sa.Text(), nullable=True),
        sa.PrimaryKeyConstraint("job_number", "side", name=op.f(f"pk_{LENS}")),
        *_rules(LENS),
        sa.CheckConstraint("making IN ('new', 'kept', 'none')", name=op.f(f"ck_{LENS}_making_known")),
        _refers(LENS, "lens_code", "lens", "code"),
        sqlite_strict=True,
    )
    op.create_index(op.f(f"ix_{LENS}_lens_code"), LENS, ["lens_code"])
    op.create_table(
        EXTRA,
        *_keys(EXTRA),
        sa.Column("position", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("extra_code", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("job_number", "side", "position", name=op.f(f"pk_{EXTRA}")),
        *_rules(EXTRA),
        _refers(EXTRA, "extra_code", "extra", "code"),
        sqlite_strict=True,
    )
    op.create_index(op.f(f"ix_{EXTRA}_extra_code"), EXTRA, ["extra_code"])
    for table in (LENS, EXTRA):
        op.create_index(op.f(f"ix_{table}_seal"), table, ["seal"])


def downgrade() -> None:
    for table in (EXTRA, LENS):
        if op.get_bind().execute(sa.text(f"SELECT COUNT(*) FROM {table}")).scalar_one():  # noqa: S608 - names above
            message = f"the earlier form has no place for the rows of {table}; nothing was changed"
            raise RuntimeError(message)
    for table in (EXTRA, LENS):
        op.drop_table(table)


def _keys(_table: str) -> tuple[sa.Column[int] | sa.Column[str], ...]:
    return (
        sa.Column("job_number", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("side", sa.Text(), nullable=False),
        sa.Column("seal", sa.Integer(), autoincrement=False, nullable=False),
    )


def _rules(table: str) -> tuple[sa.Constraint, ...]:
    known = sa.CheckConstraint("side IN ('right', 'left')", name=op.f(f"ck_{table}_side_known"))
    return known, _refers(table, "job_number", "order_pair", "job_number")


def _refers(table: str, column: str, other: str, key: str) -> sa.ForeignKeyConstraint:
    name = op.f(f"fk_{table}_{column}_{other}")
    return sa.ForeignKeyConstraint([column], [f"{other}.{key}"], name=name, ondelete="RESTRICT")
