"""Triggers that keep posted rows as they are, and closed months closed: the database itself refuses the rest.

They are made anew after every migration, since rebuilding a table on SQLite drops its triggers without a word. Two
doors are left: an erasure may blank what tells of its person, and notes of the audit may go once they are old.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from sqlalchemy import Connection

from shopledger.ledger.books.closing import PeriodDeed
from shopledger.store.erasing_door import erasing_door
from shopledger.store.subjects import personal_columns
from shopledger.store.tables.base import SEAL
from shopledger.store.translation import CLOSED_MONTH
from shopledger.store.words import word

POSTED: Final = (
    "audit_note",
    "changed_value",
    "audit_pruning",
    "erasure",
    "erasure_part",
    "legal_hold",
    "prescription",
    "prescription_eye",
    "prescription_warning",
    "prescription_diagnosis",
    "prescription_file",
    "trace",
    "shop_order",
    "order_pair",
    "job_again",
    "job_taken_out",
    "order_pair_extra",
    "order_own_lens",
    "order_own_extra",
    "order_pair_eye",
    "order_line",
    "order_charge",
    "order_warning",
    "payment",
    "refund",
    "refund_part",
    "cancellation",
    "parcel",
    "parcel_item",
    "parcel_return",
    "order_address",
    "earned",
    "put_off",
    "opening_debt",
    "correction",
    "correction_part",
    "added_line",
    "payment_origin",
    "payment_share",
    "correction_share",
    "refund_part_side",
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
    "bill_credit",
    "bill_credit_part",
    "adjustment",
    "adjustment_line",
    "expense",
    "money_move",
    "deposit",
    "taken_back",
    "stock_issue",
    "period_event",
    "closed_as",
    "closed_look",
    "name_change",
    "customer_join",
    "wearer_move",
    "lens_order",
    "lens_arrival",
    "certificate",
    "bank_account",
    "bank_layout",
    "bank_statement",
    "bank_line",
    "bank_match",
    "processor",
    "processor_layout",
    "processor_report",
    "processor_line",
    "payout_move",
    "w9",
    "w9_erasure",
    "report_limit",
    "disposal",
    "refund_credit",
)
"""The tables whose rows, once written, stay."""

DATED: Final = (
    "shop_order",
    "payment",
    "refund",
    "cancellation",
    "parcel",
    "parcel_return",
    "earned",
    "put_off",
    "correction",
    "stock_movement",
    "remake",
    "bill",
    "bill_payment",
    "bill_credit",
    "adjustment",
    "expense",
    "money_move",
    "deposit",
    "taken_back",
    "journal_entry",
    "name_change",
    "bank_match",
    "disposal",
)
"""The tables whose rows count in the month of their day: a closed month takes no more of them."""

_NEWEST_DEED: Final = (
    "(SELECT event.deed FROM period_event event WHERE event.month = substr(NEW.day, 1, 7) "
    "ORDER BY event.number DESC LIMIT 1)"
)
_IS_CLOSED: Final = f"{_NEWEST_DEED} = {word(PeriodDeed.CLOSED)}"
_SAID: Final = "a posted row of {table} is never changed or deleted; post a correction"
_POSTGRES_FUNCTION: Final = """
CREATE OR REPLACE FUNCTION {name}() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    {door}
    RAISE EXCEPTION 'a posted row of % is never changed or deleted; post a correction', TG_TABLE_NAME
    USING ERRCODE = 'restrict_violation';
END $$
"""
# In two steps, since a row of a TRUNCATE has no columns to look at.
_POSTGRES_DOOR: Final = "IF TG_OP = '{deed}' THEN IF {condition} THEN RETURN {row}; END IF; END IF;"
_POSTGRES_MONTHS: Final = f"""
CREATE OR REPLACE FUNCTION shopledger_month() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF {_IS_CLOSED} THEN
        RAISE EXCEPTION '{CLOSED_MONTH}' USING ERRCODE = 'restrict_violation';
    END IF;
    RETURN NEW;
END $$
"""
_PRUNED: Final = {"audit_note": "number", "changed_value": "note_number"}
"""The tables whose rows may go once they are old, and which of their columns is the number of the note."""


_UNNAMED: Final = "NEW.note NOT LIKE '%shopledger %'"
_UNSEALED: Final = "NEW.seal IS NULL OR NEW.seal <= (SELECT COALESCE(MAX(number), 0) FROM seal)"
"""A row is written under the seal that its transaction ends with, which is not there yet."""
_OLDER: Final = "an older shopledger may not write into this ledger; start the newer one"
"""What a program of before 0.2.0 is told, which names itself on no seal, or knows of none."""
_POSTGRES_WRITER: Final = """
CREATE OR REPLACE FUNCTION {name}() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF {when} THEN
        RAISE EXCEPTION '{said}' USING ERRCODE = 'restrict_violation';
    END IF;
    RETURN NEW;
