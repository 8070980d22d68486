"""Each seal names the program that set it.

No table changes. The guards, which are set anew after every migration, take no more seal without a name: a program of
before, left open at a question while the ledger was brought up to date, stores nothing in it.
"""

from __future__ import annotations

revision = "20261129_named_writers"
down_revision = "20261128_year_lists"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Change no table."""


def downgrade() -> None:
    """Change no table."""
