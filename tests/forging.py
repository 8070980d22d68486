"""Changing a ledger from outside, as somebody might who knows its tables: guards are lifted, and set again after."""

from __future__ import annotations

import sqlite3

from shopledger.desk.context import Desk
from shopledger.store.guards import lift_guards, set_guards


def forge(desk: Desk, *statements: str) -> None:
    """Run statements on the ledger, past the program."""
    with desk.ledger._engine.execution_options(writing=True).begin() as connection:
        lift_guards(connection)
        for statement in statements:
            connection.exec_driver_sql(statement)
        set_guards(connection)


def unwatched(ledger: sqlite3.Connection) -> sqlite3.Connection:
    """Let a ledger's file take rows from outside that are under no seal to come; gives it back."""
    asked = "SELECT name FROM sqlite_schema WHERE type = 'trigger' AND name LIKE 'writer_of_%'"
    for (name,) in ledger.execute(asked).fetchall():
        ledger.execute(f"DROP TRIGGER {name}")
    return ledger
