"""A receipt may be for the customer, of what belongs to nobody in particular: it then names no wearer.

The receipts of before all name one.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "20261128_customers_receipts"
down_revision = "20261128_jobs_taken_out"
branch_labels = None
depends_on = None

TABLE, COLUMN = "receipt", "wearer_number"
NEEDED, FREE = f"\t{COLUMN} INTEGER NOT NULL", f"\t{COLUMN} INTEGER"


def upgrade() -> None:
    if op.get_bind().dialect.name == "sqlite":
        _make_anew(_statement().replace(NEEDED, FREE, 1))
    else:
        op.alter_column(TABLE, COLUMN, nullable=True)


def downgrade() -> None:
    bind = op.get_bind()
    if bind.execute(sa.text(f"SELECT COUNT(*) FROM {TABLE} WHERE {COLUMN} IS NULL")).scalar_one():  # noqa: S608 - above
        message = "the earlier form has no place for a receipt that names no wearer; nothing was changed"
        raise RuntimeError(message)
    if bind.dialect.name == "sqlite":
        _make_anew(_statement().replace(FREE, NEEDED, 1))
    else:
        op.alter_column(TABLE, COLUMN, nullable=False)


def _statement() -> str:
    asked = sa.text("SELECT sql FROM sqlite_schema WHERE type = 'table' AND name = :table")
    return str(op.get_bind().execute(asked, {"table": TABLE}).scalar_one())


def _make_anew(statement: str) -> None:
    """Put the rows aside, make the table by a statement, with its indexes, and put them back.

    Foreign keys are off meanwhile; the store sets the guards again and looks for rows that point at nothing.
    """
    bind = op.get_bind()
    indexes = sa.text("SELECT sql FROM sqlite_schema WHERE type = 'index' AND tbl_name = :table AND sql IS NOT NULL")
    made = [row.sql for row in bind.execute(indexes, {"table": TABLE}).all()]
    op.execute(f"CREATE TABLE kept_{TABLE} AS SELECT * FROM {TABLE}")  # noqa: S608 - names above
    op.drop_table(TABLE)
    for each in (statement, *made):
        bind.exec_driver_sql(each)
    names = ", ".join(each["name"] for each in sa.inspect(bind).get_columns(TABLE))
    op.execute(f"INSERT INTO {TABLE} ({names}) SELECT {names} FROM kept_{TABLE}")  # noqa: S608 - names of the table
    op.drop_table(f"kept_{TABLE}")
