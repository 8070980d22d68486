"""After how many months the owner asks about a prescription: a setting that is off until it is chosen."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "20261128_prescription_age"
down_revision = "20261128_segments"
branch_labels = None
depends_on = None

TABLE, COLUMN = "shop_settings", "prescription_months"
RULE = "ck_shop_settings_prescription_months_range"
HELD = "prescription_months BETWEEN 1 AND 120"


def upgrade() -> None:
    if op.get_bind().dialect.name == "sqlite":
        _make_anew(now=True)
        return
    op.add_column(TABLE, sa.Column(COLUMN, sa.Integer(), nullable=True))
    op.create_check_constraint(op.f(RULE), TABLE, HELD)


def downgrade() -> None:
    chosen = sa.text(f"SELECT COUNT(*) FROM {TABLE} WHERE {COLUMN} IS NOT NULL")  # noqa: S608 - names above
    if op.get_bind().execute(chosen).scalar_one():
        message = f"the earlier form has no place for {COLUMN}: take the setting away first; nothing was changed"
        raise RuntimeError(message)
    if op.get_bind().dialect.name == "sqlite":
        _make_anew(now=False)
    else:
        op.drop_column(TABLE, COLUMN)


def _make_anew(*, now: bool) -> None:
    """Put the row aside, make the table by its own statement with the column or without it, and put the row back.

    The store sets the guards again.
    """
    bind = op.get_bind()
    schema = sa.text("SELECT type, sql FROM sqlite_schema WHERE tbl_name = :table AND sql IS NOT NULL ORDER BY rowid")
    said = [(row.type, row.sql) for row in bind.execute(schema, {"table": TABLE}).all()]
    op.execute(f"CREATE TABLE kept_{TABLE} AS SELECT * FROM {TABLE}")  # noqa: S608 - names above
    op.drop_table(TABLE)
    for kind, statement in said:
        if kind != "trigger":
            bind.exec_driver_sql(_changed(statement, now=now) if kind == "table" else statement)
    both = {each["name"] for each in sa.inspect(bind).get_columns(TABLE)}
    kept = [each["name"] for each in sa.inspect(bind).get_columns(f"kept_{TABLE}") if each["name"] in both]
    names = ", ".join(kept)
    op.execute(f"INSERT INTO {TABLE} ({names}) SELECT {names} FROM kept_{TABLE}")  # noqa: S608 - names of the table
    op.drop_table(f"kept_{TABLE}")


def _changed(statement: str, *, now: bool) -> str:
    """Add the column and its rule before the first rule, or take both out."""
    if not now:
        return "\n".join(line for line in statement.splitlines() if COLUMN not in line)
    return statement.replace(
        "\tCONSTRAINT", f"\t{COLUMN} INTEGER, \n\tCONSTRAINT {RULE} CHECK ({HELD}), \n\tCONSTRAINT", 1
    )
