"""Changing a ledger from outside, as somebody might who knows its tables: guards are lifted, and set again after."""

from __future__ import annotations

from shopledger.desk.context import Desk
from shopledger.store.guards import lift_guards, set_guards


def forge(desk: Desk, *statements: str) -> None:
    """Run statements on the ledger, past the program."""
    with desk.ledger._engine.execution_options(writing=True).begin() as connection:
        lift_guards(connection)
        for statement in statements:
            connection.exec_driver_sql(statement)
        set_guards(connection)
