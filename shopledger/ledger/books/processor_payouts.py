"""What recording a payout moves: its amount with its month's fee, fees of earlier months, reserves held and released.

What the books know from the sale is not moved again: charges, refunds, and disputes with their fees. A fee counts in
the month in which the processor earned it, so that a payout of January takes no fee of December into the new year;
where that month is closed, it counts with the payout, and that is said.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from shopledger.errors import RefusedError
from shopledger.ledger.books.money_moves import CashAccount, MoneyMove, MoveKind
from shopledger.ledger.books.period import Month
from shopledger.ledger.books.processor_reports import Payout, ReportKind, ReportRow
from shopledger.ledger.text import kept_reference
from shopledger.money.amount import Cents, write_amount
from shopledger.optics.findings import Finding, Severity

_REPORT: Final = "the processor's report"


@dataclass(frozen=True, slots=True)
class PayoutParts:
    """The moves that a payout is recorded by, those that stand already, and what is odd about it."""

    moves: tuple[MoneyMove, ...]
    found: tuple[MoneyMove, ...] = ()
    """Moves that the owner recorded before, which are these."""
    findings: tuple[Finding, ...] = ()


def payout_parts(
    payout: Payout, linked: Sequence[MoneyMove], loose: Sequence[MoneyMove], closed: Collection[Month]
) -> PayoutParts:
    """Work out what recording a payout moves beside the moves that are `linked` to it already.

    A `loose` move that the owner recorded by himself is taken for its part where it can be only that.
    """
    own = _month(payout.day)
    counted = _counted(payout, loose)
    fees = {month: left for month, left in _fees_left(payout, (*linked, *counted)).items() if left}
    kept = sum(left for month, left in fees.items() if month == own or month in closed)
    earlier = {month: left for month, left in fees.items() if month != own and month not in closed}
    paid_out = next((each for each in linked if each.kind is MoveKind.PAYOUT), None)
    wanted = _payout(payout, kept)
    mine = _recorded(payout, wanted, loose, kept + sum(earlier.values())) if paid_out is None else None
    bank = paid_out or mine
    moves = _reserves(payout, linked, closed)
    late = [_late(month, left) for month, left in fees.items() if month != own and month in closed and bank is None]
    if bank is None or bank.fee != kept + sum(earlier.values()):
        moves += [_earlier(payout, month, left) for month, left in earlier.items()]
        rest = 0 if bank is None else kept - bank.fee
        moves += [_move(payout.day, MoveKind.PROCESSOR_FEE, rest, payout)] if rest else []
    if bank is None and wanted is not None:
        moves.append(wanted)
    found = (*counted, *([mine] if mine else ()))
    return PayoutParts(tuple(moves), found, (*_adjustments(payout), *late, *_said(found)))


def _payout(payout: Payout, kept: Cents) -> MoneyMove | None:
    """Give the payout itself with the fee that counts with it; nothing where nothing went to the bank or was kept."""
    if not payout.amount and not kept:
        return None
    amount, reference = payout.amount + kept, _reference(payout.name)
    return MoneyMove(payout.day, MoveKind.PAYOUT, CashAccount.BANK, amount, kept, reference=reference)


def _earlier(payout: Payout, month: Month, fees: Cents) -> MoneyMove:
    """Give the fees of an earlier month, on the last day of the rows that they are for."""
    days = [row.day for row in payout.rows if fee_of(row) and _month(row.day) == month]
    return _move(max(days, default=payout.day), MoveKind.PROCESSOR_FEE, fees, payout)


def fee_of(row: ReportRow) -> Cents:
    """Give what a row's payout takes of fees; the fee of a dispute stands with the dispute in the books."""
    if row.kind is ReportKind.FEE:
        return -row.net
    return row.fee if row.kind in {ReportKind.CHARGE, ReportKind.REFUND} else 0


def _month(day: date) -> Month:
    return Month(day.year, day.month)


def _by_month(payout: Payout) -> Counter[Month]:
    """Give what the processor earned of fees in each month."""
    fees: Counter[Month] = Counter()
    for row in payout.rows:
        fees[_month(row.day)] += fee_of(row)
    return fees


def _fees_left(payout: Payout, counted: Iterable[MoneyMove]) -> dict[Month, Cents]:
    """Give the fees of each month, less those that stand in the books as moves of their own."""
    fees = _by_month(payout)
    for each in counted:
        if each.kind is MoveKind.PROCESSOR_FEE:
            fees[_month(each.day)] -= each.amount
    return dict(sorted(fees.items()))


