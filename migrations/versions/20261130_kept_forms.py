"""Forms that were begun are kept, and a form that was sent twice is stored once.

Both tables are new; no row of before changes.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "20261130_kept_forms"
down_revision = "20261129_named_writers"
branch_labels = None
depends_on = None

FORM, SENT = "kept_form", "sent_form"


def upgrade() -> None:
    op.create_table(
        FORM,
        *map(_text, ("kind", "about", "body", "operator", "recorded_at")),
        sa.PrimaryKeyConstraint("kind", "about", name=op.f(f"pk_{FORM}")),
        sa.CheckConstraint("body <> ''", name=op.f(f"ck_{FORM}_body_filled")),
        sqlite_strict=True,
    )
    op.create_table(
        SENT,
        *map(_text, ("once", "page", "operator", "recorded_at")),
        sa.PrimaryKeyConstraint("once", name=op.f(f"pk_{SENT}")),
        sqlite_strict=True,
    )


def downgrade() -> None:
    """Both hold what somebody is still typing, which an earlier program does not know."""
    op.drop_table(SENT)
    op.drop_table(FORM)


def _text(name: str) -> sa.Column[str]:
    return sa.Column(name, sa.Text(), nullable=False)
