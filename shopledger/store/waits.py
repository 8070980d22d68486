"""What Today shows of things that wait: a few rows of each kind with the words for them, and how many there are."""

# ruff: noqa: S608 - the queries are made of the words of the ledger alone

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any, Final

from sqlalchemy import Row

from shopledger.ledger.books.documents import DocumentKind
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.money_moves import MoveKind
from shopledger.ledger.books.period import Month
from shopledger.ledger.stock import StockedKind
from shopledger.ledger.today import BILL_USUAL, CLAIM_AHEAD, MOST
from shopledger.money.amount import Cents
from shopledger.store.parcels import AWAY
from shopledger.store.pending import Pending, parted, pending
from shopledger.store.receipts import Receipts
from shopledger.store.scales import day_text, read_day
from shopledger.store.transaction import Area
from shopledger.store.words import word

_NOT_CANCELLED: Final = "NOT EXISTS (SELECT 1 FROM cancellation gone WHERE gone.order_number = {number})"
_ORDERS: Final = f"""
SELECT sold.number, sold.day, customer.name AS who,
    (SELECT MAX(parcel.day) FROM parcel WHERE parcel.order_number = sold.number AND {AWAY}) AS sent_on
FROM shop_order sold JOIN customer ON customer.number = sold.customer_number
WHERE sold.number IN :numbers
"""
_CAME_BACK: Final = """
SELECT parcel.order_number, MAX(parcel.number) AS number, MAX(back.day) AS day
FROM parcel_return back JOIN parcel ON parcel.number = back.parcel_number
WHERE parcel.order_number IN :numbers
  AND NOT EXISTS (SELECT 1 FROM parcel later WHERE later.again_of = parcel.number)
GROUP BY parcel.order_number
"""
_BILLS: Final = """
SELECT bill.number, bill.day, bill.due_on, supplier.name AS who
FROM bill JOIN supplier ON supplier.number = bill.supplier_number
WHERE bill.number IN :numbers AND (bill.due_on <= :due OR (bill.due_on IS NULL AND bill.day <= :usual))
"""
_LINES: Final = "SELECT number, day, amount FROM bank_line WHERE number IN :numbers AND day >= :begun"
_BEGUN: Final = f"""
SELECT MIN(entry.day) AS day FROM (
    SELECT {word(DocumentKind.MONEY)} AS kind, number FROM money_move WHERE kind = {word(MoveKind.OPENING)}
    UNION ALL SELECT {word(DocumentKind.ADJUSTMENT)}, number FROM adjustment WHERE opening = 1
) begun
JOIN journal_entry entry ON entry.document_kind = begun.kind AND entry.document_number = begun.number
WHERE EXISTS (SELECT 1 FROM journal_posting posting
              WHERE posting.entry_number = entry.number AND posting.account = {word(Account.BANK)})
  AND NOT EXISTS (SELECT 1 FROM journal_entry back WHERE back.reverses = entry.number)
"""
# An erased draft holds nothing but its mark, which is as long as this.
_DRAFTS: Final = """
FROM draft_order draft JOIN customer ON customer.number = draft.customer_number
WHERE customer.erased_on IS NULL AND NOT (draft.body LIKE 'erased ____-__-__' AND length(draft.body) = 17)
  AND NOT EXISTS (SELECT 1 FROM draft_recording made WHERE made.draft_number = draft.number)
"""
_SOME_DRAFTS: Final = (
    f"SELECT draft.number, draft.day, customer.name AS who {_DRAFTS} ORDER BY draft.number LIMIT :most"
)
_UNTRACED: Final = f"""
FROM stock_level level JOIN frame ON frame.code = level.item_code
WHERE level.kind = {word(StockedKind.FRAME)} AND level.on_hand > 0
  AND NOT EXISTS (SELECT 1 FROM trace WHERE trace.frame_code = level.item_code)
"""
_SOME_UNTRACED: Final = f"SELECT frame.code, level.on_hand {_UNTRACED} ORDER BY frame.code LIMIT :most"
_LIMITS: Final = "SELECT DISTINCT claim_within_days AS days FROM wearer WHERE claim_within_days IS NOT NULL"
# On which of its days an order was served, for a wearer, is worked out of the few that are found.
_UNISSUED: Final = f"""
SELECT part.order_number AS number, part.wearer_number, customer.name AS who
FROM (SELECT DISTINCT line.order_number, line.wearer_number
      FROM parcel JOIN order_line line ON line.order_number = parcel.order_number
      JOIN wearer ON wearer.number = line.wearer_number
      WHERE parcel.day BETWEEN :first AND :last
        AND wearer.claim_within_days = :days AND wearer.erased_on IS NULL) part
JOIN shop_order sold ON sold.number = part.order_number JOIN customer ON customer.number = sold.customer_number
WHERE {_NOT_CANCELLED.format(number="part.order_number")}
  AND NOT EXISTS (
    SELECT 1 FROM receipt LEFT JOIN receipt_replacement replacement ON replacement.receipt_number = receipt.number
    WHERE receipt.order_number = part.order_number AND receipt.wearer_number = part.wearer_number
      AND replacement.replaced_by IS NULL)
  AND (SELECT SUM(line.net + line.tax
        - COALESCE((SELECT SUM(less.net + less.tax) FROM refund_part less
                    WHERE less.order_number = line.order_number AND less.line = line.position), 0)
        - COALESCE((SELECT SUM(less.net + less.tax) FROM correction_part less
                    WHERE less.order_number = line.order_number AND less.line = line.position), 0))
       FROM order_line line
       WHERE line.order_number = part.order_number AND line.wearer_number = part.wearer_number) > 0
ORDER BY number, part.wearer_number
"""


