"""Which state of the tables this program reads and writes, told without importing the migrations."""

from __future__ import annotations

from typing import Final

HEAD_REVISION: Final = "20261128_year_lists"
"""The newest migration; a test holds it to the one in `migrations/versions`."""

REVISION_TABLE: Final = "shopledger_revision"
"""Where a ledger keeps its own state: a database without this table is no ledger."""

PROGRAM: Final = "0.1.0"
"""The version of this program, as in the package's metadata, which takes longer to read than a look-up has time for."""
