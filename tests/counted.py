"""Orders that count as sold when they are recorded, as they did before they counted with their goods."""

from __future__ import annotations

from collections.abc import Iterable

from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.postings import OrderEvent, payment_event, refund_event
from shopledger.ledger.corrections import LinePart
from shopledger.ledger.earning import Earned
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import Order, Payment, Refund
from shopledger.store.work import UnitOfWork


def whole(order: Order) -> tuple[Earned, ...]:
    """Give all lines of an order, as they counted with it."""
    return tuple(
        Earned(place, line.quantity, line.list_price, line.net, line.tax)
        for place, line in enumerate(order.lines, start=1)
    )


def given_back(parts: Iterable[LinePart]) -> tuple[Earned, ...]:
    """Give what parts of lines that counted give up."""
    return tuple(Earned(part.line, net_back=part.net, tax_back=part.tax) for part in parts)


def sale_event(order: Order) -> OrderEvent:
    """Give a sale as it counted on its own day."""
    document = Document(DocumentKind.ORDER, number_of(order))
    return OrderEvent(order, order.day, f"sale, order {order.number}", document, whole(order))


def keep_sale(work: UnitOfWork, order: Order) -> Order:
    """Write down that an order counted with all its lines, without an entry; gives it back."""
    work.earnings.add(Document(DocumentKind.ORDER, number_of(order)), number_of(order), order.day, whole(order))
    return order


def post_sale(work: UnitOfWork, order: Order) -> Order:
    """Post an order that counts on its own day; gives it back."""
    keep_sale(work, order)
    work.journal.post(sale_event(order).entry())
    return order


def post_payment(work: UnitOfWork, payment: Payment, order: Order) -> Payment:
    """Store and post a payment on what counted by then; gives it back with its number."""
    stored = work.payments.add(payment)
    work.journal.post(payment_event(stored, order).entry())
    return stored


def post_refund(work: UnitOfWork, refund: Refund, order: Order) -> Refund:
    """Post a refund, which is stored, of what counted by then; gives it back."""
    event = refund_event(refund, order, given_back(refund.parts))
    work.earnings.add(event.document, number_of(order), event.day, event.earned)
    work.journal.post(event.entry())
    return refund
