"""Orders count as sold with their goods: what documents count of each line, and orders that do so only since a day.

What counted before stays as it counted: an order on its own day, with its lines, what was refunded and corrected on
theirs. The journal learns one kind of document and one account.
"""

from __future__ import annotations

import re

import sqlalchemy as sa
from alembic import op

revision = "20261128_with_its_goods"
down_revision = "20261128_entries_of_their_own"
branch_labels = None
depends_on = None

EARNED, PUT_OFF, OPENING_DEBT = "earned", "put_off", "opening_debt"
SETTINGS = "shop_settings"
CHOICE = "CONSTRAINT ck_shop_settings_advances_known CHECK (advances IN ('with goods', 'received'))"
KINDS = ("order", "opening debt", "refund", "correction", "parcel", "return of parcel", "putting off of order")
AMOUNTS = ("listed", "net", "tax", "net_back", "tax_back")
WORDS = {
    ("journal_entry", "document_kind"): (
        ("'order', 'payment', ", "'order', 'opening debt', 'payment', "),
        ("'return of parcel', ", "'return of parcel', 'putting off of order', "),
    ),
    ("journal_posting", "account"): (("'customer deposits', ", "'customer deposits', 'customer prepayments', "),),
}
"""Of each column the words before, and as they stand now."""
RIGHT = "changed.kind = 'put right'"


def upgrade() -> None:
    for (table, column), changes in WORDS.items():
        _change_words(table, column, changes)
    _add_choice()
    _make_tables()
    _count(
        "order",
        "sold.number",
        "sold.seal",
        *_LISTED,
        """
FROM shop_order sold JOIN order_line line ON line.order_number = sold.number
WHERE NOT EXISTS (
    SELECT 1 FROM added_line added WHERE added.order_number = line.order_number AND added.line = line.position)""",
    )
    _count(
        "refund",
        "given.number",
        "given.seal",
        *_GIVEN_BACK,
        """
FROM refund given JOIN refund_part part ON part.refund_number = given.number
JOIN order_line line ON line.order_number = part.order_number AND line.position = part.line
JOIN shop_order sold ON sold.number = given.order_number""",
        day="given.day",
    )
    changed = """
FROM correction changed JOIN correction_part part ON part.correction_number = changed.number
JOIN order_line line ON line.order_number = part.order_number AND line.position = part.line
JOIN shop_order sold ON sold.number = changed.order_number WHERE """
    _count(
        "correction",
        "changed.number",
        "changed.seal",
        *_LISTED,
        """
FROM correction changed JOIN added_line added ON added.correction_number = changed.number
JOIN order_line line ON line.order_number = added.order_number AND line.position = added.line
JOIN shop_order sold ON sold.number = changed.order_number""",
        day="changed.day",
    )
    _count("correction", "changed.number", "changed.seal", *_TAKEN_OUT, changed + RIGHT, day="changed.day")
    _count("correction", "changed.number", "changed.seal", *_GIVEN_BACK, f"{changed}NOT {RIGHT}", day="changed.day")


def downgrade() -> None:
    bind = op.get_bind()
    late = sa.text(f"SELECT COUNT(*) FROM {EARNED} WHERE document_kind NOT IN ('order', 'refund', 'correction')")  # noqa: S608 - names above
    own = sa.text("SELECT COUNT(*) FROM journal_posting WHERE account = 'customer prepayments'")
    waiting = sa.text(f"""
SELECT COUNT(*) FROM order_line line
WHERE (line.list_price <> 0 OR line.net <> 0 OR line.tax <> 0) AND NOT EXISTS (
    SELECT 1 FROM {EARNED} counted
    WHERE counted.order_number = line.order_number AND counted.line = line.position)
""")  # noqa: S608 - as above
    if any(bind.execute(asked).scalar_one() for asked in (late, own, waiting)):
        message = f"the earlier form has no place for the rows of {EARNED}; nothing was changed"
        raise RuntimeError(message)
    for table in (OPENING_DEBT, PUT_OFF, EARNED):
        op.drop_table(table)
    if bind.dialect.name == "sqlite":
        lines = _statement(SETTINGS).splitlines()
        _make_anew(SETTINGS, "\n".join(line for line in lines if "advances" not in line))
    else:
        op.drop_column(SETTINGS, "advances")
    for (table, column), changes in WORDS.items():
        _change_words(table, column, tuple((now, before) for before, now in changes))


_LISTED = ("line.quantity", "line.list_price", "line.net", "line.tax", "0", "0")
_GIVEN_BACK = ("0", "0", "0", "0", "part.net", "part.tax")
_TAKEN_OUT = ("-part.returned", "-part.net", "-part.net", "-part.tax", "0", "0")


def _count(kind: str, number: str, seal: str, *rest: str, day: str = "sold.day") -> None:
    """Keep what documents of a kind counted, line by line, where it is anything."""
    *amounts, rows = rest
    sums = ", ".join(f"SUM({amount})" for amount in amounts)
    op.execute(f"""
INSERT INTO {EARNED} (document_kind, document_number, line, order_number, day, quantity, {", ".join(AMOUNTS)}, seal)
SELECT '{kind}', {number}, line.position, sold.number, {day}, {sums}, {seal}
{rows}
GROUP BY {number}, line.position, sold.number, {day}, {seal}
HAVING {" OR ".join(f"SUM({amount}) <> 0" for amount in amounts)}
""")


