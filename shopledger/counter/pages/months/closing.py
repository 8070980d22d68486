"""Closing a month: what stands against it, each with the page that mends it; opening it again; putting orders off."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import Final, NamedTuple

from shopledger.counter.addresses import deposit_page, job_page, month_page, new_bill_page, order_page, receipt_page
from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, Done, fill
from shopledger.counter.forms.fields import day, form, line
from shopledger.counter.forms.filled import Values
from shopledger.counter.pages.months.part import BOTH, pages
from shopledger.counter.plain_words import plain
from shopledger.desk.books.closing import close_month, plan_closing, reopen_month
from shopledger.desk.books.order_postings import orders_to_put_off, put_orders_off
from shopledger.ledger.books.period import Month
from shopledger.ledger.text import LONGEST_NOTE
from shopledger.optics.findings import Finding, Severity

REASON: Final = line("reason", "Why it is opened again", longest=LONGEST_NOTE)
SINCE: Final = day("day", "From which day on")


class Way(NamedTuple):
    """A page that mends what stands against closing."""

    words: str
    page: str


class Against(NamedTuple):
    """What stands against closing, in words, with the ways to mend it."""

    finding: Finding
    words: str
    ways: Sequence[Way]
    warns: bool


def _each(page: Callable[[int], str], words: str) -> Callable[[Finding, Month], Sequence[Way]]:
    """Make a way for each number that a finding names."""
    return lambda finding, _: [
        Way(f"{words} {number}", page(int(number))) for number in re.findall(r"[0-9]+", finding.value.split(" and ")[0])
    ]


def _goods(finding: Finding, _: Month) -> Sequence[Way]:
    codes = finding.value.split(" and ")[0].split(", ")
    return [Way(code, f"/goods?q={code}") for code in codes]


MENDED_BY: Final[dict[str, Callable[[Finding, Month], Sequence[Way]]]] = {
    "NOT-SHIPPED": _each(order_page, "Order"),
    "NOT-PAID": _each(order_page, "Order"),
    "NOT-PUT-OFF": lambda *_: [Way("Let them count when their goods leave", "/months/put-off")],
    "RECEIPT-OVERTAKEN": _each(receipt_page, "Receipt"),
    "NO-COST": _goods,
    "NO-LENS-BILL": lambda finding, which: [
        Way("Record the lab's bill", new_bill_page("lab-work")),
        *_each(job_page, "Job")(finding, which),
    ],
    "CARD-NOT-PAID-OUT": lambda *_: [
        Way("Take in the card processor's report", "/money/processor"),
        Way("Record a payout", "/money/moves/new/payout"),
    ],
    "TAX-NOT-SET": lambda *_: [Way("Sales tax rates", "/shop/rates")],
    "OLD-DEPOSIT": _each(deposit_page, "Deposit"),
    "CASH-SHORT": lambda *_: [
        Way("The owner put cash in", "/money/moves/new/contribution"),
        Way("Cash was fetched from the bank", "/money/moves/new/fetched"),
    ],
    "BANK": lambda _, which: [
        Way("Bank and books", f"/money/bank/months/{which}"),
        Way("The bank's lines", "/money/bank"),
    ],
}
"""For each finding the pages on which it is mended."""


@pages.route("/<which>/close", methods=BOTH)
def close(which: str) -> Answer:
    """Close a month, once what stands against it is mended or said yes to."""
    month = Month.read(which)
    plan = plan_closing(desk(), month)
    against = [_against(each, month) for each in plan.findings]

    def store(values: Values) -> Done:
        event = close_month(desk(), month, values.accept)
        return Done(month_page(month), f"{month} is closed on the ledger head {event.head}.")

    return fill(
        form(),
        store,
        "months/close.html",
        month=month,
        against=against,
        stops=any(each.finding.stops for each in against),
    )


@pages.route("/<which>/reopen", methods=BOTH)
def reopen(which: str) -> Answer:
    """Open the newest closed month again."""
    month = Month.read(which)

    def store(values: Values) -> Done:
        reopen_month(desk(), month, values.of(REASON))
        return Done(month_page(month), f"{month} is open. Workbooks of it are out of date once anything is added.")

    return fill(
        form(REASON),
        store,
        "form.html",
        keep=("reopening of month", str(month)),
        heading=f"Open {month} again",
        lead="Only the newest closed month can be opened again. The reason is kept with it.",
        button="Open it again",
        back=(month_page(month), str(month)),
    )


@pages.route("/put-off", methods=BOTH)
def put_off() -> Answer:
    """Let orders of before count as sold when their goods leave."""
    found = orders_to_put_off(desk())

    def store(values: Values) -> Done:
        done = put_orders_off(desk(), values.of(SINCE))
        return Done("/months", f"{len(done)} orders count with their goods from now on.")

    return fill(form(SINCE), store, "months/put_off.html", found=found)


def _against(finding: Finding, month: Month) -> Against:
    mended = MENDED_BY.get(finding.code)
    ways = () if mended is None else mended(finding, month)
    return Against(finding, plain(finding.sentence), ways, finding.severity is Severity.WARNING)
