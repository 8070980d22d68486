"""Adjusting entries with their lines, as the ledger keeps them; none is ever changed."""

from __future__ import annotations

from datetime import date
from typing import Final

from shopledger.ledger.books.adjustments import Adjustment, AdjustmentLine
from shopledger.ledger.books.documents import DocumentKind
from shopledger.ledger.books.period import Month
from shopledger.ledger.books.voiding import Listed
from shopledger.store.books.voiding import listed_rows
from shopledger.store.records import Record
from shopledger.store.refusals import NumberUnknownError
from shopledger.store.scales import read_day
from shopledger.store.tables.journal import adjustment, adjustment_line
from shopledger.store.transaction import Area
from shopledger.store.words import stands_on

ADJUSTMENT: Final = Record(Adjustment, adjustment, parts=("lines",))
LINE: Final = Record(AdjustmentLine, adjustment_line, also=("adjustment_number",))

_REVERSALS: Final = f"""
SELECT adjustment.number FROM adjustment
WHERE adjustment.reverses = :number AND NOT EXISTS (
    SELECT 1 FROM taken_back WHERE {stands_on(DocumentKind.ADJUSTMENT, "adjustment.number", "taken_back")})
"""  # noqa: S608 - the words of the ledger


_OPENING: Final = f"""
SELECT adjustment.number FROM adjustment
WHERE adjustment.opening = 1 AND NOT EXISTS (
    SELECT 1 FROM taken_back WHERE {stands_on(DocumentKind.ADJUSTMENT, "adjustment.number", "taken_back")})
"""  # noqa: S608 - the words of the ledger
_FIRST_DAY: Final = "SELECT MIN(day) AS day FROM journal_entry"


class Adjustments(Area):
    """The adjusting entries of the ledger."""

    def add(self, adjustment: Adjustment) -> Adjustment:
        """Post an adjusting entry with its lines; gives it back with its number."""
        posted = self.transaction.post(ADJUSTMENT, adjustment)
        self.transaction.put(LINE, *posted.lines, adjustment_number=posted.number)
        return posted

    def get(self, number: int) -> Adjustment:
        """Give the adjusting entry with that number."""
        own = adjustment_line.c
        lines = self.transaction.all(LINE, {own.adjustment_number: number}, (own.position,))
        found = self.transaction.unfinished(ADJUSTMENT, (adjustment.c.number,), {adjustment.c.number: number})
        made = next((made for _, made in found), None)
        if made is None:
            raise NumberUnknownError("adjustment", number)
        return made(lines=lines)

    def reversal_of(self, number: int) -> int | None:
        """Give the number of the entry that reverses one and was not voided."""
        return next((int(row.number) for row in self.transaction.asked(_REVERSALS, number=number)), None)

    def opening(self) -> int | None:
        """Give the number of the opening position, unless there is none or it was voided."""
        return next((int(row.number) for row in self.transaction.asked(_OPENING)), None)

    def first_day(self) -> date | None:
        """Give the first day on which anything is posted."""
        found: date | None = read_day(self.transaction.asked(_FIRST_DAY)[0].day)
        return found

    def listed(self, month: Month | None = None) -> tuple[Listed[Adjustment], ...]:
        """Give a month's entries, or all, by day; one that was voided stands on that day again."""
        lines = self.transaction.groups(LINE, adjustment_line.c.adjustment_number, {}, (adjustment_line.c.position,))
        return listed_rows(
            self.transaction,
            "adjustment",
            DocumentKind.ADJUSTMENT,
            lambda row: ADJUSTMENT.named(row, lines=lines[row.number]),
            month,
        )
