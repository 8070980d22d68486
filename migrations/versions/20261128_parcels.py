"""Orders leave in parcels: each with its address and content, and each may come back and be sent again.

An order left once before, whole: its shipment is a parcel now, of all that the order held and had not given back by
then. Its entry stands on the shipment as it always did; goods that leave from now on name their parcel.
"""

from __future__ import annotations

import re

import sqlalchemy as sa
from alembic import op

revision = "20261128_parcels"
down_revision = "20261128_names"
branch_labels = None
depends_on = None

PARCEL, ITEM, RETURN, ADDRESS = "parcel", "parcel_item", "parcel_return", "order_address"
SHIPMENT, MOVEMENT, ENTRY = "shipment", "stock_movement", "journal_entry"
COLUMN = "parcel_number"
BEFORE = "'shipment of order', "
NOW = "'shipment of order', 'parcel', 'return of parcel', "
PLACE = ("street", "second_line", "city", "state", "postcode")
COUNTERS = ("parcel", "order address")
GOODS = "'frame', 'accessory'"


def upgrade() -> None:
    _make_tables()
    _add_parcel_number()
    _change_kinds(BEFORE, NOW)
    op.execute(f"""
INSERT INTO {PARCEL} (number, order_number, day, {", ".join(PLACE)}, carrier, tracking, again_of, operator, recorded_at,
                      seal, salt)
SELECT ROW_NUMBER() OVER (ORDER BY left_on.recorded_at, left_on.order_number), left_on.order_number, left_on.day,
       {", ".join(f"placed.{name}" for name in PLACE)}, left_on.carrier, left_on.tracking, NULL, left_on.operator,
       left_on.recorded_at, left_on.seal, left_on.salt
FROM {SHIPMENT} left_on JOIN shop_order placed ON placed.number = left_on.order_number
""")  # noqa: S608 - names above
    op.execute(f"""
INSERT INTO {ITEM} (parcel_number, position, order_number, job_number, line, quantity, seal)
SELECT parcel_number, ROW_NUMBER() OVER (PARTITION BY parcel_number ORDER BY turn, place), order_number, job_number,
       line, quantity, seal
FROM (
    SELECT {PARCEL}.number AS parcel_number, 1 AS turn, pair.position AS place, pair.order_number, pair.job_number,
           NULL AS line, 1 AS quantity, {PARCEL}.seal
    FROM {PARCEL} JOIN order_pair pair ON pair.order_number = {PARCEL}.order_number
    WHERE NOT EXISTS (SELECT 1 FROM job_again WHERE job_again.in_place_of = pair.job_number)
      AND NOT EXISTS (SELECT 1 FROM job_taken_out gone WHERE gone.job_number = pair.job_number)
    UNION ALL
    SELECT {PARCEL}.number, 2, line.position, line.order_number, NULL, line.position,
           line.quantity - COALESCE((
               SELECT SUM(part.returned) FROM refund_part part JOIN refund ON refund.number = part.refund_number
               WHERE part.order_number = line.order_number AND part.line = line.position
                 AND refund.recorded_at < {PARCEL}.recorded_at), 0),
           {PARCEL}.seal
    FROM {PARCEL} JOIN order_line line ON line.order_number = {PARCEL}.order_number
    WHERE line.kind IN ({GOODS})
) held WHERE quantity > 0
""")  # noqa: S608 - names above
    counter = sa.table("counter", sa.column("name"), sa.column("last"))
    many = op.get_bind().execute(sa.text(f"SELECT COUNT(*) FROM {PARCEL}")).scalar_one()  # noqa: S608 - as above
    op.bulk_insert(counter, [{"name": name, "last": many if name == PARCEL else 0} for name in COUNTERS])
    op.drop_table(SHIPMENT)


