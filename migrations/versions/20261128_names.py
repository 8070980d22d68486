"""Names with the days from which they hold, customers who are one, wearers who became customers, and closed months."""

from __future__ import annotations

from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "20261128_names"
down_revision = "20261128_customers_receipts"
branch_labels = None
depends_on = None

NEW = ("closed_look", "closed_as", "name_change", "customer_join", "wearer_move")
COUNTERS = ("name change", "customer join", "wearer move")


def upgrade() -> None:
    op.create_table(
        "name_change",
        _number("number"),
        _text("kind"),
        _text("day"),
        _text("before"),
        _text("name"),
        _number("customer_number", nullable=True),
        _number("wearer_number", nullable=True),
        _number("supplier_number", nullable=True),
        _text("item_code"),
        _number("seal"),
        _text("operator"),
        _text("recorded_at"),
        _text("salt"),
        sa.PrimaryKeyConstraint("number", name="pk_name_change"),
        *(_points("name_change", f"{who}_number", who) for who in ("customer", "wearer", "supplier")),
        _rule("name_change", "kind_known", "kind IN ('customer', 'wearer', 'supplier', 'frame', 'accessory', 'shop')"),
        _rule("name_change", "day_is_day", "day LIKE '____-__-__'"),
        _rule("name_change", "before_filled", "before <> ''"),
        _rule("name_change", "name_filled", "name <> ''"),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_name_change_kind_item_code"), "name_change", ["kind", "item_code"])
    op.create_table(
        "closed_as",
        _number("event_number"),
        _text("accounting"),
        _number("seal"),
        sa.PrimaryKeyConstraint("event_number", name="pk_closed_as"),
        _points("closed_as", "event_number", "period_event"),
        _rule("closed_as", "accounting_known", "accounting IN ('accrual', 'cash')"),
        sqlite_strict=True,
    )
    op.create_table(
        "closed_look",
        _number("event_number"),
        _number("position"),
        _text("looker"),
        *map(_number, ("looks", "receipts", "exports", "seal")),
        sa.PrimaryKeyConstraint("event_number", "position", name="pk_closed_look"),
        _points("closed_look", "event_number", "closed_as", "event_number"),
        _rule("closed_look", "position_counts", "position >= 1"),
        _rule("closed_look", "looker_filled", "looker <> ''"),
        *(_rule("closed_look", f"{each}_not_negative", f"{each} >= 0") for each in ("looks", "receipts", "exports")),
        sqlite_strict=True,
    )
    op.create_table(
        "customer_join",
        _number("number"),
        _text("day"),
        _text("deed"),
        _number("customer_number"),
        _number("into_number"),
        _text("reason"),
        _number("seal"),
        _text("operator"),
        _text("recorded_at"),
        sa.PrimaryKeyConstraint("number", name="pk_customer_join"),
        *(_points("customer_join", f"{which}_number", "customer") for which in ("customer", "into")),
        _rule("customer_join", "day_is_day", "day LIKE '____-__-__'"),
        _rule("customer_join", "deed_known", "deed IN ('joined', 'parted')"),
        _rule("customer_join", "reason_filled", "reason <> ''"),
        _rule("customer_join", "not_itself", "customer_number <> into_number"),
        sqlite_strict=True,
    )
    op.create_table(
        "wearer_move",
        _number("number"),
        _text("day"),
        *map(_number, ("wearer_number", "from_customer", "to_customer", "seal")),
        _text("operator"),
        _text("recorded_at"),
        sa.PrimaryKeyConstraint("number", name="pk_wearer_move"),
        _points("wearer_move", "wearer_number", "wearer"),
        *(_points("wearer_move", which, "customer") for which in ("from_customer", "to_customer")),
        _rule("wearer_move", "day_is_day", "day LIKE '____-__-__'"),
        sqlite_strict=True,
    )
    for column in ("wearer_number", "from_customer", "to_customer"):
        op.create_index(op.f(f"ix_wearer_move_{column}"), "wearer_move", [column])
    for which in ("customer", "into"):
        op.create_index(op.f(f"ix_customer_join_{which}_number"), "customer_join", [f"{which}_number"])
    for table in NEW:
        op.create_index(op.f(f"ix_{table}_seal"), table, ["seal"])
    for who in ("customer", "wearer", "supplier"):
        op.create_index(op.f(f"ix_name_change_{who}_number"), "name_change", [f"{who}_number"])
    op.bulk_insert(_counter(), [{"name": counter, "last": 0} for counter in COUNTERS])


def downgrade() -> None:
    for table in NEW:
        if op.get_bind().execute(sa.text(f"SELECT COUNT(*) FROM {table}")).scalar_one():  # noqa: S608 - names above
            message = f"the earlier form has no place for the rows of {table}; nothing was changed"
            raise RuntimeError(message)
    for table in NEW:
        op.drop_table(table)
    op.execute(sa.delete(_counter()).where(sa.column("name").in_(COUNTERS)))


def _counter() -> sa.TableClause:
    return sa.table("counter", sa.column("name"), sa.column("last"))


def _number(name: str, *, nullable: bool = False) -> sa.Column[Any]:
    return sa.Column(name, sa.Integer(), autoincrement=False, nullable=nullable)


def _text(name: str) -> sa.Column[Any]:
    return sa.Column(name, sa.Text(), nullable=False)


def _points(table: str, column: str, other: str, key: str = "number") -> sa.ForeignKeyConstraint:
    name = op.f(f"fk_{table}_{column}_{other}")
    return sa.ForeignKeyConstraint([column], [f"{other}.{key}"], name=name, ondelete="RESTRICT")


def _rule(table: str, name: str, condition: str) -> sa.CheckConstraint:
    return sa.CheckConstraint(condition, name=op.f(f"ck_{table}_{name}"))