@dataclass(frozen=True, slots=True)
class OrderWaiting:
    """An order of which something is here, or is not paid."""

    number: int
    day: date
    who: str
    sent_on: date | None
    """The day on which something of it left last and did not come back."""
    owed: Cents = 0


@dataclass(frozen=True, slots=True)
class BillWaiting:
    """A bill that is due soon, or was."""

    number: int
    day: date
    due_on: date | None
    who: str
    owed: Cents


@dataclass(frozen=True, slots=True)
class LineWaiting:
    """A line of the bank's that is no entry of the books yet."""

    number: int
    day: date
    amount: Cents


@dataclass(frozen=True, slots=True)
class ClaimWaiting:
    """A wearer's part of an order that has no receipt, near the last day on which a plan takes one."""

    number: int
    who: str
    served_on: date
    within: int


@dataclass(frozen=True, slots=True)
class DraftWaiting:
    """A draft that is no order yet."""

    number: int
    day: date
    who: str


class WaitingThings(Area):
    """Asks for what waits."""

    def here(self, orders: Iterable[int]) -> tuple[OrderWaiting, ...]:
        """Give orders of which something is here."""
        return self._orders(dict.fromkeys(orders, 0))

    def unpaid(self) -> tuple[OrderWaiting, ...]:
        """Give every order that is not paid, with what is owed."""
        return self._orders({each.number: each.amount for each in pending(self.transaction, Pending.UNPAID)})

    def _orders(self, owed: dict[int, Cents]) -> tuple[OrderWaiting, ...]:
        rows = self._of(_ORDERS, owed)
        return tuple(
            OrderWaiting(row.number, read_day(row.day), row.who, _day(row.sent_on), owed[row.number]) for row in rows
        )

    def came_back(self, orders: Iterable[int]) -> dict[int, tuple[int, date]]:
        """Give the newest parcel of each order that came back and was not sent again, with the day."""
        return {row.order_number: (row.number, read_day(row.day)) for row in self._of(_CAME_BACK, orders)}

    def bills(self, until: date) -> tuple[BillWaiting, ...]:
        """Give the bills not paid that are due by a day."""
        owed = {each.number: each.amount for each in pending(self.transaction, Pending.BILLS)}
        usual = until - timedelta(BILL_USUAL)
        rows = self._of(_BILLS, owed, due=day_text(until), usual=day_text(usual))
        return tuple(
            BillWaiting(row.number, read_day(row.day), _day(row.due_on), row.who, owed[row.number]) for row in rows
        )

    def bank_lines(self) -> tuple[LineWaiting, ...]:
        """Give the bank's lines that are no entry yet, since the books began."""
        found = [each.number for each in pending(self.transaction, Pending.LINES)]
        if not found:
            return ()
        begun = self.transaction.asked(_BEGUN)[0].day or ""
        return tuple(
            LineWaiting(row.number, read_day(row.day), int(row.amount)) for row in self._of(_LINES, found, begun=begun)
        )

    def claims(self, today: date, ahead: int = CLAIM_AHEAD) -> tuple[ClaimWaiting, ...]:
        """Give what is paid, left and has no receipt, where the wearer's plan takes one for so many days more only."""
        unpaid = {each.number for each in pending(self.transaction, Pending.UNPAID)}
        found: list[ClaimWaiting] = []
        for limit in self.transaction.asked(_LIMITS):
            first = today - timedelta(limit.days)
            last = min(first + timedelta(ahead), today)
            span = {"first": day_text(first), "last": day_text(last)}
            asked = self.transaction.asked(_UNISSUED, days=limit.days, **span)
            rows = [row for row in asked if row.number not in unpaid]
            served = Receipts(self.transaction).served(row.number for row in rows)
            for row in rows:
                day = served(row.number, row.wearer_number)
                if day is not None and first <= day <= last:
                    found.append(ClaimWaiting(row.number, row.who, day, limit.days))
        return tuple(found)

    def drafts(self, most: int = MOST) -> tuple[tuple[DraftWaiting, ...], int]:
        """Give the oldest drafts that are no order yet, and how many there are."""
        rows = self.transaction.asked(_SOME_DRAFTS, most=most)
        return tuple(DraftWaiting(row.number, read_day(row.day), row.who) for row in rows), self._counted(
            _DRAFTS, rows, most
        )

    def untraced(self, most: int = MOST) -> tuple[tuple[tuple[str, int], ...], int]:
        """Give frames on the shelf that have no shape, with how many of each there are; and how many such frames."""
        rows = self.transaction.asked(_SOME_UNTRACED, most=most)
        return tuple((row.code, row.on_hand) for row in rows), self._counted(_UNTRACED, rows, most)

    def last_month(self, before: Month) -> Month | None:
        """Give the last month before another that has entries."""
        rows = self.transaction.asked(
            "SELECT MAX(day) AS day FROM journal_entry WHERE day < :first", first=day_text(before.first)
        )
        return Month.read(rows[0].day[:7]) if rows[0].day else None

    def _counted(self, source: str, rows: Iterable[Row[*tuple[Any, ...]]], most: int) -> int:
        shown = len(list(rows))
        return shown if shown < most else int(self.transaction.asked(f"SELECT COUNT(*) AS many {source}")[0].many)

    def _of(self, query: str, numbers: Iterable[int], **more: object) -> list[Row[*tuple[Any, ...]]]:
        return [row for some in parted(numbers) for row in self.transaction.asked(query, numbers=some, **more)]


def _day(text: str | None) -> date | None:
    return read_day(text) if text else None
