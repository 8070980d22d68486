"""A real browser before a real counter: the program as it is started, Chromium as it is installed.

Where there is no browser, or nothing that drives one, the tests are skipped and say why; `sh tests/run browser`
installs the driver, the browser is the system's.
"""

from __future__ import annotations

import os
import re
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import pytest

from shopledger.desk.context import Desk
from shopledger.store.opening import ledger_url, open_ledger
from tests.desk.conftest import *  # noqa: F403 - the same shop as the desk's tests have
from tests.desk.conftest import DAY, NOW

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Page

BROWSERS: Final = ("chromium", "chromium-browser", "google-chrome")
SECONDS: Final = 60
"""How long the counter may take to say its address on a machine that does much else."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark all that lies here."""
    for item in items:
        if Path(__file__).parent in item.path.parents:
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Give the browser, started once."""
    driver = pytest.importorskip("playwright.sync_api", reason="the browser's driver is not installed")
    found = next(filter(None, map(shutil.which, BROWSERS)), None)
    if found is None:
        pytest.skip("no Chromium is on this machine")
    with driver.sync_playwright() as driving:
        # Whoever runs as root, as in many containers, gets no sandbox of Chromium's.
        words = ["--no-sandbox"] if hasattr(os, "geteuid") and os.geteuid() == 0 else []
        with closing(driving.chromium.launch(executable_path=found, args=words)) as started:
            yield started


@dataclass
class Running:
    """A counter that was started as a program of its own."""

    words: list[str]
    environ: dict[str, str]
    papers: Path
    ledger: Path
    process: subprocess.Popen[str] | None = None
    address: str = ""

    def start(self) -> Running:
        """Start it, and wait until it says where its page is."""
        self.process = subprocess.Popen(
            self.words, env=self.environ, stderr=subprocess.PIPE, stdout=subprocess.DEVNULL, text=True, bufsize=1
        )
        assert self.process.stderr is not None
        until = time.monotonic() + SECONDS
        said = []
        while time.monotonic() < until:
            line = self.process.stderr.readline()
            said.append(line)
            found = re.search(r"http://\S+", line)
            if found:
                self.address = found[0]
                return self
            if not line and self.process.poll() is not None:
                break
        raise AssertionError("".join(said))

    @property
    def home(self) -> str:
        """Where its pages are, without the key."""
        return self.address.split("/open")[0]

    def kill(self) -> None:
        """End it as a power cut does."""
        if self.process is not None:
            self.process.send_signal(signal.SIGKILL)
            self.process.wait()
            if self.process.stderr is not None:
                self.process.stderr.close()

    @contextmanager
    def desk(self) -> Iterator[Desk]:
        """Give the desk over its ledger."""
        with closing(open_ledger(ledger_url(str(self.ledger)))) as opened:
            yield Desk(opened, "tester", NOW, DAY)


@pytest.fixture
def counter(furnished_sqlite: str, tmp_path: Path) -> Iterator[Running]:
    """Start the counter over the furnished shop."""
    del furnished_sqlite
    ledger = tmp_path / "shop.db"
    words = [sys.executable, "-m", "shopledger", "--ledger", str(ledger), "--operator", "Ina"]
    words += ["--today", DAY.isoformat(), "counter", "--no-browser", "--papers", str(tmp_path / "papers")]
    environ = {**os.environ, "SHOPLEDGER_STATE": str(tmp_path / "state")}
    running = Running(words, environ, tmp_path / "papers", ledger).start()
    yield running
    running.kill()


@pytest.fixture(params=["scripts", "no scripts"])
def context(request: pytest.FixtureRequest, browser: Browser) -> Iterator[BrowserContext]:
    """Give a browser's profile, once with scripts and once without."""
    made = browser.new_context(java_script_enabled=request.param == "scripts", viewport={"width": 1280, "height": 900})
    made.set_default_timeout(20_000)
    yield made
    made.close()


@pytest.fixture
def page(context: BrowserContext, counter: Running) -> Page:
    """Give a page that was let in."""
    opened = context.new_page()
    opened.goto(counter.address)
    return opened


@pytest.fixture
def wrong(page: Page) -> list[str]:
    """Give what the browser complains of meanwhile: errors of scripts, what the page's policy refused."""
    said: list[str] = []
    page.on("pageerror", lambda error: said.append(str(error)))
    page.on("console", lambda told: said.append(told.text) if "Content Security Policy" in told.text else None)
    return said


@pytest.fixture
def has_scripts(context: BrowserContext) -> bool:
    """Tell whether this profile runs scripts."""
    made: Any = context
    return bool(made.request is not None and "no scripts" not in os.environ.get("PYTEST_CURRENT_TEST", ""))
