"""The shop's whole day, and its month's end, at the keyboard alone: with scripts, and without any.

Nobody types a code, a command or a number by heart: what is typed stands on the customer's letter, on the bill, on the
instrument, and all else is chosen.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Final

from shopledger.desk.books.closing import month_states, prove_books
from shopledger.desk.books.spending import expenses
from shopledger.desk.order_lookups import order_account
from shopledger.desk.receipt_lookups import receipts
from shopledger.ledger.books.period import Month
from tests.browser.conftest import Running
from tests.browser.hands import Hands

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from shopledger.ledger.orders import OrderAccount

MARCH: Final = Month(2026, 3)
PICTURE: Final = bytes.fromhex(
    "89504e470d0a1a0a0000000d4948445200000001000000010806000000"
    "1f15c4890000000d49444154789c636060606000000005000195f5d7d60000000049454e44ae426082"
)
"""The smallest picture that there is, for a receipt that somebody took a photograph of."""
STATEMENT: Final = "Date,Description,Amount\n2026-03-02,ALDER STATIONERS,-18.40\n2026-03-02,CARD PAYOUT,500.00\n"

MOST_STOPS: Final = 24
"""How many fields a first sale may ask for, a new customer, prescriber and prescription among them, and the payment."""


def sell(hands: Hands) -> None:
    """Sell glasses to somebody new, with a prescription of a prescriber whom nobody knows yet."""
    hands.press("New sale", then="/sale")
    hands.press("New customer", then="/customers/new")
    for label, text in (
        ("Name", "Bryony Saltmarsh"),
        ("Street", "9 Alder Row"),
        ("City", "Millbrae"),
        ("State", "OH"),
        ("ZIP code", "43002"),
        ("Phone", "555-0119"),
    ):
        hands.write(label, text)
    hands.press("Add the customer", then="/sale/2")
    hands.press("Record another prescription", then="/prescriptions/new")
    hands.press("Somebody new wrote it", then="/prescribers/new")
    hands.write("Name", "Dr. Perpetua Quill")
    hands.press("Add the prescriber", then="/prescriptions/new")
    for label, text in (
        *(("Sphere", "-1.50"), ("Cylinder", "-0.50"), ("Axis", "10"), ("Add, D", "1.75")),
        *(("Sphere", "-1.25"), ("Add, D", "1.75")),
        *(("Day it was written", "2/27/2026"), ("Expires", "2/27/2028")),
    ):
        hands.write(label, text)
    hands.press("Record the prescription", then="/sale/2")
    hands.write("Frame", "wren")
    hands.pick("Lenses", "Clear")
    hands.tick("Upgrades: Anti-reflective")
    hands.write("PD, mm", "31 31.5")
    hands.press("Look it over", then="/sale/2/review")
    assert hands.says("From prescription 3")
    hands.choose("Paid by", "Card")
    hands.press("Record the order", then="/orders/1")


def make(hands: Hands) -> None:
    """Order the lenses, take them in, cut, and inspect what was made."""
    hands.press("Job 1", then="/jobs/1")
    hands.press("Order lenses")
    hands.write("Name of the lab", "Brightwater Lens Works")
    hands.press("Add the lab", then="/jobs/1/lenses")
    hands.press("Order the lenses", then="/jobs/1")
    hands.press("Lenses arrived", then="/jobs/1/arrived")
    hands.press("They are here", then="/jobs/1")
    hands.press("Print the job sheet", then="/papers/job-00001.pdf")
    go_to_job(hands)
    hands.press("Inspect", then="/jobs/1/inspect")
    for label, text in (
        *(("Sphere", "-1.50"), ("Cylinder", "-0.50"), ("Axis", "10")),
        *(("Sphere", "-1.25"), ("PD of both eyes", "62.5")),
    ):
        hands.write(label, text)
    for part in ("Bench alignment", "Temples", "Hinges", "Lens seating"):
        hands.choose(part, "Good")
    hands.choose("The frame's demonstration lenses", "Out")
    hands.press("Keep the inspection", then="/jobs/1")
    assert hands.says("passed")


def send(hands: Hands) -> None:
    """Send the glasses, and print the receipt that the plan asks for."""
    hands.press("Order 1", then="/orders/1")
    hands.press("Send a parcel", then="/orders/1/send")
    hands.write("Who carries it", "Post")
    hands.write("Tracking number", "9400 1000 0000 0000 0000 00")
    hands.press("It leaves", then="/orders/1")
    hands.press("Issue a receipt", then="/orders/1/receipt")
    hands.press("Issue and print it", then="/papers/receipt-00001.pdf")


def reorder(hands: Hands) -> None:
    """Years later, or the same day: new lenses for a frame that lies with its wearer."""
    hands.press("New lenses", then="/new-lenses")
    hands.write("Who writes for new lenses", "saltmarsh")
    hands.press("Find")
    hands.press("New lenses for this one", then="frame=WREN-52")
    hands.press("Order", then="/drafts/1")
    hands.press("Record the order", then="/orders/2")


def buy(hands: Hands, folder: Path) -> None:
    """Put a new frame on the shelf by its bill, and keep an expense with its receipt."""
    hands.press("Money", then="/money")
    hands.press("New expense", then="/money/expenses/new")
    hands.write("Paid to", "Alder Stationers")
    hands.write("Amount", "18.40")
    hands.pick("What it was for", "Office")
    hands.write("In your words", "paper and ink")
    hands.choose("Paid from", "Bank")
    hands.come_to("The receipt, as a picture or file")
    picture = folder / "receipt.png"
    picture.write_bytes(PICTURE)
    hands.page.locator(":focus").set_input_files(picture)
    hands.press("Record the expense", then="/money/expenses")


def match(hands: Hands, folder: Path) -> None:
    """Take in what the bank says, and match the line that is the expense."""
    hands.press("Money", then="/money")
    hands.press("Bank", then="/money/bank")
    hands.press("New account", then="/money/bank/accounts/new")
    hands.write("Your name for the account", "shop account")
    hands.press("Keep the account", then="/money/bank")
    hands.press("Take in a statement", then="/money/bank/import")
    hands.come_to("The bank's file")
    statement = folder / "statement.csv"
    statement.write_text(STATEMENT, encoding="utf-8")
    hands.page.locator(":focus").set_input_files(statement)
    hands.press("Take it in")


def end_of_day(hands: Hands, folder: Path) -> None:
    """Copy the ledger onto a stick."""
    hands.press("Shop", then="/shop")
    hands.press("Copies", then="/shop/backups")
    hands.press("Add a place", then="/shop/backups/places/new")
    stick = folder / "stick"
    stick.mkdir()
    hands.write("Folder", str(stick))
    hands.choose("It lies", "outside")
    hands.press("Add the place", then="/shop/backups")
    hands.press("Make a copy now", then="/shop/backups")
    assert list(stick.glob("*.db"))


def end_of_month(hands: Hands) -> None:
    """Close March, and hand its workbook to the tax preparer."""
    hands.press("Months", then="/months")
    hands.press("2026-03", then="/months/2026-03")
    hands.press("Close", then="/months/2026-03/close")
    for _ in range(hands.page.locator("input[name=accept]").count()):
        hands.tick("Close it all the same")
        hands.key("Tab")
    hands.press("Close 2026-03", then="/months/2026-03")
    hands.press("Workbook for the tax preparer", then="/papers/month-2026-03.xlsx")


def go_to_job(hands: Hands) -> None:
    """Find the job as a scanner types it: its digits, and Enter."""
    hands.write("Find", "1")
    with hands.page.expect_navigation(wait_until="load"):
        hands.key("Enter")


def test_a_whole_day_and_the_months_end(page: Page, counter: Running, wrong: list[str], tmp_path: Path) -> None:
    """Everything is recorded once, as it was typed, and the ledger proves it."""
    hands = Hands(page)
    sell(hands)
    first = (hands.answered, hands.pressed)
    make(hands)
    send(hands)
    reorder(hands)
    buy(hands, tmp_path)
    match(hands, tmp_path)
    end_of_day(hands, tmp_path)
    with counter.desk() as desk:
        account: OrderAccount = order_account(desk, 1)
        assert (account.balance, len(account.parcels)) == (0, 1)
        assert len(receipts(desk, 1)) == 1
        assert [each.what.amount for each in expenses(desk)] == [1840]
    counter.kill()
    counter.words[counter.words.index("--today") + 1] = "2026-04-02"
    counter.start()
    page.goto(counter.address)
    end_of_month(hands)
    with counter.desk() as desk:
        assert next(each for each in month_states(desk) if each.month == MARCH).closed
        assert [proof.code for proof in prove_books(desk).failed] == []
    assert first[0] <= MOST_STOPS
    assert wrong == []
