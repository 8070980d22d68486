"""What customers owed when the books began: each debt an order of one line, paid, written off and cancelled as others.

What was sold for it stood in the books of before, so it is no sale in these, and no tax: it comes out of the opening
balances. On cash it counts when it is paid.
"""

from __future__ import annotations

from typing import Final

from shopledger.errors import RefusedError
from shopledger.ledger.limits import MOVED, hold_amount
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import Order, OrderLine
from shopledger.ledger.payment_corrections import line_without_goods
from shopledger.ledger.text import LONGEST_NOTE, clean_text
from shopledger.money.amount import Cents, write_amount

DEBT_CODE: Final = "OWED-BEFORE"
_WHY: Final = "It was sold before these books began."


def debt_line(amount: Cents, about: str) -> OrderLine:
    """Give the one line of an order that is owed since before the books began."""
    if amount <= 0:
        raise RefusedError("amount", write_amount(amount), "it must be more than 0", "Type what the customer owes.")
    hold_amount("amount", amount, MOVED)
    words = f"Owed before: {clean_text('about', about, LONGEST_NOTE)}"
    return line_without_goods(DEBT_CODE, words, amount, no_care=_WHY, untaxed="sold before the books began")


def is_opening_debt(order: Order) -> bool:
    """Tell whether an order is what was owed when the books began.

    An item of the owner's may have the same code: but an extra that is for no pair is never one of his.
    """
    return any(
        line.item_code == DEBT_CODE and line.kind is LineKind.EXTRA and line.pair is None for line in order.lines
    )


def refuse_opening_debt(order: Order, what: str, hint: str = "Look for its paper there.") -> None:
    """Refuse what is about goods of which these books know nothing."""
    if is_opening_debt(order):
        said = "it was owed when the books began, and what was sold for it stands in the books of before"
        raise RefusedError(what, f"for order {order.number}", said, hint)
