"""The tables, indexes and guards that a database has, digested like rows, so that the chain covers them too.

On SQLite each is held by the SQL that made it. On PostgreSQL, which writes definitions anew with each of its versions,
columns, constraints and triggers are held by their names and kinds, and the guards by what they do.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from sqlalchemy import Connection

from shopledger.ledger.seals import row_digest

SCHEMA: Final = "schema"
"""What a seal calls tables, indexes and guards, beside the names of tables."""

_ON_SQLITE: Final = """
SELECT type, name, tbl_name, COALESCE(sql, '') FROM sqlite_schema WHERE name NOT LIKE 'sqlite\\_%' ESCAPE '\\'
"""
_ON_POSTGRES: Final = (
    """
SELECT 'column', column_name, table_name, data_type || ' ' || is_nullable || ' ' || is_generated
FROM information_schema.columns WHERE table_schema = current_schema()
""",
    """
SELECT 'constraint', con.conname, rel.relname, CAST(con.contype AS TEXT) || ' ' || con.convalidated
FROM pg_constraint con JOIN pg_class rel ON rel.oid = con.conrelid
JOIN pg_namespace space ON space.oid = rel.relnamespace
WHERE space.nspname = current_schema() AND con.contype IN ('c', 'f', 'p', 'u')
""",
    """
SELECT 'trigger', trig.tgname, rel.relname, proc.proname || ' ' || CAST(trig.tgenabled AS TEXT) || ' ' || trig.tgtype
FROM pg_trigger trig JOIN pg_class rel ON rel.oid = trig.tgrelid JOIN pg_proc proc ON proc.oid = trig.tgfoid
JOIN pg_namespace space ON space.oid = rel.relnamespace
WHERE space.nspname = current_schema() AND NOT trig.tgisinternal
""",
    """
SELECT 'function', proc.proname, '', proc.prosrc
FROM pg_proc proc JOIN pg_namespace space ON space.oid = proc.pronamespace
WHERE space.nspname = current_schema() AND proc.proname LIKE 'shopledger%%'
""",
)


def schema_digests(connection: Connection) -> Mapping[str, str]:
    """Give each part of the schema by its digest."""
    asked = (_ON_SQLITE,) if connection.dialect.name == "sqlite" else _ON_POSTGRES
    rows = [tuple(map(str, row)) for sql in asked for row in connection.exec_driver_sql(sql)]
    return {row_digest(SCHEMA, row): _named(*row) for row in rows}


def _named(kind: str, name: str, table: str, _text: str) -> str:
    return f"{kind} {name}" if table in {name, ""} else f"{kind} {name} of {table}"
