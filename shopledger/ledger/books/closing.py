"""Closing months: what was closed or reopened, why, on which state of the books, and what is pointed out before.

Errors stop a closing; warnings need a yes, which is kept.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from enum import Enum
from typing import Final

from shopledger.errors import LedgerError, RefusedError
from shopledger.ledger.audit import Looks
from shopledger.ledger.books.journal import Head
from shopledger.ledger.books.period import Month
from shopledger.ledger.books.proofs import Proof
from shopledger.ledger.settings import Accounting
from shopledger.ledger.text import LONGEST_NOTE, clean_text
from shopledger.money.amount import Cents, write_amount
from shopledger.optics.findings import Finding, Severity

OLD_DEPOSIT_DAYS: Final = 90
"""Days after which a customer's deposit should have become an order, or gone back."""
MOST_LISTED: Final = 8
_BOOKS: Final = "the books themselves"
_PRACTICE: Final = "common practice, no source"


class PeriodDeed(Enum):
    """What was done to a month."""

    CLOSED = "closed"
    REOPENED = "reopened"


@dataclass(frozen=True, slots=True)
class PeriodEvent:
    """That a month was closed or reopened; `head` is the state of the books it happened on."""

    month: Month
    deed: PeriodDeed
    reason: str
    accepted: tuple[str, ...]
    """Codes of what was pointed out and accepted."""
    head: Head
    operator: str = ""
    recorded_at: str = ""
    number: int | None = None

    def __post_init__(self) -> None:
        """Hold the reason to its rules; a month is not opened again without one."""
        needed = self.deed is PeriodDeed.REOPENED
        object.__setattr__(self, "reason", clean_text("reason", self.reason, LONGEST_NOTE, required=needed))


@dataclass(frozen=True, slots=True)
class ClosedAs:
    """What a closed month's workbook goes on saying beside its rows: how it stood when the month was closed."""

    event_number: int
    """Number of the closing."""
    accounting: Accounting
    """Which view stood first."""
    looks: tuple[Looks, ...] = ()
    """How often each operator had looked at private things in the month; the notes themselves may go with the years."""


@dataclass(frozen=True, slots=True)
class MonthState:
    """A month with entries or with a history: its entries, what they say was sold, and what was last done to it."""

    month: Month
    entries: int
    event: PeriodEvent | None = None
    net_sales: Cents = 0
    """Goods and shipping sold, less offers, refunds and cancellations."""

    @property
    def closed(self) -> bool:
        """Whether it takes nothing more."""
        return self.event is not None and self.event.deed is PeriodDeed.CLOSED


class MonthNotReadyError(LedgerError):
    """What a month still lacks before it can be closed: errors, and warnings that nobody has accepted."""

    month: Month
    findings: tuple[Finding, ...]

    def __str__(self) -> str:
        said = " ".join(f"{finding.sentence} [{finding.code}]" for finding in self.findings)
        if any(finding.stops for finding in self.findings):
            return f"{self.month} cannot be closed. {said}"
        flags = " ".join(f"--accept {code}" for code in dict.fromkeys(finding.code for finding in self.findings))
        return f"{self.month} was not closed. {said} If it is meant so, add {flags}."


def accepted_codes(month: Month, findings: Iterable[Finding], accept: frozenset[str]) -> tuple[str, ...]:
    """Give the codes of the warnings that were accepted, or refuse while anything stands against closing."""
    met = tuple(findings)
    warned = [finding for finding in met if finding.severity is Severity.WARNING]
    against = (
        *(finding for finding in met if finding.stops),
        *(finding for finding in warned if finding.code not in accept),
    )
    if against:
        raise MonthNotReadyError(month, against)
    return tuple(dict.fromkeys(finding.code for finding in warned))


def check_closable(month: Month, states: Iterable[MonthState], today: date) -> None:
    """Refuse a month that has not ended, is closed already, or follows an open month with entries."""
    if today <= month.last:
        raise RefusedError(
            "month", str(month), f"it lasts until {month.last.isoformat()}", "Close it once it has ended."
        )
    by_month = {state.month: state for state in states}
    mine = by_month.get(month)
    if mine is not None and mine.closed:
        raise RefusedError("month", str(month), "it is closed already", "Nothing is left to do.")
    earlier = sorted(state.month for state in by_month.values() if state.month < month and not state.closed)
    if earlier:
        first = earlier[0]
        raise RefusedError(
            "month", str(month), f"{first} before it is still open", f"First 'shopledger month close {first}'."
        )


def check_reopenable(month: Month, states: Iterable[MonthState]) -> None:
    """Refuse a month that is not closed, or that is not the newest that is."""
    closed = sorted(state.month for state in states if state.closed)
    if month not in closed:
        raise RefusedError("month", str(month), "it is not closed", "Nothing is left to do.")
    newest = closed[-1]
    if newest != month:
        raise RefusedError(
            "month",
            str(month),
            f"{newest} after it is closed too, and what is changed before it would change it",
            f"First 'shopledger month reopen {newest} --reason TEXT'.",
        )


