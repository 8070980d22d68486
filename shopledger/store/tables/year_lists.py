"""What lists for the tax preparer are made of: W-9s of payees with limits, and equipment that is gone."""

from __future__ import annotations

from shopledger.ledger.books.disposals import DisposalKind
from shopledger.ledger.books.documents import DocumentKind
from shopledger.ledger.books.money_moves import CashAccount
from shopledger.ledger.books.payee_forms import TaxpayerKind
from shopledger.store import columns as kept
from shopledger.store.tables.base import Columns, Recorded, table

BOUGHT = (DocumentKind.EXPENSE, DocumentKind.BILL, DocumentKind.ADJUSTMENT)
"""The documents by which equipment comes in."""


class W9Columns(Recorded):
    """What a payee's W-9 says; `folded` is the payee as it is compared. The newest of a payee holds."""

    number = kept.key()
    payee = kept.words(kept.FILLED)
    folded = kept.words(index=True)
    name = kept.personal(kept.words(kept.FILLED))
    street = kept.personal(kept.words(), kept.Blank.MARK)
    second_line = kept.personal(kept.words())
    city = kept.personal(kept.words(), kept.Blank.MARK)
    state = kept.words()
    postcode = kept.personal(kept.words(), kept.Blank.AREA)
    kind = kept.one_of(TaxpayerKind)
    tax_number = kept.personal(kept.words())
    received_on = kept.day()
    backup_withholding = kept.flag()


w9 = table("w9", W9Columns)


class W9ErasureColumns(Recorded):
    """That what a W-9 said was erased, and why."""

    number = kept.key(kept.COUNTS)
    w9_number = kept.number(kept.to("w9.number"), index=True)
    day = kept.day()
    reason = kept.words(kept.FILLED)


w9_erasure = table("w9_erasure", W9ErasureColumns)


class ReportLimitColumns(Recorded):
    """From which sum of a year's payments on a payee has to be reported; the newest of a year holds."""

    number = kept.key()
    year = kept.number(kept.between(1990, 2199))
    amount = kept.cents(kept.POSITIVE)


report_limit = table("report_limit", ReportLimitColumns)


class DisposalColumns(Recorded):
    """A piece of equipment, or a part of one, that was sold or is gone: what it stood at, and what it brought."""

    number = kept.key()
    day = kept.day(index=True)
    document_kind = kept.one_of(DocumentKind, *BOUGHT)
    document_number = kept.number(kept.COUNTS, index=True)
    position = kept.number(kept.COUNTS)
    cost = kept.cents(kept.POSITIVE)
    depreciation = kept.cents(kept.NOT_NEGATIVE)
    how = kept.one_of(DisposalKind)
    proceeds = kept.cents(kept.NOT_NEGATIVE)
    till = kept.one_of(CashAccount)
    reference = kept.words()
    note = kept.words()


disposal = table("disposal", DisposalColumns, written_off_of_its_cost="depreciation <= cost")


class RefundCreditColumns(Columns):
    """That a refund brought no money, but a balance of the customer's to use on a later order."""

    refund_number = kept.key(kept.to("refund.number"))
    deposit_number = kept.number(kept.to("deposit.number"), unique=True)


refund_credit = table("refund_credit", RefundCreditColumns)
