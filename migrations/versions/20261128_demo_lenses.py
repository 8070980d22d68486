"""What an inspection saw of a frame's demonstration lenses.

A new column that may hold nothing, which it does in every inspection of before: nobody was asked then. Going down
again is refused where the earlier form has no place for what it holds.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "20261128_demo_lenses"
down_revision = "20261128_parcels"
branch_labels = None
depends_on = None

TABLE, COLUMN = "inspection", "demo_lenses"
RULE = f"ck_{TABLE}_{COLUMN}_known"
WORDS = f"{COLUMN} IN ('out', 'in', 'none')"


def upgrade() -> None:
    if op.get_bind().dialect.name == "sqlite":
        told = f"\t{COLUMN} TEXT, \n\tCONSTRAINT {RULE} CHECK ({WORDS}), \n\tCONSTRAINT"
        _make_anew(_statement().replace("\tCONSTRAINT", told, 1))
        return
    op.add_column(TABLE, sa.Column(COLUMN, sa.Text(), nullable=True))
    op.create_check_constraint(op.f(RULE), TABLE, WORDS)


def downgrade() -> None:
    bind = op.get_bind()
    filled = f"SELECT COUNT(*) FROM {TABLE} WHERE {COLUMN} IS NOT NULL"  # noqa: S608 - names above
    if bind.execute(sa.text(filled)).scalar_one():
        message = f"the earlier form has no place for demonstration lenses in the rows of {TABLE}; nothing was changed"
        raise RuntimeError(message)
    if bind.dialect.name != "sqlite":
        op.drop_column(TABLE, COLUMN)
        return
    gone = (f"\t{COLUMN} ", f"\tCONSTRAINT {RULE} ")
    _make_anew("\n".join(line for line in _statement().splitlines() if not line.startswith(gone)))


def _statement() -> str:
    """Give the statement that made the table."""
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
    both = {each["name"] for each in sa.inspect(bind).get_columns(TABLE)}
    kept = [each["name"] for each in sa.inspect(bind).get_columns(f"kept_{TABLE}") if each["name"] in both]
    names = ", ".join(kept)
    op.execute(f"INSERT INTO {TABLE} ({names}) SELECT {names} FROM kept_{TABLE}")  # noqa: S608 - names of the tables
    op.drop_table(f"kept_{TABLE}")
