"""What is spent and moved without a bill: expenses, money moves, deposits, what was voided, and kept files."""

from __future__ import annotations

from shopledger.ledger.books.documents import VOIDABLE, DocumentKind
from shopledger.ledger.books.money_moves import OF_PROCESSOR, WHOLE, CashAccount, MoveKind
from shopledger.ledger.books.spending import ExpenseCategory, SpendMethod
from shopledger.ledger.orders import Method
from shopledger.store import columns as kept
from shopledger.store.tables.base import Columns, Recorded, table
from shopledger.store.words import listed, word


class KeptFileColumns(Recorded):
    """A file kept in the ledger under the hash of its bytes."""

    sha256 = kept.code(kept.SHA256)
    name = kept.personal(kept.words(kept.FILLED))
    size = kept.cents(kept.NOT_NEGATIVE)


kept_file = table("kept_file", KeptFileColumns)


class KeptBodyColumns(Columns):
    """The bytes of a kept file, apart from what is known of it, so that looking at a list reads none of them."""

    sha256 = kept.code(kept.to("kept_file.sha256"))
    body = kept.personal(kept.binary(), b"")


kept_body = table("kept_body", KeptBodyColumns)


class ExpenseColumns(Recorded):
    """Money spent and paid at once, under a heading of Schedule C."""

    number = kept.key()
    day = kept.day(index=True)
    payee = kept.words(kept.FILLED)
    category = kept.one_of(ExpenseCategory)
    description = kept.words()
    amount = kept.cents(kept.POSITIVE)
    method = kept.one_of(SpendMethod)
    reference = kept.words()
    file_sha256 = kept.optional(kept.words(kept.to("kept_file.sha256")))


expense = table("expense", ExpenseColumns)


class MoneyMoveColumns(Recorded):
    """Money that moved without a sale or a bill; a payout's fee is what the processor kept.

    What is kept whole touches no cash account; only what the processor moves may be below zero.
    """

    number = kept.key()
    day = kept.day(index=True)
    kind = kept.one_of(MoveKind)
    till = kept.one_of(CashAccount)
    amount = kept.cents()
    fee = kept.cents()
    state = kept.words()
    reference = kept.words()
    note = kept.words()


money_move = table(
    "money_move",
    MoneyMoveColumns,
    amount_signed=f"amount > 0 OR (kind IN {listed(OF_PROCESSOR)} AND (amount <> 0 OR fee <> 0))",
    fee_signed=f"fee >= 0 OR kind IN {listed(OF_PROCESSOR)}",
    fee_within_amount=(
        f"kind = {word(MoveKind.PAYOUT)} OR (fee <= amount AND (kind NOT IN {listed(WHOLE)} OR fee = amount))"
    ),
)


class DepositColumns(Recorded):
    """Money of a customer's that waits for an order; a row that `gives_back` another hands it back instead."""

    number = kept.key()
    customer_number = kept.number(kept.to("customer.number"), index=True)
    day = kept.day(index=True)
    amount = kept.cents(kept.POSITIVE)
    method = kept.one_of(Method)
    reference = kept.words()
    note = kept.personal(kept.words())
    gives_back = kept.optional(kept.number(kept.to("deposit.number"), index=True))


deposit = table("deposit", DepositColumns)


class VoidingColumns(Recorded):
    """That a bill, expense or other document of the owner's own was a mistake: its entries were reversed."""

    document_kind = kept.one_of(DocumentKind, *VOIDABLE, primary_key=True)
    document_number = kept.key(kept.COUNTS)
    day = kept.day(index=True)
    reason = kept.words(kept.FILLED)


taken_back = table("taken_back", VoidingColumns)
