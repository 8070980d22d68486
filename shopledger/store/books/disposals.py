"""Equipment as the ledger knows it: the lines by which it came in, and what of it is gone."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from datetime import date
from typing import Final

from shopledger.ledger.books.bills import BillLineKind
from shopledger.ledger.books.disposals import Disposal, Equipment, Piece
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.spending import ExpenseCategory
from shopledger.store.books.spending_queries import SUPPLIER, supplier_called
from shopledger.store.records import Fields, Record
from shopledger.store.scales import day_text, read_day
from shopledger.store.tables.year_lists import disposal
from shopledger.store.transaction import Area
from shopledger.store.words import stands_on, word

DISPOSAL: Final = Record(
    Disposal,
    disposal,
    {"document": Fields(Document, disposal, {"kind": disposal.c.document_kind, "number": disposal.c.document_number})},
)
LAST: Final = date(9999, 12, 31)


def _standing(kind: DocumentKind, number: str) -> str:
    """Give the condition that a document was not voided by the day."""
    voided = stands_on(kind, number, "taken_back")
    return f"NOT EXISTS (SELECT 1 FROM taken_back WHERE {voided} AND taken_back.day <= :last)"  # noqa: S608 - as below


# What suppliers took off or charged since stands on the first line of equipment of its bill.
_PIECES: Final = f"""
SELECT {word(DocumentKind.EXPENSE)} AS kind, expense.number, 1 AS position, expense.day, expense.payee,
       expense.description, expense.amount AS cost
FROM expense
WHERE expense.category = {word(ExpenseCategory.EQUIPMENT)} AND expense.day <= :last
  AND {_standing(DocumentKind.EXPENSE, "expense.number")}
UNION ALL
SELECT {word(DocumentKind.BILL)}, bill.number, line.position, bill.day, {SUPPLIER}, line.description,
       line.landed - CASE WHEN line.position = (
           SELECT MIN(other.position) FROM bill_line other
           WHERE other.bill_number = bill.number AND other.category = {word(ExpenseCategory.EQUIPMENT)})
       THEN COALESCE((
           SELECT SUM(part.amount) FROM bill_credit_part part
           JOIN bill_credit changed ON changed.number = part.credit_number
           WHERE changed.bill_number = bill.number AND part.account = {word(Account.EQUIPMENT)}
             AND changed.day <= :last AND {_standing(DocumentKind.BILL_CREDIT, "changed.number")}), 0)
       ELSE 0 END
FROM bill JOIN bill_line line ON line.bill_number = bill.number
{supplier_called("bill.supplier_number")}
WHERE line.kind = {word(BillLineKind.EXPENSE)} AND line.category = {word(ExpenseCategory.EQUIPMENT)}
  AND bill.day <= :last AND {_standing(DocumentKind.BILL, "bill.number")}
UNION ALL
SELECT {word(DocumentKind.ADJUSTMENT)}, adjustment.number, line.position, adjustment.day, '', adjustment.reason,
       line.amount
FROM adjustment JOIN adjustment_line line ON line.adjustment_number = adjustment.number
WHERE line.account = {word(Account.EQUIPMENT)} AND adjustment.day <= :last
  AND {_standing(DocumentKind.ADJUSTMENT, "adjustment.number")}
ORDER BY 4, 1, 2, 3
"""  # noqa: S608 - the words of the ledger
_GONE: Final = f"""
SELECT disposal.number FROM disposal
WHERE disposal.day <= :last AND {_standing(DocumentKind.DISPOSAL, "disposal.number")} ORDER BY disposal.number
"""  # noqa: S608 - as above


class Disposals(Area):
    """Equipment, and what of it was disposed of; none of it is ever changed."""

    def add(self, new: Disposal) -> Disposal:
        """Post a disposal; gives it back with its number."""
        return self.transaction.post(DISPOSAL, new)

    def get(self, number: int) -> Disposal:
        """Give the disposal with that number."""
        return self.transaction.get(DISPOSAL, number)

    def equipment(self, until: date = LAST) -> tuple[Equipment, ...]:
        """Give every piece with what of it is gone by a day, the oldest first; what was voided by then is none."""
        gone = self._gone(until)
        return tuple(
            Equipment(piece, tuple(gone[piece.document, piece.position]))
            for piece in (
                Piece(
                    Document(DocumentKind(row.kind), row.number),
                    row.position,
                    read_day(row.day),
                    row.payee,
                    row.description,
                    int(row.cost),
                )
                for row in self.transaction.asked(_PIECES, last=day_text(until))
            )
        )

    def of(self, document: Document) -> tuple[Disposal, ...]:
        """Give what of a document's equipment is gone."""
        return tuple(each for (whose, _), some in self._gone(LAST).items() if whose == document for each in some)

    def _gone(self, until: date) -> Mapping[tuple[Document, int], list[Disposal]]:
        numbers = [int(row.number) for row in self.transaction.asked(_GONE, last=day_text(until))]
        stored = self.transaction.many(DISPOSAL, numbers)
        found: dict[tuple[Document, int], list[Disposal]] = defaultdict(list)
        for number in numbers:
            each = stored[number]
            found[each.document, each.position].append(each)
        return found
