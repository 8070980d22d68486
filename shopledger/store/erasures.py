"""Erasing a customer or a wearer: what is held on somebody, what keeps it, and what blanks it.

What is blanked is every column that is marked as personal, in every row that leads to the person (`store/subjects.py`),
so a new table is reached without a line here.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any, Final

from sqlalchemy import Column, Row, Table, select, text

from shopledger.errors import RefusedError
from shopledger.ledger.canonical import content_hash, thawed
from shopledger.ledger.erasing import ErasedPart, Erasure, HoldDeed, LegalHold
from shopledger.ledger.numbers import number_of
from shopledger.ledger.papers.certificate import InspectionCertificate
from shopledger.ledger.papers.lens_order import LensOrderContent
from shopledger.ledger.receipt import ReceiptContent
from shopledger.ledger.retention import Dealings, Keeping
from shopledger.ledger.shipping import whole_content
from shopledger.ledger.text import is_mark, mark
from shopledger.ledger.tombstones import tombstone
from shopledger.store import columns as kept
from shopledger.store.books.deposits import Deposits
from shopledger.store.orders import Orders
from shopledger.store.records import Record
from shopledger.store.scales import read_day
from shopledger.store.subjects import CUSTOMER, SHARED, WEARER, paths, personal_columns, personal_tables, rows_of
from shopledger.store.tables.base import SALT
from shopledger.store.tables.erasures import erasure, erasure_part, keeping, legal_hold
from shopledger.store.tables.parties import customer, wearer
from shopledger.store.tables.schema import METADATA
from shopledger.store.transaction import Area

ERASURE: Final = Record(Erasure, erasure)
PART: Final = Record(ErasedPart, erasure_part, also=("erasure_number",))
HOLD: Final = Record(LegalHold, legal_hold, counter="legal hold")
KEEPING: Final = Record(Keeping, keeping, also=("one",))

OF_THE_SHOP: Final = frozenset({"stock_movement", "stock_issue", "stock_lot", "bill_line", "frame", "trace"})
"""What leads to somebody and yet tells of the shop's goods and bills alone: it is not counted as held on a person."""

_FROZEN: Final[Mapping[str, type[Any]]] = {
    "receipt": ReceiptContent,
    "certificate": InspectionCertificate,
    "lens_order": LensOrderContent,
}
_ORDERS: Final = {
    CUSTOMER: "SELECT number FROM shop_order WHERE customer_number = :person",
    WEARER: (
        "SELECT order_number FROM order_line WHERE wearer_number = :person "
        "UNION SELECT order_number FROM order_pair WHERE wearer_number = :person"
    ),
}
_LAST_DAYS: Final = """
SELECT (SELECT MAX(day) FROM parcel WHERE order_number IN ({orders})) AS shipped,
       (SELECT MAX(day) FROM (
           SELECT day FROM shop_order WHERE number IN ({orders})
           UNION ALL SELECT day FROM payment WHERE order_number IN ({orders})
           UNION ALL SELECT day FROM refund WHERE order_number IN ({orders})
           UNION ALL SELECT day FROM correction WHERE order_number IN ({orders})
           UNION ALL SELECT day FROM cancellation WHERE order_number IN ({orders})
           UNION ALL SELECT day FROM parcel WHERE order_number IN ({orders})
           UNION ALL SELECT day FROM correction WHERE order_number IN ({orders})
           UNION ALL SELECT day FROM deposit WHERE {deposits}) booked) AS booked
"""
_KEPT: Final = frozenset({"kept_file", "kept_body"})
_OTHERS: Final = """
SELECT 1 FROM bill WHERE file_sha256 = :sha256 UNION SELECT 1 FROM expense WHERE file_sha256 = :sha256
UNION SELECT 1 FROM inspection WHERE sheet_sha256 = :sha256 AND NOT {inspection}
UNION SELECT 1 FROM prescription_file WHERE sha256 = :sha256 AND NOT {prescription_file}
"""
_CLAIMS: Final = """
SELECT receipt.number, left_on.day, wearer.claim_within_days AS days
FROM receipt JOIN wearer ON wearer.number = receipt.wearer_number
JOIN (SELECT order_number, MAX(day) AS day FROM parcel GROUP BY order_number) left_on
    ON left_on.order_number = receipt.order_number
WHERE receipt.{person}
  AND wearer.claim_within_days IS NOT NULL
  AND NOT EXISTS (SELECT 1 FROM receipt_claim claim WHERE claim.receipt_number = receipt.number)
  AND NOT EXISTS (SELECT 1 FROM receipt_replacement past WHERE past.receipt_number = receipt.number)
ORDER BY receipt.number
"""


