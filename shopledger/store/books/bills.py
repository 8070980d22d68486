"""Suppliers' bills with their lines and payments, as the ledger keeps them; none is ever changed."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from sqlalchemy import Row

from shopledger.ledger.books.bills import Bill, BillAccount, BillLine, BillLineKind, BillPayment, SupplierCredit
from shopledger.ledger.books.documents import DocumentKind
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.period import Month
from shopledger.ledger.books.spending import ExpenseCategory, SpendMethod
from shopledger.ledger.stock import StockedKind, StockMovement, StockReason
from shopledger.store.books.stock import MOVEMENT
from shopledger.store.lookups import folded
from shopledger.store.refusals import NumberUnknownError
from shopledger.store.scales import day_text, read_day
from shopledger.store.transaction import Transaction
from shopledger.store.words import stands_on, word

_ONE: Final = "= :bill"
_EVERY: Final = "> :bill"
"""Which bills a question below is about: the one of a number, or all, whose numbers lie above nought."""

_BILLS: Final = f"""
SELECT bill.*, supplier.name AS supplier, taken.day AS taken_back, taken.reason AS why_taken_back
FROM bill JOIN supplier ON supplier.number = bill.supplier_number
LEFT JOIN taken_back taken ON {stands_on(DocumentKind.BILL, "bill.number", "taken")}
WHERE bill.number {{which}} AND (:supplier = 0 OR bill.supplier_number = :supplier)
ORDER BY bill.number DESC
"""  # noqa: S608 - the words of the ledger
_LINES: Final = """
SELECT * FROM bill_line WHERE bill_number {which} ORDER BY bill_number, position
"""
_PAYMENTS: Final = f"""
SELECT payment.* FROM bill_payment payment
LEFT JOIN taken_back taken ON {stands_on(DocumentKind.BILL_PAYMENT, "payment.number", "taken")}
WHERE taken.day IS NULL AND payment.bill_number {{which}} ORDER BY payment.number
"""  # noqa: S608 - the words of the ledger
# What the supplier takes off is what his account was debited in the entry of the movement that sent the goods back.
_CREDITS: Final = f"""
SELECT movement.number, movement.bill_number, movement.day, movement.item_code, movement.quantity, movement.cost,
    movement.note, COALESCE(SUM(posting.amount), 0) AS credit
FROM stock_movement movement
LEFT JOIN journal_entry entry ON {stands_on(DocumentKind.MOVEMENT, "movement.number")}
LEFT JOIN journal_posting posting ON posting.entry_number = entry.number AND posting.account = {word(Account.PAYABLE)}
WHERE movement.reason = {word(StockReason.SENT_BACK)} AND movement.bill_number {{which}}
GROUP BY movement.number, movement.bill_number, movement.day, movement.item_code, movement.quantity, movement.cost,
    movement.note
