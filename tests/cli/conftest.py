"""The program as a test runs it: on a fixed day, at a terminal or away from one."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime

import pytest
from click.testing import CliRunner, Result

from shopledger.cli.context import Surroundings
from shopledger.cli.main import shop

NOW = datetime(2026, 3, 2, 10, 30, tzinfo=UTC)

Typed = Callable[..., Result]


def type_in(*words: str, answers: str | None = None) -> Result:
    """Run one command; with answers, somebody sits at a terminal and types them."""
    around = Surroundings(now=NOW, terminal=answers is not None)
    return CliRunner().invoke(shop, words, input=answers or "", obj=around, prog_name="shopledger")


@pytest.fixture(autouse=True)
def plain_surroundings(monkeypatch: pytest.MonkeyPatch) -> None:
    """Keep the settings of whoever runs the tests out of them."""
    for name in ("SHOPLEDGER_LEDGER", "NO_COLOR", "TERM", "COLUMNS"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("SHOPLEDGER_OPERATOR", "Ilse")


@pytest.fixture
def typed() -> Typed:
    """Give the function that runs a command."""
    return type_in
