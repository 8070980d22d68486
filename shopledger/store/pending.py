"""What of the ledger is pending: jobs and orders that are here, orders and bills not paid, bank lines not matched.

Few things are pending among very many that are not, and no index tells them apart. So a process that looks keeps the
numbers that it found, with the seal under which it found them: whatever was written since names that seal or a later
one, and what it is about is asked anew. Looking stores nothing; a ledger that was exchanged for another is known by
the hash of that seal and is read whole again, and so is one of which very much is new.
"""

# ruff: noqa: S608 - the queries are made of the words of the ledger alone

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from enum import Enum
from typing import Final, NamedTuple

from shopledger.ledger.books.documents import DocumentKind
from shopledger.store.books.document_rows import TAKEN, WRITTEN_OFF
from shopledger.store.books.spending_queries import owed
from shopledger.store.parcels import AWAY, SOMETHING_HERE
from shopledger.store.transaction import Area, Transaction
from shopledger.store.words import stands_on

VALUES_AT_ONCE: Final = 5_000
"""Numbers in one question; SQLite takes 32,766 at most."""
MUCH: Final = 5_000
"""From how many changed orders, bills or lines on all of them are asked anew."""
LEDGERS: Final = 4
"""Of how many ledgers a process keeps what it found."""


class Pending(Enum):
    """What is looked for."""

    JOBS = "jobs that are here"
    HERE = "orders of which something is here"
    UNPAID = "orders not paid"
    BILLS = "bills not paid"
    LINES = "bank lines not matched"


class Found(NamedTuple):
    """One pending thing."""

    whole: int
    """What it belongs to and is asked anew with: the order of a job; of anything else its own number."""
    number: int
    amount: int
    """What is not paid of it, or what a line of the bank's comes to; of a job zero."""


@dataclass(frozen=True, slots=True)
class _Look:
    """How one kind is found among all, or among those with some numbers; and which numbers were touched since."""

    every: str
    own: str
    touched: str


_NOT_CANCELLED: Final = "NOT EXISTS (SELECT 1 FROM cancellation gone WHERE gone.order_number = {number})"
_JOBS: Final = f"""
SELECT pair.order_number AS whole, pair.job_number AS number, 0 AS amount FROM order_pair pair
WHERE NOT EXISTS (SELECT 1 FROM parcel_item item JOIN parcel ON parcel.number = item.parcel_number
                  WHERE item.job_number = pair.job_number AND {AWAY})
  AND {_NOT_CANCELLED.format(number="pair.order_number")}
  AND NOT EXISTS (SELECT 1 FROM job_again after WHERE after.in_place_of = pair.job_number)
  AND NOT EXISTS (SELECT 1 FROM job_taken_out gone WHERE gone.job_number = pair.job_number)
"""
_HERE: Final = f"""
SELECT sold.number AS whole, sold.number AS number, 0 AS amount FROM shop_order sold
WHERE {_NOT_CANCELLED.format(number="sold.number")} AND {SOMETHING_HERE.format(number="sold.number")}
"""
# As `OrderAccount.balance` says it.
_BALANCE: Final = f"""
(SELECT COALESCE(SUM(line.net + line.tax), 0) FROM order_line line WHERE line.order_number = sold.number)
    - (SELECT COALESCE(SUM(part.net + part.tax), 0) FROM correction_part part WHERE part.order_number = sold.number)
    - (SELECT COALESCE(SUM(payment.amount), 0) FROM payment WHERE payment.order_number = sold.number)
    + (SELECT COALESCE(SUM({TAKEN} - {WRITTEN_OFF}), 0) FROM correction WHERE correction.order_number = sold.number)
"""
_UNPAID: Final = f"""
SELECT owing.number AS whole, owing.number AS number, owing.amount AS amount
FROM (SELECT sold.number AS number, {_BALANCE} AS amount FROM shop_order sold
      WHERE {_NOT_CANCELLED.format(number="sold.number")} {{own}}) owing
WHERE owing.amount > 0
"""
_BILLS: Final = f"""
SELECT standing.bill_number AS whole, standing.bill_number AS number, SUM(standing.amount) AS amount
FROM ({owed("<= :last")}) standing WHERE 1 = 1 {{own}}
GROUP BY standing.bill_number HAVING SUM(standing.amount) > 0
"""
_STANDS: Final = """COALESCE(met.takes_back, 0) = 0
    AND NOT EXISTS (SELECT 1 FROM bank_match later WHERE later.takes_back = met.number)"""
