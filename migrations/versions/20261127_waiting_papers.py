"""Papers that were issued and have not reached their place: a row of their own for each.

Receipts that were numbered and never printed wait from the start, unless another took their place.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "20261127_waiting_papers"
down_revision = "20261127_seals"
branch_labels = None
depends_on = None

NEVER_PRINTED = """
INSERT INTO waiting_paper (number, kind, seal, operator, recorded_at)
SELECT receipt.number, 'receipt', receipt.seal, receipt.operator, receipt.recorded_at FROM receipt
WHERE NOT EXISTS (SELECT 1 FROM receipt_print WHERE receipt_print.receipt_number = receipt.number)
  AND NOT EXISTS (SELECT 1 FROM receipt_replacement WHERE receipt_replacement.receipt_number = receipt.number)
"""


def upgrade() -> None:
    op.create_table(
        "waiting_paper",
        sa.Column("number", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("seal", sa.Integer(), nullable=False),
        sa.Column("operator", sa.Text(), nullable=False),
        sa.Column("recorded_at", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("number", "kind", name="pk_waiting_paper"),
        sa.CheckConstraint(
            "kind IN ('receipt', 'certificate', 'lens order')", name=op.f("ck_waiting_paper_kind_known")
        ),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_waiting_paper_seal"), "waiting_paper", ["seal"])
    op.execute(NEVER_PRINTED)


def downgrade() -> None:
    # A receipt that waits is known by having no print; the earlier form asks for no more.
    op.drop_table("waiting_paper")
