"""What looks like it was recorded already: the same order within a day, and the same customer."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable
from typing import TYPE_CHECKING, Final

from shopledger.optics.findings import Finding, Severity

if TYPE_CHECKING:
    from shopledger.ledger.orders import Order
    from shopledger.ledger.parties import Customer

ORDER_TWICE: Final = "ORDER-TWICE"
CUSTOMER_TWICE: Final = "CUSTOMER-TWICE"
WITHIN_DAYS: Final = 1
"""So far apart the same order is asked about. (common practice, no source)"""
_COUNTRY: Final = "1"
"""What stands before a phone number of the United States where the country is named (ITU-T E.164)."""
_LOCAL_DIGITS: Final = 10


def same_order(order: Order, earlier: Iterable[Order]) -> tuple[Finding, ...]:
    """Warn of orders of the customer that have the same lines, and stand within a day."""
    own = _lines(order)
    found = [each for each in earlier if abs((order.day - each.day).days) <= WITHIN_DAYS and _lines(each) == own]
    if not found:
        return ()
    numbers = ", ".join(str(each.number) for each in found)
    said = (
        f"The same was ordered by the same customer within a day: order{'s' if len(found) > 1 else ''} {numbers} "
        f"of {found[-1].day.isoformat()}."
    )
    return (_warning(ORDER_TWICE, "order", numbers, said),)


def same_customer(customer: Customer, others: Iterable[Customer]) -> tuple[Finding, ...]:
    """Warn of customers who have the phone number, the mail address, or the name and ZIP code of a new one."""
    alike = {other.number: other for other in others}
    if not alike:
        return ()
    said = "; ".join(
        f"customer {number}, {other.name}, has the same {' and '.join(_same(customer, other))}"
        for number, other in alike.items()
    )
    numbers = ", ".join(map(str, alike))
    return (_warning(CUSTOMER_TWICE, "customer", numbers, f"{said[:1].upper()}{said[1:]}."),)


def phone_digits(phone: str) -> str:
    """Give what tells phone numbers apart, however they are written: the digits, without the country's own."""
    digits = re.sub(r"[^0-9]", "", phone)
    return digits[1:] if len(digits) == _LOCAL_DIGITS + 1 and digits.startswith(_COUNTRY) else digits


def _same(customer: Customer, other: Customer) -> tuple[str, ...]:
    digits = phone_digits(customer.phone)
    alike = {
        "phone": bool(digits) and digits == phone_digits(other.phone),
        "mail address": bool(customer.email) and customer.email.casefold() == other.email.casefold(),
    }
    return tuple(word for word, same in alike.items() if same) or ("name", "ZIP code")


def _lines(order: Order) -> Counter[tuple[object, ...]]:
    """Give what an order holds: goods, for whom, how many and for how much; shipping is no goods."""
    frames = {place: pair.frame_code for place, pair in enumerate(order.pairs, start=1)}
    return Counter(
        (line.kind, line.item_code, line.quantity, line.net, line.wearer_number, frames.get(line.pair or 0))
        for line in order.lines
    )


def _warning(code: str, field: str, value: str, said: str) -> Finding:
    return Finding(Severity.WARNING, code, field, value, "", "common practice, no source", said)