def downgrade() -> None:
    """Make shipments of the parcels, as long as each order left once, whole, and nothing names a parcel."""
    bind = op.get_bind()
    for many, rows in (
        ("COUNT(*)", RETURN),
        ("COUNT(*)", ADDRESS),
        ("COUNT(*) - COUNT(DISTINCT order_number)", PARCEL),
        ("COUNT(*)", f"{MOVEMENT} WHERE {COLUMN} IS NOT NULL"),
        ("COUNT(*)", f"{ENTRY} WHERE document_kind = '{PARCEL}'"),
    ):
        if bind.execute(sa.text(f"SELECT {many} FROM {rows}")).scalar_one():  # noqa: S608 - names above
            message = f"the earlier form has no place for the rows of {PARCEL}; nothing was changed"
            raise RuntimeError(message)
    _make_shipment()
    op.execute(f"""
INSERT INTO {SHIPMENT} (order_number, day, carrier, tracking, operator, recorded_at, seal, salt)
SELECT order_number, day, carrier, tracking, operator, recorded_at, seal, salt FROM {PARCEL}
""")  # noqa: S608 - as above
    _change_kinds(NOW, BEFORE)
    if bind.dialect.name == "sqlite":
        _make_anew(MOVEMENT, _without_column(_statement(MOVEMENT)))
    else:
        op.drop_column(MOVEMENT, COLUMN)
    for name in COUNTERS:
        op.execute(f"DELETE FROM counter WHERE name = '{name}'")  # noqa: S608 - as above
    for table in (ADDRESS, RETURN, ITEM, PARCEL):
        op.drop_table(table)


def _make_tables() -> None:
    op.create_table(
        PARCEL,
        *map(_whole, ("number", "order_number")),
        *map(_text, ("day", *PLACE, "carrier", "tracking")),
        _whole("again_of", nullable=True),
        *_stamp(PARCEL, "number"),
        sa.UniqueConstraint("again_of", name=op.f(f"uq_{PARCEL}_again_of")),
        _refers(PARCEL, ("order_number",), "shop_order", ("number",)),
        _refers(PARCEL, ("again_of",), PARCEL, ("number",)),
        *_rules(PARCEL, day_is_day="day LIKE '____-__-__'", carrier_filled="carrier <> ''"),
        sqlite_strict=True,
    )
    op.create_table(
        ITEM,
        *map(_whole, ("parcel_number", "position", "order_number")),
        *(_whole(name, nullable=True) for name in ("job_number", "line")),
        *map(_whole, ("quantity", "seal")),
        sa.PrimaryKeyConstraint("parcel_number", "position", name=op.f(f"pk_{ITEM}")),
        _refers(ITEM, ("parcel_number",), PARCEL, ("number",)),
        _refers(ITEM, ("job_number",), "order_pair", ("job_number",)),
        _refers(ITEM, ("order_number", "line"), "order_line", ("order_number", "position")),
        *_rules(ITEM, quantity_counts="quantity >= 1", job_or_line="(job_number IS NULL) <> (line IS NULL)"),
        sqlite_strict=True,
    )
    op.create_table(
        RETURN,
        _whole("parcel_number"),
        *map(_text, ("day", "reason")),
        *_stamp(RETURN, "parcel_number"),
        _refers(RETURN, ("parcel_number",), PARCEL, ("number",)),
        *_rules(RETURN, day_is_day="day LIKE '____-__-__'", reason_filled="reason <> ''"),
        sqlite_strict=True,
    )
    op.create_table(
        ADDRESS,
        *map(_whole, ("number", "order_number")),
        *map(_text, ("day", *PLACE, "reason")),
        *_stamp(ADDRESS, "number"),
        _refers(ADDRESS, ("order_number",), "shop_order", ("number",)),
        *_rules(ADDRESS, day_is_day="day LIKE '____-__-__'"),
        sqlite_strict=True,
    )
    for table, columns in (
        *((PARCEL, (name,)) for name in ("order_number", "day", "seal")),
        *((ITEM, columns) for columns in (("job_number",), ("order_number", "line"), ("seal",))),
        *((RETURN, (name,)) for name in ("day", "seal")),
        *((ADDRESS, (name,)) for name in ("order_number", "seal")),
    ):
        op.create_index(op.f(f"ix_{table}_{'_'.join(columns)}"), table, list(columns))


def _make_shipment() -> None:
    op.create_table(
        SHIPMENT,
        _whole("order_number"),
        *map(_text, ("day", "carrier", "tracking")),
        *_stamp(SHIPMENT, "order_number"),
        _refers(SHIPMENT, ("order_number",), "shop_order", ("number",)),
        *_rules(SHIPMENT, day_is_day="day LIKE '____-__-__'", carrier_filled="carrier <> ''"),
        sqlite_strict=True,
    )
    for name in ("day", "seal"):
        op.create_index(op.f(f"ix_{SHIPMENT}_{name}"), SHIPMENT, [name])


def _stamp(table: str, key: str) -> list[sa.Column[str] | sa.Column[int] | sa.Constraint]:
    return [
        *map(_text, ("operator", "recorded_at", "salt")),
        _whole("seal"),
        sa.PrimaryKeyConstraint(key, name=op.f(f"pk_{table}")),
    ]


