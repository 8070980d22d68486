"""Sales tax by place: rates for places in a state and for parts of glasses, with a last day; lines know their place.

Rates of before are for their whole state and have no last day, lines of before have no place, and nothing on them goes
with untaxed goods. Going down again is refused where the earlier form has no place for what is held.
"""

from __future__ import annotations

import re
from typing import Final

import sqlalchemy as sa
from alembic import op

revision = "20261129_tax_places"
down_revision = "20261128_card_processor"
branch_labels = None
depends_on = None

RATE, LINE, GOODS = "tax_rate", "order_line", "accessory"
PARTS: Final = ("frame", "lenses", "coating")
USE: Final = "use"
COLUMNS: Final = {
    RATE: (
        ("place", "TEXT NOT NULL", "''"),
        ("valid_to", "TEXT", "NULL"),
        ("zips", "TEXT NOT NULL", "''"),
        ("as_goods", "INTEGER NOT NULL", "0"),
    ),
    LINE: (("tax_place", "TEXT NOT NULL", "''"), ("tax_free", "INTEGER NOT NULL", "0")),
    GOODS: (),
}
"""Each table's new columns as SQLite names their types, and what they say in rows of before."""
WIDE: Final = {"tax_free"}
RULES: Final = {
    RATE: {
        "valid_to_is_day": "valid_to LIKE '____-__-__'",
        "as_goods_flag": "as_goods IN (0, 1)",
        "ends_after_start": "valid_from <= valid_to",
        "shipping_as_goods": "as_goods = 0 OR (category = 'shipping' AND rate = 0)",
    },
    LINE: {"tax_free_not_negative": "tax_free >= 0", "untaxed_part_of_net": "tax_free <= net"},
    GOODS: {},
}
CATEGORY: Final = {RATE: "category", LINE: "tax_category", GOODS: "tax_category"}
KEYS: Final = (("state", "category", "valid_from"), ("state", "category", "valid_from", "place"))
HELD: Final = {
    RATE: f"place <> '' OR valid_to IS NOT NULL OR as_goods = 1 OR category IN {(*PARTS, USE)}",
    LINE: f"tax_place <> '' OR tax_free <> 0 OR tax_category IN {(*PARTS, USE)}",
    GOODS: f"tax_category IN {(*PARTS, USE)}",
}
"""What the earlier form has no place for."""


def upgrade() -> None:
    for table in (RATE, LINE, GOODS):
        before = _words(table)
        after = [each for word in before for each in (word, *(PARTS if word == "prescription eyewear" else ()))]
        _change(table, before, [*after, USE], up=True)


def downgrade() -> None:
    for table, held in HELD.items():
        if op.get_bind().execute(sa.text(f"SELECT COUNT(*) FROM {table} WHERE {held}")).scalar_one():  # noqa: S608 - names above
            message = (
                f"the earlier form has no place for what the rows of {table} say of sales tax; nothing was changed"
            )
            raise RuntimeError(message)
    for table in (RATE, LINE, GOODS):
        before = _words(table)
        _change(table, before, [word for word in before if word not in {*PARTS, USE}], up=False)


def _change(table: str, before: list[str], after: list[str], *, up: bool) -> None:
    """Change a table's columns, its rules and the words of its category."""
    if op.get_bind().dialect.name == "sqlite":
        _make_anew(table, before, after, up=up)
        return
    known = f"ck_{table}_{CATEGORY[table]}_known"
    op.drop_constraint(op.f(known), table, type_="check")
    op.create_check_constraint(op.f(known), table, _known(table, after))
    if table == RATE:
        op.drop_constraint(op.f(f"pk_{table}"), table, type_="primary")
    if up:
        for name, kind, said in COLUMNS[table]:
            wide = "BIGINT NOT NULL" if name in WIDE else kind
            op.execute(f"ALTER TABLE {table} ADD COLUMN {name} {wide} DEFAULT {said}")
            op.execute(f"ALTER TABLE {table} ALTER COLUMN {name} DROP DEFAULT")
        for name, rule in RULES[table].items():
            op.create_check_constraint(op.f(f"ck_{table}_{name}"), table, rule)
    else:
        for name in RULES[table]:
            op.drop_constraint(op.f(f"ck_{table}_{name}"), table, type_="check")
        for name, _, _ in COLUMNS[table]:
            op.drop_column(table, name)
    if table == RATE:
        op.create_primary_key(op.f(f"pk_{table}"), table, list(KEYS[up]))


def _known(table: str, words: list[str]) -> str:
    return f"{CATEGORY[table]} IN ({', '.join(map(repr, words))})"


def _words(table: str) -> list[str]:
    """Give the words that a category may be, as the database says it."""
    bind = op.get_bind()
    rule = f"ck_{table}_{CATEGORY[table]}_known"
    if bind.dialect.name == "sqlite":
        found = re.search(rf"CONSTRAINT {rule} CHECK \({CATEGORY[table]} IN \(([^)]*)\)\)", _statement(table))
        told = found[1] if found else ""
    else:
        told = next(each["sqltext"] for each in sa.inspect(bind).get_check_constraints(table) if each["name"] == rule)
    return re.findall(r"'([^']*)'", told)


def _statement(table: str) -> str:
    """Give the statement that made a table."""
    asked = sa.text("SELECT sql FROM sqlite_schema WHERE type = 'table' AND name = :table")
    return str(op.get_bind().execute(asked, {"table": table}).scalar_one())


def _make_anew(table: str, before: list[str], after: list[str], *, up: bool) -> None:
    """Put the rows aside, make the table by its own statement as changed, with its indexes, and put the rows back.

    Foreign keys are off meanwhile; the store sets the guards again.
    """
    bind = op.get_bind()
    lines = _statement(table).replace(_known(table, before), _known(table, after)).splitlines()
    columns = [f"\t{name} {kind}, " for name, kind, _ in COLUMNS[table]]
    rules = [f"\tCONSTRAINT ck_{table}_{name} CHECK ({rule}), " for name, rule in RULES[table].items()]
    if up:
        place = next(at for at, line in enumerate(lines) if line.startswith("\tCONSTRAINT"))
        lines[place:place] = [*columns, *rules]
    else:
        lines = [line for line in lines if line.rstrip() not in {each.rstrip() for each in (*columns, *rules)}]
    statement = "\n".join(lines)
    if table == RATE:
        was, now = (", ".join(key) for key in (KEYS[not up], KEYS[up]))
        statement = statement.replace(f"PRIMARY KEY ({was})", f"PRIMARY KEY ({now})")
    indexes = sa.text("SELECT sql FROM sqlite_schema WHERE type = 'index' AND tbl_name = :table AND sql IS NOT NULL")
    made = [row.sql for row in bind.execute(indexes, {"table": table}).all()]
    old = [each["name"] for each in sa.inspect(bind).get_columns(table)]
    op.execute(f"CREATE TABLE kept_{table} AS SELECT * FROM {table}")  # noqa: S608 - names above
    op.drop_table(table)
    for each in (statement, *made):
        bind.exec_driver_sql(each)
    added = {name: said for name, _, said in COLUMNS[table]}
    kept = [name for name in old if up or name not in added]
    into = ", ".join([*kept, *(added if up else ())])
    taken = ", ".join([*kept, *(added.values() if up else ())])
    op.execute(f"INSERT INTO {table} ({into}) SELECT {taken} FROM kept_{table}")  # noqa: S608 - names of the table
    op.drop_table(f"kept_{table}")
