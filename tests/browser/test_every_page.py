"""Every page for every person: no violation that axe knows, nothing to scroll sideways for at twice the size."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import pytest

from shopledger.desk.sales import record_sale
from tests.browser.conftest import Running
from tests.desk.family import DISTANCE, ordered

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

ALL_THE_TIME: Final = (
    *("/", "/find", "/find?q=fern", "/find?q=zzz", "/keys", "/no-such-page", "/papers", "/parcels"),
    *("/customers/new", "/customers/1", "/customers/1/change", "/customers/1/wearers/new", "/customers/1/wearers/2"),
    *("/customers/1/held", "/customers/1/erase", "/customers/1/join", "/customers/1/wearers/2/own"),
    *("/customers/1/wearers/1/prescriptions/new", "/prescriptions/1", "/prescribers/new"),
    *("/sale", "/sale/1", "/orders", "/new-lenses", "/new-lenses/1", "/new-lenses/1/1"),
    *("/goods", "/goods/low", "/goods/ageing", "/goods/value", "/goods/frames/WREN-52", "/goods/frames/WREN-52/change"),
    *("/goods/frames/WREN-52/count", "/goods/frames/WREN-52/receive", "/goods/frames/WREN-52/leave"),
    *("/goods/frames/new", "/goods/lenses/new", "/goods/accessories/new", "/goods/extras/new", "/goods/lenses/SV-150"),
    *("/bills", "/bills/new", "/bills/new/goods", "/suppliers", "/suppliers/new", "/traces", "/traces/new"),
    *("/money", "/money/expenses", "/money/expenses/new", "/money/deposits", "/money/deposits/new", "/money/moves"),
    *("/money/bank", "/money/bank/accounts/new", "/money/bank/import", "/money/processor", "/money/equipment"),
    *("/money/adjustments", "/money/adjustments/new", "/money/payees", "/money/sales-tax", "/months"),
    *("/shop", "/shop/first-things", "/shop/profile", "/shop/settings", "/shop/rates", "/shop/offers"),
    *("/shop/offers/new", "/shop/wording", "/shop/wording/receipt", "/shop/catalogue", "/shop/backups"),
    *("/shop/backups/places/new", "/shop/operators", "/shop/operators/new", "/shop/audit", "/shop/proof"),
    *("/shop/keeping", "/shop/version"),
)
"""Pages that are there from the first day on."""
AFTER_A_SALE: Final = (
    *("/orders/1", "/orders/1/pay", "/orders/1/send", "/orders/1/receipt", "/orders/1/refund", "/orders/1/address"),
    *("/orders/1/reduce", "/orders/1/cancel", "/put-right/order/1", "/new-lenses/1/1?frame=WREN-52"),
    *("/bench", "/jobs/1", "/jobs/1/lab", "/jobs/1/arrived", "/jobs/1/inspect", "/jobs/1/change", "/jobs/1/impact"),
    *("/jobs/1/remake", "/months/2026-03", "/months/years/2026"),
)
"""Pages that tell of an order and its job."""
PAGES: Final = (*ALL_THE_TIME, *AFTER_A_SALE)


@pytest.fixture
def seeing(browser: Browser, counter: Running) -> Page:
    """Give a page with scripts, which axe needs."""
    with counter.desk() as desk:
        record_sale(desk, ordered(DISTANCE))
    opened = browser.new_context(viewport={"width": 1280, "height": 900}).new_page()
    opened.goto(counter.address)
    return opened


def test_no_page_is_closed_to_anybody(seeing: Page, counter: Running) -> None:
    """What axe can tell: labels, contrast, roles, order of headings, landmarks."""
    axe: Any = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    found = {}
    for path in PAGES:
        answer = seeing.goto(f"{counter.home}{path}")
        assert answer is not None
        assert answer.ok or path == "/no-such-page", path
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