@dataclass(frozen=True, slots=True)
class Whose:
    """A customer with all wearers, or one wearer alone."""

    customer_number: int
    wearer_number: int | None = None

    @property
    def root(self) -> str:
        """The table that the person stands in."""
        return CUSTOMER if self.wearer_number is None else WEARER

    @property
    def person(self) -> int:
        """The number there."""
        return self.customer_number if self.wearer_number is None else self.wearer_number


class Erasures(Area):
    """What is held on people, and the erasures of the ledger."""

    def keeping(self) -> Keeping:
        """Give for how many years records are kept; what is usual before anything is set."""
        return self.transaction.one(KEEPING, {keeping.c.one: 1}) or Keeping()

    def save_keeping(self, new: Keeping) -> None:
        """Set for how many years records are kept."""
        if not self.transaction.rewrite(KEEPING, new, {keeping.c.one: 1}):
            self.transaction.put(KEEPING, new, one=1)

    def hold(self, hold: LegalHold) -> LegalHold:
        """Place a legal hold, or lift it."""
        return self.transaction.post(HOLD, hold)

    def holds(self, whose: Whose) -> tuple[LegalHold, ...]:
        """Give the holds that stand on somebody: a customer's keep the wearers too, and a wearer's the customer."""
        events = self.transaction.all(
            HOLD, {legal_hold.c.customer_number: whose.customer_number}, (legal_hold.c.number,)
        )
        newest = {event.wearer_number: event for event in events}
        standing = (event for event in newest.values() if event.deed is HoldDeed.PLACED)
        return tuple(
            each
            for each in standing
            if whose.wearer_number is None or each.wearer_number in {None, whose.wearer_number}
        )

    def dealings(self, whose: Whose) -> Dealings:
        """Give what retention asks about somebody."""
        orders = _ORDERS[whose.root]
        deposits = "customer_number = :person" if whose.root == CUSTOMER else "1 = 0"
        asked = _LAST_DAYS.format(orders=orders, deposits=deposits)
        (last,) = self.transaction.asked(asked, person=whose.person)
        numbers = [int(row[0]) for row in self.transaction.asked(orders, person=whose.person)]
        accounts = Orders(self.transaction).accounts(numbers)
        standing = ((number, each) for number, each in accounts.items() if each.cancellation is None)
        unfinished = (number for number, each in standing if whole_content(each))
        owing = (f"order {number}" for number, each in accounts.items() if each.balance)
        return Dealings(
            shipped_on=read_day(last.shipped),
            booked_on=read_day(last.booked),
            open_orders=tuple(sorted(unfinished)),
            owing=(*owing, *self._deposits(whose)),
            claims=tuple(self._claims(whose)),
            holds=tuple(hold.reason for hold in self.holds(whose)),
        )

    def held(self, whose: Whose) -> Iterator[tuple[str, Sequence[Row[*tuple[Any, ...]]]]]:
        """Give all rows that are held on somebody, table by table, each with its columns' names."""
        for table in METADATA.sorted_tables:
            if paths(table.name, whose.root) and table.name not in OF_THE_SHOP:
                rows = self._rows(table, list(table.columns), whose)
                if rows:
                    yield table.name, rows

    def erase(self, new: Erasure) -> tuple[Erasure, tuple[ErasedPart, ...]]:
        """Record an erasure and blank everything personal that leads to the person; gives what was blanked."""
        posted = self.transaction.post(ERASURE, new)
        whose = Whose(posted.customer_number, posted.wearer_number)
        # What leads to a person by what is blanked with it goes first.
        tables = sorted(personal_tables(), key=lambda table: table.name not in SHARED)
        counted = [(table.name, self._blank(table, posted, whose)) for table in tables]
        parts = tuple(ErasedPart(name, many) for name, many in counted if many)
        self.transaction.put(PART, *parts, erasure_number=number_of(posted))
        return posted, parts

    def all(self) -> tuple[Erasure, ...]:
        """Give every erasure, oldest first."""
        return self.transaction.all(ERASURE, order=(erasure.c.number,))

    def parts(self, number: int) -> tuple[ErasedPart, ...]:
        """Give what an erasure blanked."""
        return self.transaction.all(PART, {erasure_part.c.erasure_number: number}, (erasure_part.c.table_name,))

    def apply_again(self, listed: Iterable[Erasure]) -> tuple[Erasure, ...]:
        """Erase whom an older copy of the ledger still knows; those that it erased already are passed over.

        Gives what was erased now. Somebody whom the copy does not know yet needs no erasing.
        """
        done = {(each.customer_number, each.wearer_number, each.day) for each in self.all()}
        again = []
        for each in listed:
            same = (each.customer_number, each.wearer_number, each.day)
            if same not in done and self._known(each):
                done.add(same)
                again.append(self.erase(each)[0])
        return tuple(again)

    def _known(self, each: Erasure) -> bool:
        if each.wearer_number is None:
            return self.transaction.has(customer, {customer.c.number: each.customer_number})
        both = {wearer.c.number: each.wearer_number, wearer.c.customer_number: each.customer_number}
        return self.transaction.has(wearer, both)

    def _deposits(self, whose: Whose) -> Iterator[str]:
        if whose.root == CUSTOMER:
            for account in Deposits(self.transaction).accounts(whose.customer_number):
                if account.left:
                    yield f"deposit {account.deposit.number}"

    def _claims(self, whose: Whose) -> Iterator[tuple[int, date]]:
        own = {CUSTOMER: f"order_number IN ({_ORDERS[CUSTOMER]})", WEARER: "wearer_number = :person"}
        for row in self.transaction.asked(_CLAIMS.format(person=own[whose.root]), person=whose.person):
            yield row.number, read_day(row.day) + timedelta(row.days)

    def _rows(self, table: Table[Any], columns: Sequence[Column[Any]], whose: Whose) -> Sequence[Row[*tuple[Any, ...]]]:
        condition = text(rows_of(table.name, whose.root)).bindparams(person=whose.person)
        return self.transaction.chosen(select(*columns).where(condition).order_by(*table.primary_key.columns))

    def _blank(self, table: Table[Any], posted: Erasure, whose: Whose) -> int:
        """Blank the personal columns of a table's rows that lead to the person; gives how many rows there were."""
        if not paths(table.name, whose.root):
            return 0
        keys, personal = tuple(table.primary_key.columns), personal_columns(table.name)
        many = 0
        for row in self._rows(table, (*keys, *personal), whose):
            if table.name in _KEPT and self._needed_elsewhere(row.sha256, whose):
                continue
            values = _blanked(table.name, row, personal, posted)
            if table.name in {CUSTOMER, WEARER}:
                values["erased_on"] = posted.day
            if values:
                values[SALT] = ""
                own = {key: row._mapping[key.name] for key in keys}  # noqa: SLF001 - SQLAlchemy's public name for it
                many += self.transaction.change(table, values, own, stamped=False)
        return many

    def _needed_elsewhere(self, sha256: str, whose: Whose) -> bool:
        """Tell whether a kept file proves something for the shop, or for another wearer, too."""
        own = {table: rows_of(table, whose.root) for table in ("inspection", "prescription_file")}
        others = _OTHERS.format(**own)
        return bool(self.transaction.asked(others, sha256=sha256, person=whose.person))


