"""What documents count of orders as sold, line by line, and on which side orders stand: owed, or paid ahead."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Final

from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.prepaid import DayMoved
from shopledger.ledger.earning import Earned
from shopledger.store.parcels import SOMETHING_HERE
from shopledger.store.records import Record
from shopledger.store.scales import day_text, read_day
from shopledger.store.tables.earnings import earned, opening_debt, put_off
from shopledger.store.transaction import Area
from shopledger.store.words import word

EARNED: Final = Record(Earned, earned, also=("document_kind", "document_number", "order_number", "day"))
_SUMS: Final = """
SELECT line, SUM(quantity) AS quantity, SUM(listed) AS listed, SUM(net) AS net, SUM(tax) AS tax,
       SUM(net_back) AS net_back, SUM(tax_back) AS tax_back
FROM earned WHERE order_number = :number GROUP BY line
"""
_DOCUMENTS: Final = f"""
SELECT {word(DocumentKind.ORDER)} AS kind, :number AS number
UNION ALL SELECT {word(DocumentKind.OPENING_DEBT)}, :number
UNION ALL SELECT {word(DocumentKind.PUT_OFF)}, :number
UNION ALL SELECT {word(DocumentKind.PAYMENT)}, number FROM payment WHERE order_number = :number
UNION ALL SELECT {word(DocumentKind.REFUND)}, number FROM refund WHERE order_number = :number
UNION ALL SELECT {word(DocumentKind.CORRECTION)}, number FROM correction WHERE order_number = :number
UNION ALL SELECT {word(DocumentKind.PARCEL)}, number FROM parcel WHERE order_number = :number
UNION ALL SELECT {word(DocumentKind.PARCEL_RETURN)}, number FROM parcel WHERE order_number = :number
"""  # noqa: S608 - the words of the ledger
_SIDES: Final = f"""
SELECT entry.day, SUM(CASE WHEN posting.account = {word(Account.RECEIVABLE)} THEN posting.amount ELSE 0 END) AS owed,
       SUM(CASE WHEN posting.account = {word(Account.PREPAYMENTS)} THEN posting.amount ELSE 0 END) AS ahead
FROM ({_DOCUMENTS}) own
JOIN journal_entry entry ON entry.document_kind = own.kind AND entry.document_number = own.number
JOIN journal_posting posting ON posting.entry_number = entry.number
GROUP BY entry.day
"""  # noqa: S608 - as above
_COUNTED_AT_ONCE: Final = f"""
SELECT DISTINCT counted.order_number FROM earned counted
WHERE counted.document_kind = {word(DocumentKind.ORDER)} AND counted.day <= :last
  AND {SOMETHING_HERE.format(number="counted.order_number")}
  AND NOT EXISTS (SELECT 1 FROM put_off WHERE put_off.order_number = counted.order_number)
  AND NOT EXISTS (SELECT 1 FROM cancellation WHERE cancellation.order_number = counted.order_number)
ORDER BY counted.order_number
"""  # noqa: S608 - as above


class Earnings(Area):
    """What counts as sold; nothing of it is ever changed."""

    def add(self, document: Document, order_number: int, day: date, rows: Iterable[Earned]) -> None:
        """Keep what a document counts."""
        self.transaction.put(
            EARNED,
            *rows,
            document_kind=document.kind,
            document_number=document.number,
            order_number=order_number,
            day=day,
        )

    def standing(self, order_number: int) -> Mapping[int, Earned]:
        """Give what counts of each line of an order by now."""
        rows = self.transaction.asked(_SUMS, number=order_number)
        return {int(row.line): Earned(*(int(each) for each in row)) for row in rows}

    def of_parcel(self, number: int) -> tuple[Earned, ...]:
        """Give what a parcel counted."""
        own = earned.c
        return self.transaction.all(EARNED, {own.document_kind: DocumentKind.PARCEL, own.document_number: number})

    def sides(self, order_number: int) -> Mapping[date, DayMoved]:
        """Give by how much each day moved an order's two sides in the books."""
        rows = self.transaction.asked(_SIDES, number=order_number)
        return {read_day(row.day): DayMoved(int(row.owed), int(row.ahead)) for row in rows}

    def put_off(self, order_number: int, day: date) -> None:
        """Write down that an order counts with its goods since a day."""
        self.transaction.add(put_off, {"order_number": order_number, "day": day})

    def take_over(self, order_number: int) -> None:
        """Write down that an order is what its customer owed when the books began."""
        self.transaction.add(opening_debt, {"order_number": order_number})

    def counted_at_once(self, last: date) -> tuple[int, ...]:
        """Give the orders up to a day that counted when they were recorded, and of which something is still here."""
        rows = self.transaction.asked(_COUNTED_AT_ONCE, last=day_text(last))
        return tuple(int(row.order_number) for row in rows)