END $$
"""
_WRITER: Final = "writer_of_seal"
_SEAL: Final = "seal"
_KEEPERS: Final = ("keep_", "month_", "writer_of_")
"""How the names of guards begin."""
_ON_FILE: Final = "SELECT name, tbl_name FROM sqlite_schema WHERE type = 'trigger'"
_ON_SERVER: Final = """
SELECT trig.tgname, rel.relname FROM pg_trigger trig JOIN pg_class rel ON rel.oid = trig.tgrelid
WHERE NOT trig.tgisinternal AND rel.relnamespace = CAST(current_schema() AS regnamespace)
"""
_SEALED_ON_FILE: Final = f"""
SELECT made.name FROM sqlite_schema made JOIN pragma_table_info(made.name) held
WHERE made.type = 'table' AND held.name = '{SEAL}'
"""  # noqa: S608 - a column's name
_SEALED_ON_SERVER: Final = f"""
SELECT table_name FROM information_schema.columns WHERE table_schema = current_schema() AND column_name = '{SEAL}'
"""  # noqa: S608 - as above


def set_guards(connection: Connection) -> None:
    """Make every guard anew."""
    lift_guards(connection)
    if connection.dialect.name == "sqlite":
        _set_on_sqlite(connection)
    else:
        _set_on_postgres(connection)


def lift_guards(connection: Connection) -> None:
    """Take the guards away, for a migration that moves posted rows; it ends by setting them again.

    All that are there go, also those that an earlier program set on tables which this one has no more.
    """
    on_file = connection.dialect.name == "sqlite"
    for name, table in connection.exec_driver_sql(_ON_FILE if on_file else _ON_SERVER).all():
        if name.startswith(_KEEPERS):
            connection.exec_driver_sql(f"DROP TRIGGER {name}" + ("" if on_file else f" ON {table}"))


def _set_on_sqlite(connection: Connection) -> None:
    present = _tables(connection)
    # First, since SQLite asks what was made last before all others, and those say what a rule of the books refuses.
    for name, table, deed, when in _writers(connection, present):
        connection.exec_driver_sql(
            f"CREATE TRIGGER {name} BEFORE {deed} ON {table} WHEN {when} BEGIN SELECT RAISE(ABORT, '{_OLDER}'); END"
        )
    for table in filter(present.__contains__, POSTED):
        doors = _doors(table, "IS")
        for deed in ("update", "delete"):
            when = f"WHEN NOT ({doors[deed]}) " if deed in doors else ""
            connection.exec_driver_sql(
                f"CREATE TRIGGER keep_{table}_{deed} BEFORE {deed.upper()} ON {table} {when}"
                f"BEGIN SELECT RAISE(ABORT, '{_SAID.format(table=table)}'); END"
            )
    for table in filter(present.__contains__, DATED):
        connection.exec_driver_sql(
            f"CREATE TRIGGER month_{table} BEFORE INSERT ON {table} WHEN {_IS_CLOSED} "
            f"BEGIN SELECT RAISE(ABORT, '{CLOSED_MONTH}'); END"
        )


def _set_on_postgres(connection: Connection) -> None:
    present = _tables(connection)
    for table in filter(present.__contains__, POSTED):
        doors = _doors(table, "IS NOT DISTINCT FROM")
        function = f"shopledger_keep_{table}" if doors else "shopledger_keep"
        door = " ".join(
            _POSTGRES_DOOR.format(deed=deed.upper(), condition=condition, row="NEW" if deed == "update" else "OLD")
            for deed, condition in doors.items()
        )
        connection.exec_driver_sql(_POSTGRES_FUNCTION.format(name=function, door=door).replace("%", "%%"))
        for deed, each in (("update", "ROW"), ("delete", "ROW"), ("truncate", "STATEMENT")):
            connection.exec_driver_sql(
                f"CREATE TRIGGER keep_{table}_{deed} BEFORE {deed.upper()} ON {table} "
                f"FOR EACH {each} EXECUTE FUNCTION {function}()"
            )
    connection.exec_driver_sql(_POSTGRES_MONTHS)
    for table in filter(present.__contains__, DATED):
        connection.exec_driver_sql(
            f"CREATE TRIGGER month_{table} BEFORE INSERT ON {table} FOR EACH ROW EXECUTE FUNCTION shopledger_month()"
        )
    functions = {_UNNAMED: "shopledger_names_writer", _UNSEALED: "shopledger_knows_seals"}
    for when, function in functions.items():
        made = _POSTGRES_WRITER.format(name=function, when=when, said=_OLDER)
        connection.exec_driver_sql(made.replace("%", "%%"))
    for name, table, deed, when in _writers(connection, present):
        connection.exec_driver_sql(
            f"CREATE TRIGGER {name} BEFORE {deed} ON {table} FOR EACH ROW EXECUTE FUNCTION {functions[when]}()"
        )


def _writers(connection: Connection, present: frozenset[str]) -> Iterator[tuple[str, str, str, str]]:
    """Give the guards against older programs: name, table, deed, and when it is refused."""
    if _SEAL not in present:
        return
    yield _WRITER, _SEAL, "INSERT", _UNNAMED
    on_file = connection.dialect.name == "sqlite"
    for table in sorted(connection.exec_driver_sql(_SEALED_ON_FILE if on_file else _SEALED_ON_SERVER).scalars()):
        # Rows of posted tables are kept from any change as it is.
        for deed in ("INSERT",) if table in POSTED else ("INSERT", "UPDATE"):
            yield f"writer_of_{table}_{deed.lower()}", table, deed, _UNSEALED


def _doors(table: str, same: str) -> dict[str, str]:
    """Give, for each deed, the condition under which a row of a table may be changed or deleted all the same."""
    doors = {}
    if personal_columns(table):
        doors["update"] = erasing_door(table, same)
    if table in _PRUNED:
        doors["delete"] = f"EXISTS (SELECT 1 FROM audit_pruning past WHERE OLD.{_PRUNED[table]} <= past.last)"  # noqa: S608 - names above
    return doors


def _tables(connection: Connection) -> frozenset[str]:
    if connection.dialect.name == "sqlite":
        found = connection.exec_driver_sql("SELECT name FROM sqlite_schema WHERE type = 'table'")
    else:
        found = connection.exec_driver_sql("SELECT tablename FROM pg_tables WHERE schemaname = current_schema()")
    return frozenset(found.scalars())
