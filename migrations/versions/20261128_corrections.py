"""Corrections of orders: what was put right, with the lines that gave way, lines added, and where payments came from.

Orders of before have none, and none of their rows changes. The journal learns two kinds of documents and an account.
"""

from __future__ import annotations

import re

import sqlalchemy as sa
from alembic import op

revision = "20261128_corrections"
down_revision = "20261128_prescription_age"
branch_labels = None
depends_on = None

KINDS = (
    *("reduced", "put right", "exchanged", "charged", "bounced", "disputed", "dispute won", "dispute lost", "mistaken"),
    *("moved", "written off", "revived"),
)
SIDES = ("right", "left")
HEAD, PART, ADDED, ORIGIN, SIDE = "correction", "correction_part", "added_line", "payment_origin", "refund_part_side"
WORDS = (
    ("journal_entry", "document_kind", "'refund', ", "'refund', 'correction', 'fee of correction', "),
    ("journal_posting", "account", "'training and licences', ", "'training and licences', 'sales never paid', "),
)
"""In which lists of words the new ones stand, and after which."""


def upgrade() -> None:
    _make_tables()
    for table, column, before, now in WORDS:
        _change_words(table, column, before, now)
    counter = sa.table("counter", sa.column("name"), sa.column("last"))
    op.bulk_insert(counter, [{"name": HEAD, "last": 0}])


def downgrade() -> None:
    bind = op.get_bind()
    for table in (HEAD, ORIGIN, SIDE):
        if bind.execute(sa.text(f"SELECT COUNT(*) FROM {table}")).scalar_one():  # noqa: S608 - names above
            message = f"the earlier form has no place for the rows of {table}; nothing was changed"
            raise RuntimeError(message)
    op.execute(f"DELETE FROM counter WHERE name = '{HEAD}'")  # noqa: S608 - names above
    for table, column, before, now in WORDS:
        _change_words(table, column, now, before)
    for table in (SIDE, ORIGIN, ADDED, PART, HEAD):
        op.drop_table(table)


def _make_tables() -> None:
    op.create_table(
        HEAD,
        _whole("number"),
        _whole("order_number"),
        *map(_text, ("day", "kind", "reason")),
        _whole("payment_number", nullable=True),
        *(sa.Column(name, _wide(), nullable=False) for name in ("amount", "fee")),
        *map(_whole, ("after_payment", "after_refund")),
        *map(_text, ("operator", "recorded_at", "salt")),
        _whole("seal"),
        sa.PrimaryKeyConstraint("number", name=op.f(f"pk_{HEAD}")),
        _refers(HEAD, ("order_number",), "shop_order", ("number",)),
        _refers(HEAD, ("payment_number",), "payment", ("number",)),
        *_rules(
            HEAD,
            day_is_day="day LIKE '____-__-__'",
            kind_known=f"kind IN ({', '.join(map(repr, KINDS))})",
            reason_filled="reason <> ''",
            **{f"{name}_not_negative": f"{name} >= 0" for name in ("amount", "fee", "after_payment", "after_refund")},
        ),
        sqlite_strict=True,
    )
    op.create_table(
        PART,
        *map(_whole, ("correction_number", "position", "order_number", "line")),
        *(sa.Column(name, _wide(), nullable=False) for name in ("net", "tax")),
        _whole("returned"),
        _text("side", nullable=True),
        _whole("seal"),
        sa.PrimaryKeyConstraint("correction_number", "position", name=op.f(f"pk_{PART}")),
        _refers(PART, ("correction_number",), HEAD, ("number",)),
        _refers(PART, ("order_number", "line"), "order_line", ("order_number", "position")),
        *_rules(
            PART,
            side_known=_side(),
            **{f"{name}_not_negative": f"{name} >= 0" for name in ("net", "tax", "returned")},
        ),
        sqlite_strict=True,
    )
    op.create_table(
        ADDED,
        *map(_whole, ("order_number", "line", "correction_number", "seal")),
        sa.PrimaryKeyConstraint("order_number", "line", name=op.f(f"pk_{ADDED}")),
        _refers(ADDED, ("order_number", "line"), "order_line", ("order_number", "position")),
        _refers(ADDED, ("correction_number",), HEAD, ("number",)),
        sqlite_strict=True,
    )
    op.create_table(
        ORIGIN,
        _whole("payment_number"),
        *(_whole(name, nullable=True) for name in ("moved_from", "corrects")),
        _whole("seal"),
        sa.PrimaryKeyConstraint("payment_number", name=op.f(f"pk_{ORIGIN}")),
        *(_refers(ORIGIN, (name,), "payment", ("number",)) for name in ("payment_number", "moved_from", "corrects")),
        *_rules(ORIGIN, one_origin="(moved_from IS NULL) <> (corrects IS NULL)"),
        sqlite_strict=True,
    )
    op.create_table(
        SIDE,
        *map(_whole, ("refund_number", "position")),
        _text("side"),
        _whole("seal"),
        sa.PrimaryKeyConstraint("refund_number", "position", name=op.f(f"pk_{SIDE}")),
        _refers(SIDE, ("refund_number", "position"), "refund_part", ("refund_number", "position")),
        *_rules(SIDE, side_known=_side()),
        sqlite_strict=True,
    )
    for table, columns in (
        (HEAD, ("order_number",)),
        (HEAD, ("day",)),
        (HEAD, ("payment_number",)),
        (PART, ("order_number", "line")),
        (ADDED, ("correction_number",)),
        (ORIGIN, ("moved_from",)),
        (ORIGIN, ("corrects",)),
        *((table, ("seal",)) for table in (HEAD, PART, ADDED, ORIGIN, SIDE)),
    ):
        op.create_index(op.f(f"ix_{table}_{'_'.join(columns)}"), table, list(columns))


