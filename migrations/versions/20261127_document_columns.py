"""What an entry stands on, and what was taken back, by kind and number: two columns instead of a text.

The text of before is read once, here. In the journal it stays to be read as a column that the database makes of the
other two, so that entries are hashed over the very words that they always were.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TypeAlias

import sqlalchemy as sa
from alembic import op

revision = "20261127_document_columns"
down_revision = "20261125_books"
branch_labels = None
depends_on = None

Part: TypeAlias = "sa.Column[int] | sa.Column[str] | sa.Constraint"
VOIDABLE = ("expense", "bill", "bill payment", "money", "deposit")
KINDS = (
    *("order", "payment", "refund", "cancellation of order", "shipment of order", "movement", "remake"),
    *VOIDABLE,
    *(f"taking back of {kind}" for kind in VOIDABLE),
)
TEXT = "document_kind || ' ' || CAST(document_number AS TEXT)"
KIND = "rtrim(rtrim(document, '0123456789'))"
DIGITS = "substr(document, length(rtrim(document, '0123456789')) + 1)"
READ = {"document_kind": KIND, "document_number": f"CAST({DIGITS} AS INTEGER)"}
"""What a text says in each of the two columns: its words, and the number after them."""
COLUMNS: Mapping[str, Sequence[str]] = {
    "journal_entry": ("number", "day", "memo", "document", "hash", "reverses", "operator", "recorded_at"),
    "taken_back": ("document", "day", "reason", "operator", "recorded_at"),
}
ADDED = ("document_kind", "document_number")


def upgrade() -> None:
    for table, kinds in (("journal_entry", KINDS), ("taken_back", VOIDABLE)):
        _refuse_what_cannot_be_read(table, kinds)
    if op.get_bind().dialect.name == "sqlite":
        for table, columns in COLUMNS.items():
            kept = [name for name in columns if name != "document"]
            _make_anew(table, (*ADDED, *kept), ", ".join((*READ.values(), *kept)), now=True)
    else:
        for table in COLUMNS:
            _split(table)


def downgrade() -> None:
    if op.get_bind().dialect.name == "sqlite":
        for table, columns in COLUMNS.items():
            values = (TEXT if name == "document" else name for name in columns)
            _make_anew(table, columns, ", ".join(values), now=False)
    else:
        for table in COLUMNS:
            _join(table)


def _refuse_what_cannot_be_read(table: str, kinds: Sequence[str]) -> None:
    known = ", ".join(map(repr, kinds))
    odd = (
        f"SELECT document FROM {table} WHERE {KIND} NOT IN ({known}) OR document <> {KIND} || ' ' || {DIGITS} "  # noqa: S608 - the names above
        f"OR {DIGITS} = '' OR {DIGITS} LIKE '0%' OR length({DIGITS}) > 9 LIMIT 1"
    )
    found = op.get_bind().execute(sa.text(odd)).scalar()
    if found is not None:
        message = f"a row of {table} names a document that is none: '{found}'; nothing was changed"
        raise sa.exc.InvalidRequestError(message)


# ------------------------------------------------------------ SQLite: the tables made anew


def _make_anew(table: str, names: Sequence[str], values: str, *, now: bool) -> None:
    """Put the rows aside, make the table in its new form, and put them back.

    Foreign keys are off meanwhile; the store sets the guards again and looks for rows that point at nothing.
    """
    kept = f"kept_{table}"
    op.execute(f"CREATE TABLE {kept} AS SELECT * FROM {table}")  # noqa: S608 - names above
    op.drop_table(table)
    op.create_table(
        table, *(_journal_entry(now=now) if table == "journal_entry" else _taken_back(now=now)), sqlite_strict=True
    )
    for columns in _indexes(table, now=now):
        _index(table, *columns)
    op.execute(f"INSERT INTO {table} ({', '.join(names)}) SELECT {values} FROM {kept}")  # noqa: S608 - names above
    op.drop_table(kept)


def _journal_entry(*, now: bool) -> list[Part]:
    table = "journal_entry"
    return [
        _whole("number"),
        *map(_words, ("day", "memo")),
        *_document(table, KINDS, now=now),
        _words("hash"),
        sa.Column("reverses", sa.Integer(), nullable=True),
        *map(_words, ("operator", "recorded_at")),
        _key(table, "number"),
        sa.ForeignKeyConstraint(
            ["reverses"], [f"{table}.number"], name=op.f(f"fk_{table}_reverses_{table}"), ondelete="RESTRICT"
        ),
        sa.UniqueConstraint("reverses", name=op.f(f"uq_{table}_reverses")),
        *_checks(
            table,
            memo_filled="memo <> ''",
            day_is_day="day LIKE '____-__-__'",
            hash_whole="length(hash) = 64",
            number_counts="number >= 1",
        ),
    ]


def _taken_back(*, now: bool) -> list[Part]:
    table = "taken_back"
    return [
        *_document(table, VOIDABLE, now=now),
        *map(_words, ("day", "reason", "operator", "recorded_at")),
        _key(table, *ADDED) if now else _key(table, "document"),
        *_checks(table, reason_filled="reason <> ''", day_is_day="day LIKE '____-__-__'"),
    ]


def _document(table: str, kinds: Sequence[str], *, now: bool) -> list[Part]:
    if not now:
        return [_words("document")]
    made = [_made()] if table == "journal_entry" else []
    return [_words("document_kind"), _whole("document_number"), *made, *_checks(table, **_rules(kinds))]


# ------------------------------------------------------------ PostgreSQL: the columns alone


def _split(table: str) -> None:
    kinds = KINDS if table == "journal_entry" else VOIDABLE
    op.add_column(table, sa.Column("document_kind", sa.Text(), nullable=True))
    op.add_column(table, sa.Column("document_number", sa.Integer(), nullable=True))
    op.execute(f"UPDATE {table} SET {', '.join(f'{name} = {read}' for name, read in READ.items())}")  # noqa: S608 - names above
    for name in ADDED:
        op.alter_column(table, name, nullable=False)
    _drop_document(table, "document")
    if table == "journal_entry":
        op.add_column(table, _made(persisted=True))
    for name, rule in _rules(kinds).items():
        op.create_check_constraint(op.f(f"ck_{table}_{name}"), table, rule)
    _find_document(table, *ADDED)


def _join(table: str) -> None:
    """Put the text in the place of its columns; no row is updated, since the guards may stand."""
    if table != "journal_entry":
        op.add_column(table, _made(persisted=True))
    op.execute(f"ALTER TABLE {table} ALTER COLUMN document DROP EXPRESSION")
    _drop_document(table, *ADDED)
    _find_document(table, "document")


def _drop_document(table: str, *columns: str) -> None:
    """Drop the columns that name the document, with what finds rows by them."""
    if table == "journal_entry":
        op.drop_index(op.f(f"ix_{table}_{'_'.join(columns)}"), table)
    else:
        op.drop_constraint(op.f(f"pk_{table}"), table, type_="primary")
    for name in columns:
        op.drop_column(table, name)


def _find_document(table: str, *columns: str) -> None:
    if table == "journal_entry":
        _index(table, *columns)
    else:
        op.create_primary_key(op.f(f"pk_{table}"), table, list(columns))


# ------------------------------------------------------------ columns, rules and indexes


def _indexes(table: str, *, now: bool) -> list[tuple[str, ...]]:
    by_document = [ADDED if now else ("document",)] if table == "journal_entry" else []
    return [("day",), *by_document]


def _rules(kinds: Sequence[str]) -> dict[str, str]:
    known = f"document_kind IN ({', '.join(map(repr, kinds))})"
    return {"document_kind_known": known, "document_number_counts": "document_number >= 1"}


def _index(table: str, *columns: str) -> None:
    op.create_index(op.f(f"ix_{table}_{'_'.join(columns)}"), table, list(columns))


def _made(*, persisted: bool | None = None) -> sa.Column[str]:
    """Give the column that the database makes of the other two."""
    return sa.Column("document", sa.Text(), sa.Computed(TEXT, persisted=persisted), nullable=False)


def _whole(name: str) -> sa.Column[int]:
    return sa.Column(name, sa.Integer(), nullable=False, autoincrement=False)


def _words(name: str) -> sa.Column[str]:
    return sa.Column(name, sa.Text(), nullable=False)


def _key(table: str, *columns: str) -> sa.PrimaryKeyConstraint:
    return sa.PrimaryKeyConstraint(*columns, name=op.f(f"pk_{table}"))


def _checks(table: str, **rules: str) -> tuple[sa.CheckConstraint, ...]:
    return tuple(sa.CheckConstraint(rule, name=op.f(f"ck_{table}_{name}")) for name, rule in rules.items())