def _add_choice() -> None:
    """Let the owner choose when the year's worksheet counts what was paid ahead: with the goods, unless he says so."""
    if op.get_bind().dialect.name == "sqlite":
        text = _statement(SETTINGS)
        added = text.replace("\tprescription_months", "\tadvances TEXT NOT NULL, \n\tprescription_months", 1)
        changed = added.replace("\tCONSTRAINT", f"\t{CHOICE}, \n\tCONSTRAINT", 1)
        _make_anew(SETTINGS, changed, advances="'with goods'")
        return
    op.add_column(SETTINGS, sa.Column("advances", sa.Text(), nullable=False, server_default="with goods"))
    op.alter_column(SETTINGS, "advances", server_default=None)
    op.create_check_constraint(
        op.f("ck_shop_settings_advances_known"), SETTINGS, "advances IN ('with goods', 'received')"
    )


def _make_tables() -> None:
    op.create_table(
        EARNED,
        _text("document_kind"),
        *map(_whole, ("document_number", "line", "order_number")),
        _text("day"),
        _whole("quantity"),
        *map(_wide, AMOUNTS),
        _whole("seal"),
        sa.PrimaryKeyConstraint("document_kind", "document_number", "line", name=op.f(f"pk_{EARNED}")),
        sa.ForeignKeyConstraint(
            ["order_number", "line"],
            ["order_line.order_number", "order_line.position"],
            name=op.f(f"fk_{EARNED}_order_number_line_order_line"),
            ondelete="RESTRICT",
        ),
        *_rules(
            EARNED,
            day_is_day="day LIKE '____-__-__'",
            document_number_counts="document_number >= 1",
            document_kind_known=f"document_kind IN ({', '.join(map(repr, KINDS))})",
        ),
        sqlite_strict=True,
    )
    for table, days in ((PUT_OFF, ("day",)), (OPENING_DEBT, ())):
        op.create_table(
            table,
            _whole("order_number"),
            *map(_text, (*days, "operator", "recorded_at")),
            _whole("seal"),
            sa.PrimaryKeyConstraint("order_number", name=op.f(f"pk_{table}")),
            sa.ForeignKeyConstraint(
                ["order_number"],
                ["shop_order.number"],
                name=op.f(f"fk_{table}_order_number_shop_order"),
                ondelete="RESTRICT",
            ),
            *_rules(table, **dict.fromkeys(("day_is_day",) if days else (), "day LIKE '____-__-__'")),
            sqlite_strict=True,
        )
    for table, columns in (
        *((EARNED, (name,)) for name in ("day", "seal")),
        (EARNED, ("order_number", "line")),
        *((PUT_OFF, (name,)) for name in ("day", "seal")),
        (OPENING_DEBT, ("seal",)),
    ):
        op.create_index(op.f(f"ix_{table}_{'_'.join(columns)}"), table, list(columns))


def _whole(name: str) -> sa.Column[int]:
    return sa.Column(name, sa.Integer(), nullable=False, autoincrement=False)


def _wide(name: str) -> sa.Column[int]:
    return sa.Column(name, sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False)


def _text(name: str) -> sa.Column[str]:
    return sa.Column(name, sa.Text(), nullable=False)


def _rules(table: str, **rules: str) -> list[sa.CheckConstraint]:
    return [sa.CheckConstraint(rule, name=op.f(f"ck_{table}_{name}")) for name, rule in rules.items()]


# ------------------------------------------------------------ tables that are changed


def _change_words(table: str, column: str, changes: tuple[tuple[str, str], ...]) -> None:
    """Change which words a column may hold; the rows, and the seals under them, stay as they are."""
    bind = op.get_bind()
    if bind.dialect.name == "sqlite":
        _make_anew(table, _changed(_statement(table), changes))
        return
    rule = f"ck_{table}_{column}_known"
    rules = {each["name"]: each["sqltext"] for each in sa.inspect(bind).get_check_constraints(table)}
    words = "".join(f"{word}, " for word in re.findall(r"'[^']*'", rules[rule]))
    op.drop_constraint(op.f(rule), table, type_="check")
    known = _changed(words, changes).removesuffix(", ")
    op.create_check_constraint(op.f(rule), table, f"{column} IN ({known})")


def _changed(text: str, changes: tuple[tuple[str, str], ...]) -> str:
    for before, now in changes:
        if text.count(before) != 1:
            message = f"the rules do not list their words as they were made, {before}; nothing was changed"
            raise RuntimeError(message)
        text = text.replace(before, now)
    return text


def _statement(table: str) -> str:
    """Give the statement that made a table."""
    asked = sa.text("SELECT sql FROM sqlite_schema WHERE type = 'table' AND name = :table")
    return str(op.get_bind().execute(asked, {"table": table}).scalar_one())


def _make_anew(table: str, statement: str, **new: str) -> None:
    """Put the rows aside, make the table by a statement, with its indexes, and put the rows back with what is `new`.

    Foreign keys are off meanwhile; the store sets the guards again.
    """
    bind = op.get_bind()
    indexes = sa.text("SELECT sql FROM sqlite_schema WHERE type = 'index' AND tbl_name = :table AND sql IS NOT NULL")
    made = [row.sql for row in bind.execute(indexes, {"table": table}).all()]
    before = [each["name"] for each in sa.inspect(bind).get_columns(table) if "computed" not in each]
    op.execute(f"CREATE TABLE kept_{table} AS SELECT * FROM {table}")  # noqa: S608 - names above
    op.drop_table(table)
    for each in (statement, *made):
        bind.exec_driver_sql(each)
    now = {each["name"] for each in sa.inspect(bind).get_columns(table)}
    columns = ", ".join(name for name in before if name in now)
    more, values = ("".join(f", {each}" for each in some) for some in (new.keys(), new.values()))
    op.execute(f"INSERT INTO {table} ({columns}{more}) SELECT {columns}{values} FROM kept_{table}")  # noqa: S608 - names of the table
    op.drop_table(f"kept_{table}")
