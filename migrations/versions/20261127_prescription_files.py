"""A prescription's document as a file: a table that says which, and the notes of keeping it and of looking at it."""

from __future__ import annotations

import re

import sqlalchemy as sa
from alembic import op

revision = "20261127_prescription_files"
down_revision = "20261127_privacy"
branch_labels = None
depends_on = None

TABLE = "prescription_file"
AFTER = "added diagnoses"
NEW = ("added a document of the prescriber", "looked at a document of the prescriber")
NOTES, KNOWN = "audit_note", "ck_audit_note_deed_known"
BEFORE_LISTED = f"'{AFTER}', "
NOW_LISTED = BEFORE_LISTED + "".join(f"'{deed}', " for deed in NEW)
"""How these deeds stand in the rule of the notes, before and now."""


def upgrade() -> None:
    _prescription_file()
    _change_deeds(BEFORE_LISTED, NOW_LISTED)


def downgrade() -> None:
    bind = op.get_bind()
    listed = ", ".join(f"'{deed}'" for deed in NEW)
    kept = f"SELECT (SELECT COUNT(*) FROM {TABLE}) + (SELECT COUNT(*) FROM {NOTES} WHERE deed IN ({listed}))"  # noqa: S608 - names above
    if bind.execute(sa.text(kept)).scalar_one():
        message = f"the earlier form has no place for the rows of {TABLE} and the notes of them; nothing was changed"
        raise RuntimeError(message)
    _drop_doors()
    _change_deeds(NOW_LISTED, BEFORE_LISTED)
    op.drop_table(TABLE)


def _drop_doors() -> None:
    """Drop the guards that speak of the table; the store sets them anew in the earlier form."""
    bind = op.get_bind()
    if bind.dialect.name == "sqlite":
        found = bind.execute(sa.text("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'")).all()
        for row in found:
            if f" {TABLE} " in row.sql:
                op.execute(f"DROP TRIGGER {row.name}")


def _prescription_file() -> None:
    op.create_table(
        TABLE,
        *(sa.Column(name, sa.Text(), nullable=False) for name in ("operator", "recorded_at")),
        sa.Column("prescription_number", sa.Integer(), nullable=False, autoincrement=False),
        sa.Column("sha256", sa.Text(), nullable=True),
        sa.PrimaryKeyConstraint("prescription_number", name=op.f(f"pk_{TABLE}")),
        _refers("prescription_number", "prescription", "number"),
        _refers("sha256", "kept_file", "sha256"),
        sa.Column("seal", sa.Integer(), nullable=False, autoincrement=False),
        sa.Column("salt", sa.Text(), nullable=False),
        sqlite_strict=True,
    )
    op.create_index(op.f(f"ix_{TABLE}_seal"), TABLE, ["seal"])


def _refers(column: str, other: str, key: str) -> sa.ForeignKeyConstraint:
    name = op.f(f"fk_{TABLE}_{column}_{other}")
    return sa.ForeignKeyConstraint([column], [f"{other}.{key}"], name=name, ondelete="RESTRICT")


def _change_deeds(before: str, now: str) -> None:
    """Change which deeds a note may be of; its rows, and the seals that they stand under, stay as they are."""
    bind = op.get_bind()
    if bind.dialect.name == "sqlite":
        _make_notes_anew(before, now)
        return
    rules = {rule["name"]: rule["sqltext"] for rule in sa.inspect(bind).get_check_constraints(NOTES)}
    deeds = "".join(f"{deed}, " for deed in re.findall(r"'[^']*'", rules[KNOWN]))
    op.drop_constraint(op.f(KNOWN), NOTES, type_="check")
    op.create_check_constraint(op.f(KNOWN), NOTES, f"deed IN ({_changed(deeds, before, now).removesuffix(', ')})")


def _make_notes_anew(before: str, now: str) -> None:
    """Put the notes aside, make their table by its own statement as changed, with its indexes, and put them back.

    The store sets the guards again.
    """
    bind = op.get_bind()
    schema = sa.text("SELECT type, sql FROM sqlite_schema WHERE tbl_name = :table AND sql IS NOT NULL ORDER BY rowid")
    said = [(row.type, row.sql) for row in bind.execute(schema, {"table": NOTES}).all()]
    op.execute(f"CREATE TABLE kept_{NOTES} AS SELECT * FROM {NOTES}")  # noqa: S608 - names above
    op.drop_table(NOTES)
    for kind, statement in said:
        bind.exec_driver_sql(_changed(statement, before, now) if kind == "table" else statement)
    names = ", ".join(each["name"] for each in sa.inspect(bind).get_columns(NOTES))
    op.execute(f"INSERT INTO {NOTES} ({names}) SELECT {names} FROM kept_{NOTES}")  # noqa: S608 - names of the table
    op.drop_table(f"kept_{NOTES}")


def _changed(statement: str, before: str, now: str) -> str:
    if statement.count(before) != 1:
        message = f"the rule of {NOTES} does not list its deeds as it was made; nothing was changed"
        raise RuntimeError(message)
    return statement.replace(before, now)
