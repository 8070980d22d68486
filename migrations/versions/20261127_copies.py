"""Copies of the ledger: their places, the public keys that lock them, when to remind, and those that were made.

With them the numbers that are never given, since they were printed after the copy was made that was put back. Only new
tables. Going down forgets what was known of copies; the copies themselves lie where they lie.
"""

from __future__ import annotations

from typing import TypeAlias

import sqlalchemy as sa
from alembic import op

revision = "20261127_copies"
down_revision = "20261127_waiting_papers"
branch_labels = None
depends_on = None

Part: TypeAlias = "sa.Column[int] | sa.Column[str] | sa.Constraint"
COUNTERS = ("backup place", "backup key", "ledger copy")
TABLES = ("backup_place", "backup_key", "backup_terms", "ledger_copy", "number_gap")


def upgrade() -> None:
    _place()
    _key_table()
    _terms()
    _copy()
    _gap()
    counter = sa.table("counter", sa.column("name"), sa.column("last"))
    op.bulk_insert(counter, [{"name": name, "last": 0} for name in COUNTERS])


def downgrade() -> None:
    if op.get_bind().execute(sa.text("SELECT COUNT(*) FROM number_gap")).scalar_one():
        message = "the earlier form has no place for numbers that are never given; nothing was changed"
        raise RuntimeError(message)
    for table in TABLES:
        op.drop_table(table)
    for name in COUNTERS:
        op.execute(f"DELETE FROM counter WHERE name = '{name}'")  # noqa: S608 - names above


def _place() -> None:
    table = "backup_place"
    _table(
        table,
        _whole("number"),
        _words("folder"),
        _whole("away"),
        *_recorded(),
        _key(table, "number"),
        sa.UniqueConstraint("folder", name=op.f(f"uq_{table}_folder")),
        *_checks(table, folder_filled="folder <> ''", away_flag="away IN (0, 1)"),
    )


def _key_table() -> None:
    table = "backup_key"
    _table(
        table,
        _whole("number"),
        *map(_words, ("public", "holder")),
        *_recorded(),
        _key(table, "number"),
        sa.UniqueConstraint("public", name=op.f(f"uq_{table}_public")),
        *_checks(table, public_filled="public <> ''"),
    )


def _terms() -> None:
    table = "backup_terms"
    _table(
        table,
        _whole("one"),
        *(_whole(name, empty=True) for name in ("days", "away_days")),
        _words("series"),
        *_recorded(),
        _key(table, "one"),
        *_checks(table, one_row="one = 1", days_counts="days >= 1", away_days_counts="away_days >= 1"),
    )


def _copy() -> None:
    table = "ledger_copy"
    wide = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
    _table(
        table,
        _whole("number"),
        *map(_words, ("day", "folder", "file")),
        _whole("away"),
        sa.Column("size", wide, nullable=False),
        *map(_words, ("sha256", "head", "revision", "program", "locked_with")),
        *_recorded(),
        _key(table, "number"),
        *_checks(
            table,
            day_is_day="day LIKE '____-__-__'",
            folder_filled="folder <> ''",
            file_filled="file <> ''",
            away_flag="away IN (0, 1)",
            size_not_negative="size >= 0",
            sha256_whole="length(sha256) = 64",
            head_filled="head <> ''",
            revision_filled="revision <> ''",
        ),
    )
    op.create_index(op.f(f"ix_{table}_day"), table, ["day"])


def _gap() -> None:
    table = "number_gap"
    _table(
        table,
        _words("kind"),
        *map(_whole, ("after", "last")),
        _words("reason"),
        *_recorded(),
        _key(table, "kind", "after"),
        *_checks(table, reason_filled="reason <> ''", after_not_negative="after >= 0", last_is_later="last > after"),
    )


def _table(name: str, *parts: Part) -> None:
    op.create_table(name, *parts, sqlite_strict=True)
    op.create_index(op.f(f"ix_{name}_seal"), name, ["seal"])


def _whole(name: str, *, empty: bool = False) -> sa.Column[int]:
    return sa.Column(name, sa.Integer(), nullable=empty, autoincrement=False)


def _words(name: str) -> sa.Column[str]:
    return sa.Column(name, sa.Text(), nullable=False)


def _recorded() -> tuple[sa.Column[int] | sa.Column[str], ...]:
    return _whole("seal"), *map(_words, ("operator", "recorded_at"))


def _key(table: str, *columns: str) -> sa.PrimaryKeyConstraint:
    return sa.PrimaryKeyConstraint(*columns, name=op.f(f"pk_{table}"))


def _checks(table: str, **rules: str) -> tuple[sa.CheckConstraint, ...]:
    return tuple(sa.CheckConstraint(rule, name=op.f(f"ck_{table}_{name}")) for name, rule in rules.items())
