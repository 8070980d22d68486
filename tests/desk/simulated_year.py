"""A year of an invented shop, its bank and its card processor, worked out without the program: what really happened.

It knows nothing of the program's code. Days are drawn from a fixed seed; the tariff is invented: 2.9 % and 0.30 a
charge, rounded half up, kept on refunds; 15.00 for a dispute; 20.00 a month. The processor pays out on Tuesdays and
Fridays what was processed before that day, holds back a tenth of what it pays out in summer and releases it in October,
takes money from the bank where it paid out too much, and carries less than 5.00 into its next payout.
"""

from __future__ import annotations

import calendar
import random
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Final

YEAR: Final = 2027
OPENED: Final = 500_000
"""What lay in the bank account on the last day before the year."""
BEGUN: Final = date(YEAR - 1, 12, 31)
MONTHLY_FEE, DISPUTE_FEE, SMALLEST = 2_000, 1_500, 500
SUMMER: Final = (6, 7, 8)
RELEASED: Final = date(YEAR, 10, 15)
_DAY: Final = timedelta(days=1)
_TUESDAY, _FRIDAY = 1, 4


@dataclass(frozen=True)
class Event:
    """Something that the owner records on its day; `of` is the key of what it undoes."""

    day: date
    what: str
    amount: int
    key: str
    of: str = ""
    reference: str = ""


@dataclass(frozen=True)
class Seen:
    """A line that the bank shows."""

    day: date
    amount: int
    text: str
    check: str = ""
    only_bank: str = ""
    """What it is where nobody but the bank knows of it: a fee or interest."""


@dataclass
class Row:
    """A row of the processor's: its kind, gross and fee; the payout is known once it is paid."""

    day: date
    kind: str
    gross: int
    fee: int
    number: str
    payout: str = ""
    paid: date | None = None

    @property
    def net(self) -> int:
        """What the processor owes more by it."""
        return self.gross - self.fee


@dataclass
class Year:
    """All that happened."""

    events: list[Event] = field(default_factory=list)
    lines: list[Seen] = field(default_factory=list)
    rows: list[Row] = field(default_factory=list)
    payouts: dict[str, tuple[date, int]] = field(default_factory=dict)

    def bank_balance(self, day: date) -> int:
        """Give what lay in the bank account by the bank."""
        return OPENED + sum(line.amount for line in self.lines if line.day <= day)

    def owed(self, day: date) -> int:
        """Give what the processor owed, the reserve not among it."""
        real = sum(row.net for row in self.rows if row.day <= day and row.kind != "carried balance")
        return real - sum(amount for paid, amount in self.payouts.values() if paid <= day)

    def reserve(self, day: date) -> int:
        """Give what the processor held back."""
        return -sum(row.net for row in self.rows if row.day <= day and row.kind == "reserve")

    def gross(self, month: int) -> tuple[int, int]:
        """Give how many charges a month had, and what they came to before anything was taken off."""
        charged = [row.gross for row in self.rows if row.kind == "charge" and _is_in(row.day, month)]
        return len(charged), sum(charged)

    @property
    def fees(self) -> int:
        """What the processor kept of the year, on the days it earned it."""
        return sum(row.fee for row in self.rows if row.day.year == YEAR)

    @property
    def months(self) -> range:
        """The numbers of the months."""
        return range(1, 13)


def last_day(month: int) -> date:
    """Give the last day of a month."""
    return date(YEAR, month, calendar.monthrange(YEAR, month)[1])


def simulated() -> Year:
    """Let the year happen."""
    year = Year()
    chance = random.Random(20_270_101)
    for month in year.months:
        _sell(year, chance, month)
        _spend(year, chance, month)
    # A sale of the last evening, which the processor pays out in the new year.
    year.events.append(Event(last_day(12), "card", 15_555, "last"))
    _undo(year)
    year.events.sort(key=lambda event: (event.day, event.key))
    _process(year)
    _pay_out(year)
    year.lines.sort(key=lambda line: line.day)
    return year


def _is_in(day: date, month: int) -> bool:
    return (day.year, day.month) == (YEAR, month)


def _quiet(day: date) -> bool:
    """Tell whether no card is taken: a week in February and one in September, so that payouts turn round."""
    return date(YEAR, 2, 9) <= day <= date(YEAR, 2, 18) or date(YEAR, 9, 6) <= day <= date(YEAR, 9, 13)


def _sell(year: Year, chance: random.Random, month: int) -> None:
    for place in range(9):
        day = date(YEAR, month, chance.randrange(1, last_day(month).day + 1))
        what = ("card", "card", "card", "card", "deposit", "check", "check", "cash", "cash")[place]
        amount = chance.choice((24_950, 12_995, 4_999)) if place < 2 else chance.randrange(2_000, 39_000)
        if _quiet(day) and what in {"card", "deposit"}:
            continue
        number = str(7_000 + month * 10 + place) if what == "check" else ""
        year.events.append(Event(day, what, amount, f"{month:02d}-{place}", reference=number))
        if what == "check":
            credited = _business_day(day + chance.randrange(1, 5) * _DAY)
            year.lines.append(Seen(credited, amount, "MOBILE DEPOSIT"))