_LINES: Final = f"""
SELECT line.number AS whole, line.number AS number, line.amount AS amount FROM bank_line line
WHERE line.amount <> 0
  AND NOT EXISTS (SELECT 1 FROM bank_line next WHERE next.replaces = line.number)
  AND NOT EXISTS (SELECT 1 FROM bank_match met WHERE met.line_number = line.number AND {_STANDS})
  AND NOT EXISTS (SELECT 1 FROM bank_match met WHERE met.other_line = line.number AND {_STANDS})
"""
_OF_ORDERS: Final = " UNION ".join(
    (
        "SELECT number AS whole FROM shop_order WHERE seal > :seal",
        *(
            f"SELECT order_number FROM {table} WHERE seal > :seal"
            for table in ("order_pair", "order_line", "payment", "cancellation", "correction", "parcel", "parcel_item")
        ),
        *(f"SELECT order_number FROM {table} WHERE seal > :seal" for table in ("refund_part", "correction_part")),
        """SELECT parcel.order_number FROM parcel_return back JOIN parcel ON parcel.number = back.parcel_number
           WHERE back.seal > :seal""",
        *(
            f"""SELECT pair.order_number FROM {table} moved JOIN order_pair pair ON pair.job_number = moved.job_number
                WHERE moved.seal > :seal"""
            for table in ("job_again", "job_taken_out")
        ),
    )
)
_VOIDED: Final = "taken_back taken JOIN {table} own ON {stands} WHERE taken.seal > :seal"
_OF_BILLS: Final = " UNION ".join(
    (
        "SELECT number AS whole FROM bill WHERE seal > :seal",
        *(f"SELECT bill_number FROM {table} WHERE seal > :seal" for table in ("bill_line", "bill_payment")),
        "SELECT bill_number FROM bill_credit WHERE seal > :seal",
        "SELECT other_bill FROM bill_credit WHERE seal > :seal AND other_bill IS NOT NULL",
        "SELECT bill_number FROM stock_movement WHERE seal > :seal AND bill_number IS NOT NULL",
        *(
            f"SELECT own.{column} FROM {_VOIDED.format(table=table, stands=stands_on(kind, 'own.number', 'taken'))}"
            for table, kind, column in (
                ("bill", DocumentKind.BILL, "number"),
                ("bill_payment", DocumentKind.BILL_PAYMENT, "bill_number"),
                ("bill_credit", DocumentKind.BILL_CREDIT, "bill_number"),
                ("bill_credit", DocumentKind.BILL_CREDIT, "other_bill"),
            )
        ),
    )
)
_OF_LINES: Final = """
SELECT number AS whole FROM bank_line WHERE seal > :seal
UNION SELECT replaces FROM bank_line WHERE seal > :seal AND replaces IS NOT NULL
UNION SELECT line_number FROM bank_match WHERE seal > :seal
UNION SELECT other_line FROM bank_match WHERE seal > :seal AND other_line IS NOT NULL
UNION SELECT met.line_number FROM bank_match back JOIN bank_match met ON met.number = back.takes_back
      WHERE back.seal > :seal
UNION SELECT met.other_line FROM bank_match back JOIN bank_match met ON met.number = back.takes_back
      WHERE back.seal > :seal AND met.other_line IS NOT NULL
"""
_LOOKS: Final[Mapping[Pending, _Look]] = {
    Pending.JOBS: _Look(_JOBS + "{own}", "AND pair.order_number IN :numbers", _OF_ORDERS),
    Pending.HERE: _Look(_HERE + "{own}", "AND sold.number IN :numbers", _OF_ORDERS),
    Pending.UNPAID: _Look(_UNPAID, "AND sold.number IN :numbers", _OF_ORDERS),
    Pending.BILLS: _Look(_BILLS, "AND standing.bill_number IN :numbers", _OF_BILLS),
    Pending.LINES: _Look(_LINES + "{own}", "AND line.number IN :numbers", _OF_LINES),
}
_EVER: Final = "9999-12-31"