def _counted(payout: Payout, loose: Iterable[MoneyMove]) -> tuple[MoneyMove, ...]:
    """Give the fees that the owner recorded before: a whole month's or a single row's, to the cent."""
    fees, months = [each for each in loose if each.kind is MoveKind.PROCESSOR_FEE], _by_month(payout)
    met: list[MoneyMove] = []
    for month, amount in months.items():
        here = [each for each in fees if _month(each.day) == month]
        whole = [each for each in here if each.amount == amount]
        if len(whole) == 1:
            met += whole
            continue
        rows = Counter(fee_of(row) for row in payout.rows if row.kind is ReportKind.FEE and _month(row.day) == month)
        met += [each for each in here if rows[each.amount] == 1 == sum(other.amount == each.amount for other in here)]
    return tuple(met)


def _late(month: Month, amount: Cents) -> Finding:
    said = (
        f"{write_amount(amount)} of the fees were earned in {month}, which is closed: they count with the payout. Open "
        f"the month again first if they belong there: 'shopledger month reopen {month} --reason TEXT'."
    )
    return Finding(Severity.WARNING, "FEE-LATE", "fee", write_amount(amount), "", _REPORT, said)


def _reserves(payout: Payout, linked: Iterable[MoneyMove], closed: Collection[Month]) -> list[MoneyMove]:
    """Give what was held back and released, but for what is recorded of it."""
    there = Counter((each.kind, each.amount) for each in linked)
    moves = []
    for row in payout.rows:
        if row.kind is not ReportKind.RESERVE or not row.net:
            continue
        kind = MoveKind.RESERVED if row.net < 0 else MoveKind.RELEASED
        if there[kind, abs(row.net)]:
            there[kind, abs(row.net)] -= 1
        else:
            moves.append(_move(payout.day if _month(row.day) in closed else row.day, kind, abs(row.net), payout))
    return moves


def _move(day: date, kind: MoveKind, amount: Cents, payout: Payout) -> MoneyMove:
    return MoneyMove(day, kind, CashAccount.BANK, amount, reference=_reference(payout.name))


def _reference(name: str) -> str:
    """Give the payout's number as a reference, which holds fewer digits; nothing where it does not fit."""
    try:
        return kept_reference("move", "money", name)
    except RefusedError:
        return ""


def _recorded(
    payout: Payout, wanted: MoneyMove | None, loose: Iterable[MoneyMove], every_fee: Cents
) -> MoneyMove | None:
    """Give the payout that the owner recorded before under its number, or refuse one that says otherwise.

    It may have all fees with it, those of earlier months too.
    """
    if wanted is None:
        return None
    name = wanted.reference.casefold()
    same = [each for each in loose if each.kind is MoveKind.PAYOUT and name and each.reference.casefold() == name]
    if not same:
        return None
    (mine, *_) = same
    if mine.moved != wanted.moved or mine.fee not in {wanted.fee, every_fee}:
        rule = (
            f"money {mine.number} records it as {write_amount(mine.amount)} with a fee of {write_amount(mine.fee)}; by "
            f"the report it is {write_amount(wanted.amount)} with a fee of {write_amount(wanted.fee)}"
        )
        hint = f"Take the wrong one back with 'shopledger void money {mine.number} --reason TEXT', and record it again."
        raise RefusedError("payout", payout.name, rule, hint)
    return mine


def _adjustments(payout: Payout) -> list[Finding]:
    odd = sum(row.net for row in payout.rows if row.kind is ReportKind.ADJUSTMENT)
    if not odd:
        return []
    said = (
        f"The report has adjustments of {write_amount(odd)} together. What they are the books do not know: record a "
        "fee with 'shopledger money fee', or ask the processor. Until then the books and its reports differ by them."
    )
    return [Finding(Severity.WARNING, "ADJUSTMENT", "payout", write_amount(odd), "", _REPORT, said)]


def _said(found: Iterable[MoneyMove]) -> list[Finding]:
    return [
        Finding(
            Severity.NOTE,
            "COUNTED",
            "money",
            f"money {each.number}",
            "",
            "the books",
            f"{each.words.capitalize()} of {write_amount(each.amount)} on {each.day.isoformat()}, money {each.number}, "
            "was recorded before and is a part of this payout.",
        )
        for each in found
    ]
