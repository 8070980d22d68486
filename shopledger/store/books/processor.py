"""What the card processor reports, by which moves its payouts were recorded, and what the books know of card money."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Final

from shopledger.errors import UnknownNameError, nearest
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.money_moves import OF_PROCESSOR, MoneyMove
from shopledger.ledger.books.processor_import import NewRow
from shopledger.ledger.books.processor_matches import CardEvent
from shopledger.ledger.books.processor_reports import Processor, ProcessorLine, ProcessorReport, ReportKind
from shopledger.ledger.corrections import CorrectionKind
from shopledger.ledger.orders import Method
from shopledger.store.books.document_rows import TAKEN
from shopledger.store.books.spending import MOVE
from shopledger.store.folding import folded
from shopledger.store.records import Record
from shopledger.store.refusals import DuplicateError
from shopledger.store.scales import day_text, read_day
from shopledger.store.tables.processor import (
    payout_move,
    processor,
    processor_layout,
    processor_line,
    processor_report,
)
from shopledger.store.transaction import Area
from shopledger.store.words import listed, stands_on, word

_BY_CARD: Final = f"method = {word(Method.CARD)}"
_IN: Final = "BETWEEN :first AND :last"
_NOT_VOIDED: Final = (
    f"NOT EXISTS (SELECT 1 FROM taken_back WHERE {stands_on(DocumentKind.MONEY, 'move.number', 'taken_back')})"  # noqa: S608 - the words of the ledger
)
_EVENTS: Final = f"""
SELECT {word(ReportKind.CHARGE)} AS event, {word(DocumentKind.PAYMENT)} AS kind, payment.number AS number,
       payment.day AS day, payment.amount AS amount, payment.order_number AS order_number,
       payment.reference AS reference, 0 AS fee
FROM payment LEFT JOIN payment_origin origin ON origin.payment_number = payment.number
WHERE payment.day {_IN} AND payment.{_BY_CARD} AND payment.deposit_number IS NULL AND origin.moved_from IS NULL
  AND NOT EXISTS (SELECT 1 FROM correction WHERE correction.payment_number = payment.number
                  AND correction.kind = {word(CorrectionKind.MISTAKEN)})
UNION ALL
SELECT CASE WHEN gives_back IS NULL THEN {word(ReportKind.CHARGE)} ELSE {word(ReportKind.REFUND)} END,
       {word(DocumentKind.DEPOSIT)}, number, day, CASE WHEN gives_back IS NULL THEN amount ELSE -amount END, NULL,
       reference, 0
FROM deposit WHERE day {_IN} AND {_BY_CARD}
  AND NOT EXISTS (SELECT 1 FROM taken_back WHERE {stands_on(DocumentKind.DEPOSIT, "deposit.number", "taken_back")})
UNION ALL
SELECT {word(ReportKind.REFUND)}, {word(DocumentKind.REFUND)}, refund.number, refund.day,
       -(SELECT SUM(part.net + part.tax) FROM refund_part part WHERE part.refund_number = refund.number),
       refund.order_number, refund.reference, 0
FROM refund WHERE refund.day {_IN} AND refund.{_BY_CARD}
UNION ALL
SELECT {word(ReportKind.REFUND)}, {word(DocumentKind.PAYMENT)}, paid.number, taken.day, -paid.standing,
       paid.order_number, '', 0
FROM cancellation taken JOIN (
    SELECT payment.number, payment.order_number, payment.amount - CAST(COALESCE((
        SELECT SUM({TAKEN}) FROM correction WHERE correction.payment_number = payment.number), 0) AS BIGINT) AS standing
    FROM payment WHERE payment.{_BY_CARD} AND payment.deposit_number IS NULL
) paid ON paid.order_number = taken.order_number
WHERE taken.day {_IN} AND paid.standing <> 0
UNION ALL
SELECT CASE WHEN correction.kind = {word(CorrectionKind.DISPUTED)} THEN {word(ReportKind.DISPUTE)}
            ELSE {word(ReportKind.REVERSAL)} END,
       {word(DocumentKind.CORRECTION)}, correction.number, correction.day, -({TAKEN}), correction.order_number, '',
       CASE WHEN correction.kind = {word(CorrectionKind.DISPUTED)} THEN correction.fee ELSE -correction.fee END
FROM correction JOIN payment ON payment.number = correction.payment_number
WHERE correction.day {_IN} AND correction.kind IN {listed((CorrectionKind.DISPUTED, CorrectionKind.DISPUTE_WON))}
  AND payment.{_BY_CARD} AND payment.deposit_number IS NULL
