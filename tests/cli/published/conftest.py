"""The books of one example, not begun yet, on both databases."""

from __future__ import annotations

import pytest

from tests.cli.published.printed import Books


@pytest.fixture
def books(vacant_address: str) -> Books:
    """Give the books of a shop at an address where no ledger is yet."""
    return Books(vacant_address)
