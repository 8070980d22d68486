"""Ledgers with something in them, beside the empty ones of `tests/ledgers.py`."""

from __future__ import annotations

import pytest

from shopledger.store.opening import Ledger
from tests.store.samples import furnish


@pytest.fixture
def furnished(ledger: Ledger) -> Ledger:
    """Give a ledger with people and a catalogue, on each database in turn."""
    furnish(ledger)
    return ledger
