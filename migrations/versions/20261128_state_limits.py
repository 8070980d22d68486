"""Limits of states that the owner watches: a table of its own, empty at first."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "20261128_state_limits"
down_revision = "20261128_bank"
branch_labels = None
depends_on = None

TABLE = "nexus_limit"
RULES = {
    "valid_from_is_day": "valid_from LIKE '____-__-__'",
    "sales_positive": "sales > 0",
    "orders_positive": "orders > 0",
    "needs_both_flag": "needs_both IN (0, 1)",
}


def upgrade() -> None:
    op.create_table(
        TABLE,
        *(sa.Column(name, sa.Text(), nullable=False) for name in ("state", "valid_from")),
        sa.Column("sales", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=True),
        sa.Column("orders", sa.Integer(), nullable=True),
        sa.Column("needs_both", sa.Integer(), nullable=False),
        sa.Column("operator", sa.Text(), nullable=False),
        sa.Column("recorded_at", sa.Text(), nullable=False),
        sa.Column("seal", sa.Integer(), nullable=False),
        *(sa.CheckConstraint(rule, name=op.f(f"ck_{TABLE}_{name}")) for name, rule in RULES.items()),
        sa.PrimaryKeyConstraint("state", "valid_from", name=op.f(f"pk_{TABLE}")),
        sqlite_strict=True,
    )
    op.create_index(op.f(f"ix_{TABLE}_seal"), TABLE, ["seal"])


def downgrade() -> None:
    if op.get_bind().execute(sa.text(f"SELECT COUNT(*) FROM {TABLE}")).scalar_one():  # noqa: S608 - the name above
        message = f"the earlier form has no place for the rows of {TABLE}; nothing was changed"
        raise RuntimeError(message)
    op.drop_table(TABLE)
