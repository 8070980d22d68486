"""Ledgers as programs of before left them."""

from __future__ import annotations

from alembic import command

from shopledger.store.guards import lift_guards, set_guards
from shopledger.store.migrate import alembic_config
from shopledger.store.resealing import seal_as_they_are
from tests.store.test_migrations import connected


def put_back(address: str, before: str) -> None:
    """Bring a ledger to an earlier state, sealed as the program of then."""
    with connected(address, migrating=True) as connection, connection.begin():
        lift_guards(connection)
        command.downgrade(alembic_config(connection), before)
        set_guards(connection)
        seal_as_they_are(connection, f"tables brought to {before} by shopledger 0.1.0")
