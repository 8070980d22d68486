"""Whatever happens between a person and the counter, nothing typed is lost and nothing is stored twice."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopledger.desk.kept_forms import kept_forms
from shopledger.desk.known_people import customer_card, find_customers
from tests.browser.conftest import Running
from tests.counter.test_people import NEW

if TYPE_CHECKING:
    from playwright.sync_api import BrowserContext, Page


def fill_in(page: Page, **other: str) -> None:
    """Fill the form of a new customer in."""
    for name, value in {**NEW, **other}.items():
        page.locator(f"[name={name}]").fill(value)


def stored(counter: Running) -> int:
    """Count the customers of that name."""
    with counter.desk() as desk:
        return len(find_customers(desk, "Saltmarsh"))


def test_back_and_sent_again_it_is_stored_once(page: Page, counter: Running) -> None:
    """The browser fills in again what was sent, and the page asks whether this is somebody else of the same phone."""
    page.goto(f"{counter.home}/customers/new")
    fill_in(page)
    page.get_by_role("button", name="Add the customer").click()
    page.wait_for_url("**/customers/2")
    page.go_back()
    if page.locator("[name=name]").input_value():
        page.get_by_role("button", name="Add the customer").click()
        page.locator(".wrong, .notice").first.wait_for()
    assert stored(counter) == 1


def test_a_reload_repeats_nothing(page: Page, counter: Running) -> None:
    """The page after a deed is a page to look at."""
    page.goto(f"{counter.home}/customers/new")
    fill_in(page)
    page.get_by_role("button", name="Add the customer").click()
    page.wait_for_url("**/customers/2")
    page.reload()
    page.reload()
    assert stored(counter) == 1


def test_two_presses_at_once_are_one(page: Page, counter: Running) -> None:
    """Whoever is impatient stores it once."""
    page.goto(f"{counter.home}/customers/new")
    fill_in(page)
    page.get_by_role("button", name="Add the customer").dblclick(no_wait_after=True)
    page.wait_for_url("**/customers/2")
    assert stored(counter) == 1


def test_two_tabs_do_not_write_over_each_other(context: BrowserContext, page: Page, counter: Running) -> None:
    """The second sees what the first has stored, and decides."""
    other = context.new_page()
    for each in (page, other):
        each.goto(f"{counter.home}/customers/1/change")
    page.locator("[name=phone]").fill("555-0151")
    page.get_by_role("button", name="Store the change").click()
    page.wait_for_url("**/customers/1")
    other.locator("[name=email]").fill("odalys@example.com")
    other.get_by_role("button", name="Store the change").click()
    other.get_by_text("555-0151").first.wait_for()
    with counter.desk() as desk:
        assert customer_card(desk, "1").customer.phone == "555-0151"


def test_a_closed_window_loses_nothing(
    context: BrowserContext, page: Page, counter: Running, has_scripts: bool
) -> None:
    """What was typed and not sent stands there when the page is opened again; without scripts, what was sent once."""
    page.goto(f"{counter.home}/customers/new")
    fill_in(page, postcode="4300")
    if not has_scripts:
        page.get_by_role("button", name="Add the customer").click()
        page.locator("#wrong").wait_for()
    page.close(run_before_unload=True)
    again = context.new_page()
    for _ in range(50):
        again.goto(f"{counter.home}/customers/new")
        if again.locator("[name=name]").input_value():
            break
        again.wait_for_timeout(100)
    assert again.locator("[name=name]").input_value() == "Bryony Saltmarsh"
    assert again.locator("[name=phone]").input_value() == "555-0119"


def test_a_counter_killed_in_the_middle_of_a_form_loses_nothing(
    page: Page, counter: Running, has_scripts: bool
) -> None:
    """Started again, it has what was typed up to then, on the page that Today names."""
    page.goto(f"{counter.home}/customers/new")
    fill_in(page, postcode="4300")
    if has_scripts:
        for _ in range(100):
            with counter.desk() as desk:
                if any(form.typed.get("phone") for form in kept_forms(desk)):
                    break
            page.wait_for_timeout(100)
    else:
        page.get_by_role("button", name="Add the customer").click()
        page.locator("#wrong").wait_for()
    counter.kill()
    counter.start()
    page.goto(counter.address)
    page.get_by_role("link", name="Go on with new customer").click()
    assert page.locator("[name=street]").input_value() == "9 Alder Row"
    page.locator("[name=postcode]").fill("43002")
    page.get_by_role("button", name="Add the customer").click()
    page.wait_for_url("**/customers/2")
    assert stored(counter) == 1
    with counter.desk() as desk:
        assert kept_forms(desk) == ()