def _whole(name: str, *, nullable: bool = False) -> sa.Column[int]:
    return sa.Column(name, sa.Integer(), nullable=nullable, autoincrement=False)


def _text(name: str) -> sa.Column[str]:
    return sa.Column(name, sa.Text(), nullable=False)


def _rules(table: str, **rules: str) -> list[sa.CheckConstraint]:
    return [sa.CheckConstraint(rule, name=op.f(f"ck_{table}_{name}")) for name, rule in rules.items()]


def _refers(table: str, columns: tuple[str, ...], other: str, keys: tuple[str, ...]) -> sa.ForeignKeyConstraint:
    name = op.f(f"fk_{table}_{'_'.join(columns)}_{other}")
    return sa.ForeignKeyConstraint(list(columns), [f"{other}.{key}" for key in keys], name=name, ondelete="RESTRICT")


# ------------------------------------------------------------ tables that are changed

_REFERS = f"fk_{MOVEMENT}_{COLUMN}_{PARCEL}"
_INDEX = f"ix_{MOVEMENT}_{COLUMN}"


def _add_parcel_number() -> None:
    if op.get_bind().dialect.name == "sqlite":
        refers = f"CONSTRAINT {_REFERS} FOREIGN KEY({COLUMN}) REFERENCES {PARCEL} (number) ON DELETE RESTRICT"
        told = f"\t{COLUMN} INTEGER, \n\t{refers}, \n\tCONSTRAINT"
        _make_anew(MOVEMENT, _statement(MOVEMENT).replace("\tCONSTRAINT", told, 1))
    else:
        op.add_column(MOVEMENT, sa.Column(COLUMN, sa.Integer(), nullable=True))
        op.create_foreign_key(op.f(_REFERS), MOVEMENT, PARCEL, [COLUMN], ["number"], ondelete="RESTRICT")
    op.create_index(op.f(_INDEX), MOVEMENT, [COLUMN])


def _without_column(statement: str) -> str:
    return "\n".join(line for line in statement.splitlines() if COLUMN not in line)


def _change_kinds(before: str, now: str) -> None:
    """Change on which kinds of documents entries may stand; the rows, and the seals under them, stay as they are."""
    bind = op.get_bind()
    if bind.dialect.name == "sqlite":
        _make_anew(ENTRY, _changed(_statement(ENTRY), before, now))
        return
    rule = f"ck_{ENTRY}_document_kind_known"
    rules = {each["name"]: each["sqltext"] for each in sa.inspect(bind).get_check_constraints(ENTRY)}
    words = "".join(f"{word}, " for word in re.findall(r"'[^']*'", rules[rule]))
    op.drop_constraint(op.f(rule), ENTRY, type_="check")
    known = _changed(words, before, now).removesuffix(", ")
    op.create_check_constraint(op.f(rule), ENTRY, f"document_kind IN ({known})")


def _changed(text: str, before: str, now: str) -> str:
    if text.count(before) != 1:
        message = f"the rules do not list their words as they were made, {before}; nothing was changed"
        raise RuntimeError(message)
    return text.replace(before, now)


def _statement(table: str) -> str:
    asked = sa.text("SELECT sql FROM sqlite_schema WHERE type = 'table' AND name = :table")
    return str(op.get_bind().execute(asked, {"table": table}).scalar_one())


def _make_anew(table: str, statement: str) -> None:
    """Put the rows aside, make the table by a statement, with its indexes, and put the rows back.

    Foreign keys are off meanwhile; the store sets the guards again.
    """
    bind = op.get_bind()
    asked = sa.text("SELECT sql FROM sqlite_schema WHERE type = 'index' AND tbl_name = :table AND sql IS NOT NULL")
    indexes = [row.sql for row in bind.execute(asked, {"table": table}).all() if _INDEX not in row.sql]
    op.execute(f"CREATE TABLE kept_{table} AS SELECT * FROM {table}")  # noqa: S608 - names above
    op.drop_table(table)
    for each in (statement, *indexes):
        bind.exec_driver_sql(each)
    there = {each["name"] for each in sa.inspect(bind).get_columns(f"kept_{table}")}
    kept = [
        each["name"] for each in sa.inspect(bind).get_columns(table) if each["name"] in there and "computed" not in each
    ]
    names = ", ".join(kept)
    op.execute(f"INSERT INTO {table} ({names}) SELECT {names} FROM kept_{table}")  # noqa: S608 - names of the table
    op.drop_table(f"kept_{table}")
