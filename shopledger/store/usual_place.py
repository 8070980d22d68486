"""The usual place of a ledger, known without the database."""

from __future__ import annotations

from pathlib import Path

from platformdirs import user_data_path


def default_ledger_path() -> Path:
    """Give the usual place: the user's own data folder, on this computer and not one that follows the user around.

    A live ledger does not belong in a folder that a file-sync service copies elsewhere: it would go half written.
    """
    return user_data_path("shopledger", "shopledger", roaming=False) / "ledger.db"