def _side() -> str:
    return f"side IN ({', '.join(map(repr, SIDES))})"


def _wide() -> sa.types.TypeEngine[int]:
    return sa.BigInteger().with_variant(sa.Integer(), "sqlite")


def _whole(name: str, *, nullable: bool = False) -> sa.Column[int]:
    return sa.Column(name, sa.Integer(), nullable=nullable, autoincrement=False)


def _text(name: str, *, nullable: bool = False) -> sa.Column[str]:
    return sa.Column(name, sa.Text(), nullable=nullable)


def _rules(table: str, **rules: str) -> list[sa.CheckConstraint]:
    return [sa.CheckConstraint(rule, name=op.f(f"ck_{table}_{name}")) for name, rule in rules.items()]


def _refers(table: str, columns: tuple[str, ...], other: str, keys: tuple[str, ...]) -> sa.ForeignKeyConstraint:
    name = op.f(f"fk_{table}_{'_'.join(columns)}_{other}")
    return sa.ForeignKeyConstraint(list(columns), [f"{other}.{key}" for key in keys], name=name, ondelete="RESTRICT")


def _change_words(table: str, column: str, before: str, now: str) -> None:
    """Change which words a column may hold; the rows, and the seals that they stand under, stay as they are."""
    bind = op.get_bind()
    rule = f"ck_{table}_{column}_known"
    if bind.dialect.name == "sqlite":
        _make_anew(table, before, now)
        return
    rules = {each["name"]: each["sqltext"] for each in sa.inspect(bind).get_check_constraints(table)}
    words = "".join(f"{word}, " for word in re.findall(r"'[^']*'", rules[rule]))
    op.drop_constraint(op.f(rule), table, type_="check")
    op.create_check_constraint(op.f(rule), table, f"{column} IN ({_changed(words, before, now).removesuffix(', ')})")


def _make_anew(table: str, before: str, now: str) -> None:
    """Put the rows aside, make the table by its own statement as changed, with its indexes, and put the rows back.

    Foreign keys are off meanwhile; the store sets the guards again.
    """
    bind = op.get_bind()
    schema = sa.text("SELECT type, sql FROM sqlite_schema WHERE tbl_name = :table AND sql IS NOT NULL ORDER BY rowid")
    said = [(row.type, row.sql) for row in bind.execute(schema, {"table": table}).all()]
    columns = [each["name"] for each in sa.inspect(bind).get_columns(table) if "computed" not in each]
    op.execute(f"CREATE TABLE kept_{table} AS SELECT * FROM {table}")  # noqa: S608 - names above
    op.drop_table(table)
    for kind, statement in said:
        if kind != "trigger":
            bind.exec_driver_sql(_changed(statement, before, now) if kind == "table" else statement)
    names = ", ".join(columns)
    op.execute(f"INSERT INTO {table} ({names}) SELECT {names} FROM kept_{table}")  # noqa: S608 - names of the table
    op.drop_table(f"kept_{table}")


def _changed(text: str, before: str, now: str) -> str:
    if text.count(before) != 1:
        message = f"the rules do not list their words as they were made, {before}; nothing was changed"
        raise RuntimeError(message)
    return text.replace(before, now)
