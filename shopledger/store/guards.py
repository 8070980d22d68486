"""Triggers that keep posted rows as they are, and closed months closed: the database itself refuses the rest.

They are made anew after every migration, since rebuilding a table on SQLite drops its triggers without a word.
"""

from __future__ import annotations

from typing import Final

from sqlalchemy import Connection

from shopledger.ledger.books.closing import PeriodDeed
from shopledger.store.translation import CLOSED_MONTH
from shopledger.store.words import word

POSTED: Final = (
    "audit_note",
    "prescription",
    "prescription_eye",
    "prescription_warning",
    "prescription_diagnosis",
    "trace",
    "shop_order",
    "order_pair",
    "order_pair_extra",
    "order_pair_eye",
    "order_line",
    "order_charge",
    "order_warning",
    "payment",
    "refund",
    "refund_part",
    "cancellation",
    "shipment",
    "draft_order",
    "draft_recording",
    "receipt",
    "receipt_replacement",
    "receipt_print",
    "receipt_claim",
    "paper_wording",
    "journal_entry",
    "journal_posting",
    "stock_movement",
    "inspection",
    "inspection_reading",
    "inspection_verdict",
    "impact_record",
    "remake",
    "inspection_omission",
    "kept_file",
    "kept_body",
    "seal",
    "bill",
    "bill_line",
    "bill_payment",
    "expense",
    "money_move",
    "deposit",
    "taken_back",
    "stock_issue",
    "period_event",
    "lens_order",
    "lens_arrival",
    "certificate",
)
"""The tables whose rows, once written, stay."""

DATED: Final = (
    "shop_order",
    "payment",
    "refund",
    "cancellation",
    "shipment",
    "stock_movement",
    "remake",
    "bill",
    "bill_payment",
    "expense",
    "money_move",
    "deposit",
    "taken_back",
    "journal_entry",
)
"""The tables whose rows count in the month of their day: a closed month takes no more of them."""

_NEWEST_DEED: Final = (
    "(SELECT event.deed FROM period_event event WHERE event.month = substr(NEW.day, 1, 7) "
    "ORDER BY event.number DESC LIMIT 1)"
)
_IS_CLOSED: Final = f"{_NEWEST_DEED} = {word(PeriodDeed.CLOSED)}"
_SAID: Final = "a posted row of {table} is never changed or deleted; post a correction"
_POSTGRES_FUNCTION: Final = """
CREATE OR REPLACE FUNCTION shopledger_keep() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION 'a posted row of % is never changed or deleted; post a correction', TG_TABLE_NAME
    USING ERRCODE = 'restrict_violation';
END $$
"""


_POSTGRES_MONTHS: Final = f"""
CREATE OR REPLACE FUNCTION shopledger_month() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF {_IS_CLOSED} THEN
        RAISE EXCEPTION '{CLOSED_MONTH}' USING ERRCODE = 'restrict_violation';
    END IF;
    RETURN NEW;
END $$
"""


def set_guards(connection: Connection) -> None:
    """Make every guard anew."""
    lift_guards(connection)
    if connection.dialect.name == "sqlite":
        _set_on_sqlite(connection)
    else:
        _set_on_postgres(connection)


def lift_guards(connection: Connection) -> None:
    """Take the guards away, for a migration that moves posted rows; it ends by setting them again."""
    where = "" if connection.dialect.name == "sqlite" else " ON {table}"
    present = _tables(connection)
    for table in POSTED:
        if table in present:
            for deed in ("update", "delete", "truncate"):
                connection.exec_driver_sql(f"DROP TRIGGER IF EXISTS keep_{table}_{deed}{where.format(table=table)}")
    for table in DATED:
        if table in present:
            connection.exec_driver_sql(f"DROP TRIGGER IF EXISTS month_{table}{where.format(table=table)}")


def _set_on_sqlite(connection: Connection) -> None:
    present = _tables(connection)
    for table in filter(present.__contains__, POSTED):
        for deed in ("update", "delete"):
            connection.exec_driver_sql(
                f"CREATE TRIGGER keep_{table}_{deed} BEFORE {deed.upper()} ON {table} "
                f"BEGIN SELECT RAISE(ABORT, '{_SAID.format(table=table)}'); END"
            )
    for table in DATED:
        connection.exec_driver_sql(
            f"CREATE TRIGGER month_{table} BEFORE INSERT ON {table} WHEN {_IS_CLOSED} "
            f"BEGIN SELECT RAISE(ABORT, '{CLOSED_MONTH}'); END"
        )


def _set_on_postgres(connection: Connection) -> None:
    connection.exec_driver_sql(_POSTGRES_FUNCTION.replace("%", "%%"))
    present = _tables(connection)
    for table in filter(present.__contains__, POSTED):
        for deed, each in (("update", "ROW"), ("delete", "ROW"), ("truncate", "STATEMENT")):
            connection.exec_driver_sql(
                f"CREATE TRIGGER keep_{table}_{deed} BEFORE {deed.upper()} ON {table} "
                f"FOR EACH {each} EXECUTE FUNCTION shopledger_keep()"
            )
    connection.exec_driver_sql(_POSTGRES_MONTHS)
    for table in DATED:
        connection.exec_driver_sql(
            f"CREATE TRIGGER month_{table} BEFORE INSERT ON {table} FOR EACH ROW EXECUTE FUNCTION shopledger_month()"
        )


def _tables(connection: Connection) -> frozenset[str]:
    if connection.dialect.name == "sqlite":
        found = connection.exec_driver_sql("SELECT name FROM sqlite_schema WHERE type = 'table'")
    else:
        found = connection.exec_driver_sql("SELECT tablename FROM pg_tables WHERE schemaname = current_schema()")
    return frozenset(found.scalars())
