"""Every page for every person: no violation that axe knows, nothing to scroll sideways for at twice the size."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import pytest

from tests.browser.conftest import Running

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

PAGES: Final = (
    *("/", "/find", "/find?q=fern", "/find?q=zzz", "/keys", "/no-such-page"),
    *("/customers/new", "/customers/1", "/customers/1/change", "/customers/1/wearers/new", "/customers/1/wearers/2"),
    *("/customers/1/held", "/customers/1/erase", "/customers/1/join", "/customers/1/wearers/2/own", "/papers"),
)


@pytest.fixture
def seeing(browser: Browser, counter: Running) -> Page:
    """Give a page with scripts, which axe needs."""
    opened = browser.new_context(viewport={"width": 1280, "height": 900}).new_page()
    opened.goto(counter.address)
    return opened


def test_no_page_is_closed_to_anybody(seeing: Page, counter: Running) -> None:
    """What axe can tell: labels, contrast, roles, order of headings, landmarks."""
    axe: Any = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    found = {}
    for path in PAGES:
        seeing.goto(f"{counter.home}{path}")
        violations = axe.run(seeing).response["violations"]
        found.update({path: [(each["id"], each["nodes"][0]["html"]) for each in violations]} if violations else {})
    assert found == {}


def test_no_page_scrolls_sideways_at_twice_the_size(seeing: Page, counter: Running) -> None:
    """A window of 1,280 dots at 200 % has 640."""
    seeing.set_viewport_size({"width": 640, "height": 450})
    wide = []
    for path in PAGES:
        seeing.goto(f"{counter.home}{path}")
        if seeing.evaluate("document.documentElement.scrollWidth > document.documentElement.clientWidth"):
            wide.append(path)
    assert wide == []


def test_every_page_names_itself(seeing: Page, counter: Running) -> None:
    """One heading of the first rank, which the title begins with or says."""
    for path in PAGES:
        seeing.goto(f"{counter.home}{path}")
        assert seeing.locator("h1").count() == 1, path
        assert seeing.title(), path
