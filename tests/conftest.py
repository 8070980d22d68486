"""What every test may ask for: a fixed day, and how hard hypothesis looks.

`tests/run` uses the profile `ci`, which tries the same examples each time, its fast run
`fast`, which tries fewer; pytest run by hand looks for new ones.
"""

from __future__ import annotations

import os
import signal
from collections.abc import Iterator
from datetime import date

import pytest
from hypothesis import HealthCheck, settings

pytest_plugins = ["tests.installed", "tests.ledgers", "tests.sparing"]

LONGEST = ("test_packaging.py", "test_lowest.py", "test_sealed.py")

# No deadlines: a busy machine is no failure.
settings.register_profile("default", deadline=None)
for name, examples in (("ci", 50), ("fast", 10)):
    settings.register_profile(
        name,
        deadline=None,
        derandomize=True,
        max_examples=examples,
        database=None,
        print_blob=True,
        suppress_health_check=[HealthCheck.too_slow],
    )
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "default"))


@pytest.fixture(scope="session", autouse=True)
def _own_state(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Keep what belongs to no file of a ledger in folders of the tests' own, never in the user's."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("SHOPLEDGER_STATE", str(tmp_path_factory.mktemp("state") / "shopledger"))
        patch.setenv("SHOPLEDGER_PAPERS", str(tmp_path_factory.mktemp("papers") / "Shop papers"))
        patch.setenv("XDG_DATA_HOME", str(tmp_path_factory.mktemp("data")))
        yield


@pytest.fixture(scope="session", autouse=True)
def _hears_ctrl_c() -> None:
    """Let the tests, and what they start, hear Ctrl-C as at a terminal: a shell's background does not."""
    if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
        signal.signal(signal.SIGINT, signal.default_int_handler)


@pytest.fixture
def today() -> date:
    """Give the day on which every test takes place."""
    return date(2026, 3, 2)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Take what takes longest first, so that no process waits for another at the end."""
    items.sort(key=lambda item: item.path.name not in LONGEST)