@dataclass(frozen=True, slots=True)
class MonthLoose:
    """What is still loose in a month: numbers and names as they are read aloud, and amounts."""

    not_shipped: tuple[int, ...] = ()
    not_paid: tuple[int, ...] = ()
    not_put_off: tuple[int, ...] = ()
    """Orders that count as sold since they were recorded, and did not leave."""
    overtaken_receipts: tuple[int, ...] = ()
    goods_without_cost: tuple[str, ...] = ()
    jobs_without_bill: tuple[int, ...] = ()
    card_open: Cents = 0
    """Paid by card up to the month's end, and not paid out by the processor yet."""
    untaxed: tuple[str, ...] = ()
    """State and category, as in `OH accessory`, of which something was sold and no rate is set."""
    old_deposits: tuple[int, ...] = ()
    cash_short: tuple[date, Cents] | None = None
    """The first day of the month on which less than nothing lies in the drawer, and how much."""


def closing_findings(month: Month, proofs: Sequence[Proof], loose: MonthLoose) -> tuple[Finding, ...]:
    """Say what stands against closing a month, the gravest first."""
    return (*(_differs(each) for each in proofs if not each.holds), *_loose(month, loose))


def _differs(proof: Proof) -> Finding:
    first = proof.differences[0]
    more = f" (and {proof.differing - 1} more)" if proof.differing > 1 else ""
    sentence = (
        f"The books do not prove that {proof.words}: {first}{more}. Look with 'shopledger verify', and compare with a "
        "backup."
    )
    return Finding(
        Severity.ERROR, f"BOOKS-{proof.code}", proof.code.lower(), first.found, first.wanted, _BOOKS, sentence
    )


def _loose(month: Month, loose: MonthLoose) -> Iterator[Finding]:
    yield from _several(
        "NOT-SHIPPED",
        loose.not_shipped,
        ("order of the month is", "orders of the month are"),
        "not shipped yet",
        "Ship with 'shopledger sale ship NUMBER', or cancel what will not be made.",
    )
    yield from _several(
        "NOT-PAID",
        loose.not_paid,
        ("order of the month is", "orders of the month are"),
        "not paid in full",
        "Take what is owed with 'shopledger payment take NUMBER', or write off what will not be paid with 'shopledger "
        "payment write-off NUMBER'.",
    )
    yield from _several(
        "NOT-PUT-OFF",
        loose.not_put_off,
        ("order that did not leave counts", "orders that did not leave count"),
        "as sold since the day of recording, as all did before",
        "Let them count when their goods leave with 'shopledger month put-off'.",
    )
    yield from _several(
        "RECEIPT-OVERTAKEN",
        loose.overtaken_receipts,
        ("receipt is", "receipts are"),
        "overtaken by a refund, a correction or a remake and not replaced",
        "Use 'shopledger receipt replace NUMBER --reason TEXT'.",
    )
    yield from _several(
        "NO-COST",
        loose.goods_without_cost,
        ("item", "items"),
        "came in at no cost",
        "If they were bought, take the count out with 'shopledger stock count' and receive them with their cost.",
    )
    yield from _several(
        "NO-LENS-BILL",
        loose.jobs_without_bill,
        ("job", "jobs"),
        "left without a bill for the lenses",
        "Record the lab's bill with 'shopledger bill record --job NUMBER=AMOUNT'.",
    )
    if loose.card_open > 0:
        yield _warned(
            "CARD-NOT-PAID-OUT",
            write_amount(loose.card_open),
            f"{write_amount(loose.card_open)} of card payments up to {month.last.isoformat()} is not paid out yet. "
            "Record what came with 'shopledger money payout'.",
        )
    yield from _several(
        "TAX-NOT-SET",
        loose.untaxed,
        ("category was", "categories were"),
        "sold without a sales tax rate",
        "Set the rate, 0 with a reason if nothing is due, with 'shopledger tax set' before the next sale.",
    )
    yield from _several(
        "OLD-DEPOSIT",
        loose.old_deposits,
        ("deposit is", "deposits are"),
        f"older than {OLD_DEPOSIT_DAYS} days",
        "Use it with 'shopledger payment take ORDER --deposit NUMBER', or 'shopledger deposit give-back NUMBER'.",
    )
    if loose.cash_short is not None:
        day, amount = loose.cash_short
        yield _warned(
            "CASH-SHORT",
            write_amount(amount),
            f"By the books {write_amount(amount)} lies in the drawer on {day.isoformat()}. Record the cash "
            "that is missing with 'shopledger money contribute', 'shopledger money withdraw' or a payment.",
        )


def _several(
    code: str, found: Sequence[int] | Sequence[str], nouns: tuple[str, str], what: str, hint: str
) -> Iterator[Finding]:
    if found:
        shown = ", ".join(str(each) for each in found[:MOST_LISTED])
        more = f" and {len(found) - MOST_LISTED} more" if len(found) > MOST_LISTED else ""
        noun = nouns[0] if len(found) == 1 else nouns[1]
        yield _warned(code, shown + more, f"{len(found)} {noun} {what}: {shown}{more}. {hint}")


def _warned(code: str, value: str, sentence: str) -> Finding:
    return Finding(Severity.WARNING, code, "month", value, "", _PRACTICE, sentence)