ORDER BY day, number
"""  # noqa: S608 - as above
_LINKED: Final = f"""
SELECT move.*, own.payout AS payout FROM payout_move own JOIN money_move move ON move.number = own.move_number
WHERE own.processor_number = :processor AND {_NOT_VOIDED} ORDER BY move.number
"""  # noqa: S608 - as above
_LOOSE: Final = f"""
SELECT move.* FROM money_move move
WHERE move.kind IN {listed(OF_PROCESSOR)} AND {_NOT_VOIDED}
  AND NOT EXISTS (SELECT 1 FROM payout_move own WHERE own.move_number = move.number)
ORDER BY move.number
"""  # noqa: S608 - as above

PROCESSOR: Final = Record(Processor, processor, also=("folded",))
REPORT: Final = Record(ProcessorReport, processor_report, counter="processor report")
LINE: Final = Record(ProcessorLine, processor_line, counter="processor line")


class Processors(Area):
    """The card processor's facts; none is ever changed."""

    def add(self, name: str) -> Processor:
        """Keep a processor under its name; gives it back with its number."""
        new = Processor(name)
        if self.transaction.has(processor, {processor.c.folded: folded(new.name)}):
            raise DuplicateError("processor", new.name)
        return self.transaction.post(PROCESSOR, new, folded=folded(new.name))

    def all(self) -> tuple[Processor, ...]:
        """Give every processor, by name."""
        return self.transaction.all(PROCESSOR, order=(processor.c.folded,))

    def named(self, name: str) -> Processor | None:
        """Give the processor of that name or number, or None."""
        known = (each for each in self.all() if folded(each.name) == folded(name) or str(each.number) == name.strip())
        return next(known, None)

    def get(self, name: str) -> Processor:
        """Give the processor of that name or number, or name those that come near."""
        found = self.named(name)
        if found is None:
            near = nearest(name, [each.name for each in self.all()])
            hint = "" if near else "Keep it first: 'shopledger processor columns NAME FILE'."
            raise UnknownNameError("processor", name, near, hint)
        return found

    def keep_layout(self, number: int, body: str) -> None:
        """Keep which columns of a processor's reports say what, from now on."""
        own = self.transaction.next_number("processor layout")
        self.transaction.add(processor_layout, {"number": own, "processor_number": number, "body": body})

    def layout(self, number: int) -> str:
        """Give the newest layout of a processor's reports; empty where none is kept."""
        whose = processor_layout.c.processor_number
        kept = self.transaction.lists(processor_layout.c.body, whose, {whose: number}, (processor_layout.c.number,))
        return next(reversed(kept[number]), "")

    def add_report(self, report: ProcessorReport) -> ProcessorReport:
        """Keep that a report was taken in; gives it back with its number."""
        return self.transaction.post(REPORT, report)

    def add_lines(self, report: ProcessorReport, rows: Iterable[NewRow]) -> tuple[ProcessorLine, ...]:
        """Keep the new rows of a report; gives them back with their numbers."""
        return tuple(self.transaction.post(LINE, _kept(report, each)) for each in rows)

    def lines(self, number: int | None = None) -> tuple[ProcessorLine, ...]:
        """Give every row, of one processor or of all, by day."""
        where = {} if number is None else {processor_line.c.processor_number: number}
        return self.transaction.all(LINE, where, (processor_line.c.day, processor_line.c.number))

    def link(self, number: int, payout: str, move: int) -> None:
        """Keep that a payout was recorded by a move."""
        own = self.transaction.next_number("payout move")
        row = {"number": own, "processor_number": number, "payout": payout, "move_number": move}
        self.transaction.add(payout_move, row)

    def linked(self, number: int) -> dict[str, list[MoneyMove]]:
        """Give the moves that stand by which a processor's payouts were recorded, by payout."""
        found: dict[str, list[MoneyMove]] = {}
        for row in self.transaction.asked(_LINKED, processor=number):
            found.setdefault(row.payout, []).append(MOVE.named(row))
        return found

    def loose(self) -> tuple[MoneyMove, ...]:
        """Give the payouts and fees that the owner recorded without a report, and that stand."""
        return tuple(MOVE.named(row) for row in self.transaction.asked(_LOOSE))

    def events(self, first: date, last: date) -> tuple[CardEvent, ...]:
        """Give what the books know of card payments, refunds and disputes between two days."""
        rows = self.transaction.asked(_EVENTS, first=day_text(first), last=day_text(last))
        return tuple(
            CardEvent(
                ReportKind(row.event),
                read_day(row.day),
                int(row.amount),
                Document(DocumentKind(row.kind), row.number),
                row.order_number,
                row.reference,
                int(row.fee),
            )
            for row in rows
        )


def _kept(report: ProcessorReport, new: NewRow) -> ProcessorLine:
    row = new.row
    return ProcessorLine(
        report.processor_number,
        report.number or 0,
        row.payout,
        row.payout_day,
        row.arrives_on,
        row.transaction_id,
        row.day,
        row.kind,
        row.gross,
        row.fee,
        row.net,
        new.key,
        new.replaces,
    )
