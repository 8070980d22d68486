"""What the card processor reports, as facts that are never changed, and by which moves its payouts were recorded."""

from __future__ import annotations

from sqlalchemy import UniqueConstraint

from shopledger.ledger.books.processor_reports import ReportKind
from shopledger.store import columns as kept
from shopledger.store.tables.base import Recorded, table


class ProcessorColumns(Recorded):
    """A card processor by the owner's name for it."""

    number = kept.key()
    name = kept.words(kept.FILLED)
    folded = kept.words(unique=True)


processor = table("processor", ProcessorColumns)


class ProcessorLayoutColumns(Recorded):
    """Which columns of a processor's reports say what; the newest of a processor counts."""

    number = kept.key()
    processor_number = kept.number(kept.to("processor.number"), index=True)
    body = kept.words(kept.FILLED)


processor_layout = table("processor_layout", ProcessorLayoutColumns)


class ProcessorReportColumns(Recorded):
    """That a report was taken in: its file's name and hash, and the day."""

    number = kept.key()
    processor_number = kept.number(kept.to("processor.number"), index=True)
    day = kept.day()
    file_name = kept.words()
    sha256 = kept.words(kept.SHA256)


processor_report = table("processor_report", ProcessorReportColumns)


class ProcessorLineColumns(Recorded):
    """A row of a report; one that was not paid out then stays, and the one on its payout stands in its place."""

    number = kept.key()
    processor_number = kept.number(kept.to("processor.number"))
    report_number = kept.number(kept.to("processor_report.number"), index=True)
    payout = kept.words(index=True)
    payout_day = kept.optional(kept.day())
    arrives_on = kept.optional(kept.day())
    transaction_id = kept.words()
    day = kept.day(index=True)
    kind = kept.one_of(ReportKind)
    gross = kept.cents()
    fee = kept.cents()
    net = kept.cents()
    key = kept.words(kept.FILLED)
    replaces = kept.optional(kept.number(kept.to("processor_line.number"), unique=True))


processor_line = table(
    "processor_line",
    ProcessorLineColumns,
    UniqueConstraint("processor_number", "key"),
    net_adds_up="net = gross - fee",
    payout_has_day="(payout = '') = (payout_day IS NULL)",
)


class PayoutMoveColumns(Recorded):
    """That a payout was recorded by a move of money; it counts as long as the move stands."""

    number = kept.key()
    processor_number = kept.number(kept.to("processor.number"), index=True)
    payout = kept.words(kept.FILLED, index=True)
    move_number = kept.number(kept.to("money_move.number"), unique=True)


payout_move = table("payout_move", PayoutMoveColumns)
