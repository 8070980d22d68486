"""Which rows of a processor's report are new: the same file again changes nothing, and a payout keeps its rows."""

from __future__ import annotations

import hashlib
from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from shopledger.errors import RefusedError
from shopledger.ledger.books.processor_reports import ProcessorLine, ReportKind, ReportRow, standing
from shopledger.money.amount import Cents, write_amount


@dataclass(frozen=True, slots=True)
class NewRow:
    """A row that is to be kept, and the one in whose place it stands since it was paid out."""

    row: ReportRow
    key: str
    replaces: int | None = None


@dataclass(frozen=True, slots=True)
class ReportPlan:
    """What a report brings beside what is kept already."""

    new: tuple[NewRow, ...]
    known: int

    @property
    def payouts(self) -> tuple[str, ...]:
        """The payouts that are new."""
        return tuple(dict.fromkeys(each.row.payout for each in self.new if each.row.payout))

    @property
    def waiting(self) -> tuple[ReportRow, ...]:
        """The new rows that are not paid out yet: no total proves that all of them are there."""
        return tuple(each.row for each in self.new if not each.row.payout)

    @property
    def total(self) -> Cents:
        """What the new rows come to."""
        return sum(each.row.net for each in self.new)


def plan_report(rows: Iterable[ReportRow], kept: Sequence[ProcessorLine]) -> ReportPlan:
    """Tell a report's rows apart; a payout that is kept and says otherwise is refused."""
    by_payout: defaultdict[str, list[ReportRow]] = defaultdict(list)
    for row in rows:
        by_payout[row.payout].append(row)
    kept_by: defaultdict[str, list[ProcessorLine]] = defaultdict(list)
    for line in standing(kept):
        kept_by[line.payout].append(line)
    waiting = defaultdict(list)
    for line in kept_by[""]:
        waiting[line.row.content].append(line.number)
    found: list[tuple[ReportRow, int | None]] = []
    known = 0
    for payout in (name for name in by_payout if name):
        if kept_by[payout]:
            _refuse_other(payout, by_payout[payout], kept_by[payout])
            known += len(by_payout[payout])
            continue
        for row in by_payout[payout]:
            same = waiting[row.content]
            found.append((row, same.pop(0) if same else None))
    there = Counter(line.row.content for line in standing(kept))
    for row in by_payout[""]:
        if there[row.content]:
            there[row.content] -= 1
            known += 1
        else:
            found.append((row, None))
    return ReportPlan(_keyed(found, kept), known)


def _refuse_other(payout: str, rows: Sequence[ReportRow], kept: Sequence[ProcessorLine]) -> None:
    """Refuse other rows of a payout than those that are kept of it: what was paid out does not change."""
    said, before = Counter(_fact(row) for row in rows), Counter(_fact(line.row) for line in kept)
    if said != before:
        odd = next(iter((said - before) or (before - said)))
        where = "stands in the file alone" if said - before else "is missing from the file"
        rule = f"it is kept with other rows: {odd[2].value} {write_amount(odd[3])} of {odd[1].isoformat()} {where}"
        hint = "Download the report again; if it stays so, ask the processor which of both is right."
        raise RefusedError("payout", payout, rule, hint)


def _fact(row: ReportRow) -> tuple[str, date, ReportKind, Cents, Cents, date | None]:
    return row.transaction_id, row.day, row.kind, row.gross, row.fee, row.payout_day


def _keyed(found: Iterable[tuple[ReportRow, int | None]], kept: Iterable[ProcessorLine]) -> tuple[NewRow, ...]:
    """Give each new row what tells it apart: rows alike on one payout are counted."""
    many = Counter(_said(line.row) for line in kept)
    new = []
    for row, replaces in found:
        said = _said(row)
        many[said] += 1
        new.append(NewRow(row, hashlib.sha256(f"{said}|{many[said]}".encode()).hexdigest(), replaces))
    return tuple(new)


def _said(row: ReportRow) -> str:
    parts = row.payout, row.transaction_id, row.day.isoformat(), row.kind.value, str(row.gross), str(row.fee)
    return "|".join(parts)