def _spend(year: Year, chance: random.Random, month: int) -> None:
    def happens(day: date, what: str, amount: int, seen: date, text: str, check: str = "", sign: int = -1) -> None:
        year.events.append(Event(day, what, amount, f"{month:02d}-{what}{check}", reference=check))
        year.lines.append(Seen(seen, sign * amount, text, check))

    rent, draw, banked = date(YEAR, month, 1), date(YEAR, month, 15), date(YEAR, month, 20)
    happens(rent, "rent", 85_000, _business_day(rent + _DAY), "ALDER ROW ESTATES")
    for place in range(2):
        day = date(YEAR, month, chance.randrange(2, 27))
        seen = _business_day(day + chance.randrange(3, 14) * _DAY)
        happens(day, "bill", chance.randrange(3_000, 45_000), seen, "CHECK", check=str(1_000 + month * 10 + place))
    happens(draw, "draw", 50_000 + month, draw, "TRANSFER TO OWNER")
    happens(banked, "banked", 2_000 + month, banked + _DAY, "CASH DEPOSIT", sign=1)
    end = last_day(month)
    year.lines.append(Seen(end, -1_200, "SERVICE FEE", only_bank="fee"))
    year.lines.append(Seen(end, 40 + month, "INTEREST PAID", only_bank="interest"))


def _undo(year: Year) -> None:
    """Let cards be refunded and disputed: one dispute is won, one is lost, each far from its payment."""
    cards = {event.key: event for event in year.events if event.what == "card"}

    def largest(month: int) -> Event:
        return max((each for each in cards.values() if _is_in(each.day, month)), key=lambda each: each.amount)

    lost, won = largest(1), largest(4)
    year.events += [
        Event(date(YEAR, 2, 12), "dispute", lost.amount, "dispute-lost", lost.key),
        Event(date(YEAR, 3, 19), "lost", 0, "lost", lost.key),
        Event(date(YEAR, 5, 11), "dispute", won.amount, "dispute-won", won.key),
        Event(date(YEAR, 7, 6), "won", won.amount, "won", won.key),
    ]
    for month, day, amount in ((3, 30, 1_999), (6, 15, 2_450), (9, 8, 300), (11, 24, 1_250), (12, 30, 1_111)):
        taken = largest(month - 1)
        year.events.append(Event(date(YEAR, month, day), "refund", amount, f"refund-{month}", taken.key))


def _process(year: Year) -> None:
    """Give each event its row, and each month its fee."""
    for event in year.events:
        if event.what in {"card", "deposit"}:
            fee = (event.amount * 29 + 500) // 1_000 + 30
            year.rows.append(Row(event.day, "charge", event.amount, fee, f"tx-{event.key}"))
        if event.what == "refund":
            year.rows.append(Row(event.day, "refund", -event.amount, 0, f"tx-{event.key}"))
        if event.what == "dispute":
            year.rows.append(Row(event.day, "chargeback", -event.amount, DISPUTE_FEE, f"tx-{event.key}"))
        if event.what == "won":
            year.rows.append(Row(event.day, "dispute reversal", event.amount, -DISPUTE_FEE, f"tx-{event.key}"))
    for month in year.months:
        year.rows.append(Row(last_day(month), "fee", 0, MONTHLY_FEE, f"fee-{month:02d}"))
    year.rows.sort(key=lambda row: (row.day, row.number))


def _pay_out(year: Year) -> None:
    day, carried = date(YEAR, 1, 1), 0
    while day <= date(YEAR + 1, 1, 7):
        if day.weekday() in {_TUESDAY, _FRIDAY}:
            carried = _paid_on(year, day, carried)
        day += _DAY


def _paid_on(year: Year, day: date, carried: int) -> int:
    """Pay out what waits; gives what is carried into the next payout."""
    name = f"PO{day:%y%m%d}"
    due = [row for row in year.rows if not row.payout and row.day < day]
    released = day >= RELEASED and year.reserve(day)
    if not due and not carried and not released:
        return 0
    if carried:
        due.append(_added(year, Row(day, "carried balance", carried, 0, "")))
    charged = sum(row.gross for row in due if row.kind == "charge")
    if day.month in SUMMER and charged:
        due.append(_added(year, Row(day, "reserve", -(charged // 10), 0, f"hold-{name}")))
    if released:
        due.append(_added(year, Row(day, "reserve", released, 0, f"release-{name}")))
    amount = sum(row.net for row in due)
    if -SMALLEST < amount < 0:
        due.append(_added(year, Row(day, "carried balance", -amount, 0, "")))
        left, amount = amount, 0
    else:
        left = 0
    for row in due:
        row.payout, row.paid = name, day
    year.payouts[name] = (day, amount)
    if amount:
        seen = _business_day(day + _DAY)
        year.lines.append(Seen(seen, amount, f"CARDWELL {'TRANSFER' if amount > 0 else 'DEBIT'} {name}"))
    return left


def _added(year: Year, row: Row) -> Row:
    year.rows.append(row)
    return row


def _business_day(day: date) -> date:
    """Give a day, or the Monday after it."""
    return day + _DAY * max(0, 7 - day.weekday()) if day.weekday() > _FRIDAY else day
