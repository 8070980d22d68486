"""Operators may log in at the counter from another computer.

The table is new; no row of before changes.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "20261201_logins"
down_revision = "20261130_kept_forms"
branch_labels = None
depends_on = None

LOGIN = "login"


def upgrade() -> None:
    op.create_table(
        LOGIN,
        *map(_text, ("folded", "name", "role", "secret", "operator", "recorded_at")),
        sa.Column("seal", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("folded", name=op.f(f"pk_{LOGIN}")),
        sa.CheckConstraint("name <> ''", name=op.f(f"ck_{LOGIN}_name_filled")),
        sa.CheckConstraint("role IN ('owner', 'counter')", name=op.f(f"ck_{LOGIN}_role_known")),
        sa.CheckConstraint("secret <> ''", name=op.f(f"ck_{LOGIN}_secret_filled")),
        sqlite_strict=True,
    )
    op.create_index(op.f(f"ix_{LOGIN}_seal"), LOGIN, ["seal"])


def downgrade() -> None:
    if op.get_bind().execute(sa.text(f"SELECT COUNT(*) FROM {LOGIN}")).scalar_one():  # noqa: S608 - the name above
        message = "the earlier form has no place for those who may log in; nothing was changed"
        raise RuntimeError(message)
    op.drop_table(LOGIN)


def _text(name: str) -> sa.Column[str]:
    return sa.Column(name, sa.Text(), nullable=False)
