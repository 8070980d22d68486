"""What payments carry of orders that were put right: sales tax and shipping, for the books as money came in.

Payments of before stand on orders to which nothing was put right, so they have no rows.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "20261128_paid_shares"
down_revision = "20261128_jobs_again"
branch_labels = None
depends_on = None

TABLES = (("payment_share", "payment_number", "payment"), ("correction_share", "correction_number", "correction"))


def upgrade() -> None:
    for table, key, other in TABLES:
        op.create_table(
            table,
            sa.Column(key, sa.Integer(), nullable=False, autoincrement=False),
            *(sa.Column(name, _wide(), nullable=False) for name in ("tax", "sellers_tax", "shipping")),
            sa.Column("seal", sa.Integer(), nullable=False),
            sa.PrimaryKeyConstraint(key, name=op.f(f"pk_{table}")),
            sa.ForeignKeyConstraint(
                [key], [f"{other}.number"], name=op.f(f"fk_{table}_{key}_{other}"), ondelete="RESTRICT"
            ),
            sqlite_strict=True,
        )
        op.create_index(op.f(f"ix_{table}_seal"), table, ["seal"])


def downgrade() -> None:
    bind = op.get_bind()
    for table, _, _ in TABLES:
        if bind.execute(sa.text(f"SELECT COUNT(*) FROM {table}")).scalar_one():  # noqa: S608 - names above
            message = f"the earlier form has no place for the rows of {table}; nothing was changed"
            raise RuntimeError(message)
    for table, _, _ in reversed(TABLES):
        op.drop_table(table)


def _wide() -> sa.types.TypeEngine[int]:
    return sa.BigInteger().with_variant(sa.Integer(), "sqlite")