def _blanked(
    name: str, row: Row[*tuple[Any, ...]], personal: Sequence[Column[Any]], posted: Erasure
) -> dict[str, object]:
    """Give the columns of a row that differ from what stands there after the erasure."""
    stood = {column.name: row._mapping[column.name] for column in personal}  # noqa: SLF001 - as above
    body = _tombstone_of(name, row, stood, personal, posted)
    stands = {column.name: _stands(column, stood[column.name], body, posted) for column in personal}
    return {column: value for column, value in stands.items() if value != stood[column]}


def _stands(column: Column[Any], old: Any, body: str, posted: Erasure) -> object:  # noqa: ANN401 - as the column holds
    blank = column.info[kept.PERSONAL]
    if blank is kept.Blank.MARK:
        return old if is_mark(old) else mark(posted.day)
    if blank is kept.Blank.AREA:
        return f"{old[:3]}00"
    if blank is kept.Blank.TOMBSTONE:
        return body
    return content_hash(body) if blank is kept.Blank.HASH else blank


def _tombstone_of(
    name: str,
    row: Row[*tuple[Any, ...]],
    stood: Mapping[str, Any],
    personal: Sequence[Column[Any]],
    posted: Erasure,
) -> str:
    """Give what is left of a frozen paper; empty where a table has none."""
    if name not in _FROZEN:
        return ""
    columns = {column.info[kept.PERSONAL]: column.name for column in personal}
    body: str = stood[columns[kept.Blank.TOMBSTONE]]
    if content_hash(body) != stood[columns[kept.Blank.HASH]]:
        raise RefusedError(
            name.replace("_", " "),
            row[0],
            "what was frozen with it was changed from outside",
            "Restore a backup first: an erasure would hide it.",
        )
    content = thawed(_FROZEN[name], body, name.replace("_", " "))
    if content.erased_on:
        return body
    left: str = tombstone(content, number_of(posted), posted.day).canonical()
    return left