@dataclass(frozen=True, slots=True)
class _Known:
    """What was found under a seal, and the hash that tells this chain from any other."""

    seal: int
    hash: str
    found: Mapping[Pending, frozenset[Found]] = field(default_factory=dict)


_KEPT: Final[dict[str, _Known]] = {}
"""What this process found, by the ledger's address."""


class PendingThings(Area):
    """What is pending, found with no more than what changed since it was last looked for."""

    def of(self, kind: Pending) -> frozenset[Found]:
        """Give all that is pending of one kind."""
        place = str(self.transaction.connection.engine.url)
        number, hashed = newest_seal(self.transaction)
        known = _KEPT.get(place)
        if known is None or not self._goes_on_from(known, number):
            known = _Known(number, hashed)
        found = dict(known.found) if known.seal == number else self._since(known)
        if kind not in found:
            found[kind] = frozenset(self._asked(_LOOKS[kind]))
        # One dictionary entry is put in the place of another at once, so that threads see whole ones alone.
        _keep(place, _Known(number, hashed, found))
        return found[kind]

    def _goes_on_from(self, known: _Known, number: int) -> bool:
        """Tell whether this is the chain of before, as it was then or grown since."""
        if known.seal > number:
            return False
        rows = self.transaction.asked("SELECT hash FROM seal WHERE number = :number", number=known.seal)
        return not known.seal or (bool(rows) and rows[0].hash == known.hash)

    def _since(self, known: _Known) -> dict[Pending, frozenset[Found]]:
        """Give what is pending by now of each kind that is known; several kinds ask what was touched in one way."""
        ways = dict.fromkeys(_LOOKS[kind].touched for kind in known.found)
        touched = {
            way: {int(row.whole) for row in self.transaction.asked(way, seal=known.seal) if row.whole} for way in ways
        }
        return {
            kind: self._now(_LOOKS[kind], before, touched[_LOOKS[kind].touched]) for kind, before in known.found.items()
        }

    def _now(self, look: _Look, before: frozenset[Found], touched: Collection[int]) -> frozenset[Found]:
        """Give what was pending and was not touched since, and what is so of what was touched."""
        if not touched:
            return before
        if len(touched) > MUCH:
            return frozenset(self._asked(look))
        return frozenset((*(each for each in before if each.whole not in touched), *self._asked(look, touched)))

    def _asked(self, look: _Look, numbers: Collection[int] | None = None) -> Iterator[Found]:
        last = {"last": _EVER} if ":last" in look.every else {}
        if numbers is None:
            rows = self.transaction.asked(look.every.format(own=""), **last)
            yield from (Found(int(row.whole), int(row.number), int(row.amount)) for row in rows)
            return
        for some in parted(numbers):
            rows = self.transaction.asked(look.every.format(own=look.own), numbers=some, **last)
            yield from (Found(int(row.whole), int(row.number), int(row.amount)) for row in rows)


def newest_seal(transaction: Transaction) -> tuple[int, str]:
    """Give the number and the hash of the newest seal: where both are the same, nothing was written in between."""
    rows = transaction.asked("SELECT number, hash FROM seal ORDER BY number DESC LIMIT 1")
    return (int(rows[0].number), str(rows[0].hash)) if rows else (0, "")


def pending(transaction: Transaction, kind: Pending) -> frozenset[Found]:
    """Give all that is pending of one kind."""
    return PendingThings(transaction).of(kind)


def parted(numbers: Iterable[int]) -> Iterator[list[int]]:
    """Give numbers in pieces that the database takes, in order."""
    wanted = sorted(numbers)
    for start in range(0, len(wanted), VALUES_AT_ONCE):
        yield wanted[start : start + VALUES_AT_ONCE]


def forget() -> None:
    """Let the next look be at everything."""
    _KEPT.clear()


def _keep(place: str, known: _Known) -> None:
    _KEPT.pop(place, None)
    _KEPT[place] = known
    while len(_KEPT) > LEDGERS:
        _KEPT.pop(next(iter(_KEPT)), None)