ORDER BY movement.number
"""  # noqa: S608 - the words of the ledger
_SAME_INVOICE: Final = f"""
SELECT bill.number, bill.invoice FROM bill
LEFT JOIN taken_back taken ON {stands_on(DocumentKind.BILL, "bill.number", "taken")}
WHERE taken.day IS NULL AND bill.supplier_number = :supplier AND bill.invoice <> '' ORDER BY bill.number
"""  # noqa: S608 - the words of the ledger
_WITHOUT_BILL: Final = f"""
SELECT pair.job_number, pair.order_number
FROM shipment JOIN order_pair pair ON pair.order_number = shipment.order_number
WHERE shipment.day BETWEEN :first AND :last AND NOT EXISTS (
    SELECT 1 FROM bill_line line
    LEFT JOIN taken_back taken ON {stands_on(DocumentKind.BILL, "line.bill_number", "taken")}
    WHERE line.job_number = pair.job_number AND taken.day IS NULL
)
ORDER BY pair.job_number
"""  # noqa: S608 - the words of the ledger


@dataclass(frozen=True, slots=True)
class JobWithoutBill:
    """A job that was shipped before any bill for its lenses came."""

    job_number: int
    order_number: int


@dataclass(frozen=True, slots=True)
class Bills:
    """The bills of the ledger."""

    transaction: Transaction

    def add(self, bill: Bill) -> Bill:
        """Post a bill with its lines; gives it back with its number."""
        number = self.transaction.next_number("bill")
        values = {
            "number": number,
            "supplier_number": bill.supplier_number,
            "invoice": bill.invoice,
            "day": day_text(bill.day),
            "due_on": day_text(bill.due_on),
            "note": bill.note,
            "file_sha256": bill.file_sha256,
        }
        self.transaction.add("bill", {**values, **self.transaction.stamp})
        placed = enumerate(bill.lines, start=1)
        self.transaction.add("bill_line", *(_line_values(number, place, line) for place, line in placed))
        return replace(bill, number=number)

    def add_payment(self, payment: BillPayment) -> BillPayment:
        """Post a payment on a bill; gives it back with its number."""
        number = self.transaction.next_number("bill payment")
        values = {
            "number": number,
            "bill_number": payment.bill_number,
            "day": day_text(payment.day),
            "amount": payment.amount,
            "method": payment.method.value,
            "reference": payment.reference,
        }
        self.transaction.add("bill_payment", {**values, **self.transaction.stamp})
        return replace(payment, number=number)

    def payment(self, number: int) -> BillPayment:
        """Give the payment with that number."""
        row = self.transaction.row("bill_payment", number=number)
        if row is None:
            raise NumberUnknownError("bill payment", number)
        return _payment(row)

    def account(self, number: int) -> BillAccount:
        """Give a bill with what happened to it."""
        found = self._accounts(_ONE, bill=number)
        if not found:
            raise NumberUnknownError("bill", number)
        return found[0]

    def accounts(self, supplier_number: int = 0) -> tuple[BillAccount, ...]:
        """Give all bills, of one supplier or of all, newest first."""
        return self._accounts(_EVERY, supplier=supplier_number)

    def same_invoice(self, supplier_number: int, invoice: str) -> int | None:
        """Give the number of the supplier's bill with that invoice number, unless it was taken back."""
        rows = self.transaction.asked(_SAME_INVOICE, supplier=supplier_number)
        return next((int(row.number) for row in rows if folded(row.invoice) == folded(invoice)), None)

    def goods(self, number: int) -> tuple[StockMovement, ...]:
        """Give the movements of a bill's goods, in and out again, oldest first."""
        movement = MOVEMENT.table.c
        return self.transaction.all(MOVEMENT, {movement.bill_number: number}, (movement.number,))

    def jobs_without_bill(self, month: Month) -> tuple[JobWithoutBill, ...]:
        """Give the jobs shipped in a month of which no bill names the lenses yet."""
        rows = self.transaction.asked(_WITHOUT_BILL, first=day_text(month.first), last=day_text(month.last))
        return tuple(JobWithoutBill(row.job_number, row.order_number) for row in rows)

    def _accounts(self, which: str, supplier: int = 0, bill: int = 0) -> tuple[BillAccount, ...]:
        def asked(question: str, **more: int) -> Sequence[Row[Any]]:
            return self.transaction.asked(question.format(which=which), bill=bill, **more)

        lines, payments, credited = _by_bill(asked(_LINES)), _by_bill(asked(_PAYMENTS)), _by_bill(asked(_CREDITS))
        return tuple(
            BillAccount(
                _bill(row, lines[row.number]),
                row.supplier,
                tuple(_payment(each) for each in payments[row.number]),
                tuple(_credit(each) for each in credited[row.number]),
                read_day(row.taken_back),
                row.why_taken_back or "",
            )
            for row in asked(_BILLS, supplier=supplier)
        )


def _by_bill(rows: Iterable[Row[Any]]) -> defaultdict[int, list[Row[Any]]]:
    found: defaultdict[int, list[Row[Any]]] = defaultdict(list)
    for row in rows:
        found[row.bill_number].append(row)
    return found


def _line_values(number: int, place: int, line: BillLine) -> dict[str, object]:
    return {
        "bill_number": number,
        "position": place,
        "kind": line.kind.value,
        "description": line.description,
        "item_kind": line.item_kind.value if line.item_kind else None,
        "item_code": line.item_code,
        "quantity": line.quantity,
        "job_number": line.job_number,
        "category": line.category.value if line.category else None,
        "amount": line.amount,
        "landed": line.landed,
    }


def _bill(row: Row[Any], lines: Sequence[Row[Any]]) -> Bill:
    return Bill(
        supplier_number=row.supplier_number,
        day=read_day(row.day),
        lines=tuple(_line(line) for line in lines),
        invoice=row.invoice,
        due_on=read_day(row.due_on),
        note=row.note,
        file_sha256=row.file_sha256,
        number=row.number,
    )


def _line(row: Row[Any]) -> BillLine:
    return BillLine(
        kind=BillLineKind(row.kind),
        amount=row.amount,
        description=row.description,
        item_kind=StockedKind(row.item_kind) if row.item_kind else None,
        item_code=row.item_code,
        quantity=row.quantity,
        job_number=row.job_number,
        category=ExpenseCategory(row.category) if row.category else None,
        landed=row.landed,
    )


def _payment(row: Row[Any]) -> BillPayment:
    return BillPayment(
        row.bill_number, read_day(row.day), row.amount, SpendMethod(row.method), row.reference, row.number
    )


def _credit(row: Row[Any]) -> SupplierCredit:
    return SupplierCredit(
        bill_number=row.bill_number,
        movement_number=row.number,
        day=read_day(row.day),
        item_code=row.item_code,
        quantity=-row.quantity,
        cost=-row.cost,
        credit=int(row.credit),
        reason=row.note,
    )
