"""Equipment: the list of it, and disposing of a piece, which edits nothing and posts an entry of its own."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from shopledger.errors import RefusedError
from shopledger.ledger.books.disposals import (
    Disposal,
    DisposalKind,
    Equipment,
    EquipmentRow,
    check_disposal,
    equipment_rows,
    read_piece,
)
from shopledger.ledger.books.documents import Document
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.money_moves import CashAccount
from shopledger.ledger.books.postings import disposal_entry
from shopledger.money.amount import Cents

if TYPE_CHECKING:
    from shopledger.desk.context import Desk
    from shopledger.store.work import UnitOfWork


@dataclass(frozen=True, slots=True)
class DisposalRequest:
    """What became of a piece of equipment; without a cost all of it that is there."""

    piece: str
    """As the list names it, such as `bill 3 line 2`."""
    how: DisposalKind
    depreciation: Cents
    """What the books have written off of it."""
    proceeds: Cents = 0
    till: CashAccount = CashAccount.BANK
    cost: Cents | None = None
    reference: str = ""
    note: str = ""
    day: date | None = None


def equipment_list(desk: Desk, on: date | None = None) -> tuple[EquipmentRow, ...]:
    """List the equipment as it stood at the end of a day: what was there, and what had gone by then."""
    with desk.reading() as work:
        return equipment_rows(work.disposals.equipment(desk.past_day(on)))


def plan_disposal(desk: Desk, asked: DisposalRequest) -> Disposal:
    """Look at a disposal without storing it."""
    with desk.reading() as work:
        return _checked(desk, work, asked)


def dispose(desk: Desk, asked: DisposalRequest) -> Disposal:
    """Store that a piece of equipment is gone, with its posting."""
    with desk.writing() as work:
        stored = work.disposals.add(_checked(desk, work, asked))
        work.journal.post(disposal_entry(stored))
        return stored


def refuse_gone(work: UnitOfWork, document: Document) -> None:
    """Refuse to void a document whose equipment is gone already."""
    for each in work.disposals.of(document):
        given = f"a piece of it is gone since {each.day.isoformat()}"
        hint = f"Void 'disposal {each.number}' first."
        raise RefusedError(str(document), given, "what it cost would be taken out twice", hint)


def _checked(desk: Desk, work: UnitOfWork, asked: DisposalRequest) -> Disposal:
    day = desk.day(asked.day)
    work.periods.refuse_closed(day)
    found = _piece(work, asked.piece)
    own = found.piece
    cost = found.left if asked.cost is None else asked.cost
    if cost <= 0 and asked.cost is None:
        gone = found.gone[-1] if found.gone else None
        allowed = f"it went on {gone.day.isoformat()}" if gone else "it takes cost out and is no piece"
        raise RefusedError("equipment", own.name, allowed, "Look with 'shopledger equipment list'.")
    terms = (asked.how, asked.proceeds, asked.till, asked.reference, asked.note)
    disposal = Disposal(day, own.document, own.position, cost, asked.depreciation, *terms)
    check_disposal(found, disposal, -work.balances.of(Account.ACCUMULATED_DEPRECIATION, day))
    return disposal


def _piece(work: UnitOfWork, typed: str) -> Equipment:
    document, position = read_piece(typed)
    found = [each for each in work.disposals.equipment() if each.piece.document == document]
    if position:
        found = [each for each in found if each.piece.position == position]
    if not found:
        given = f"{document} line {position}" if position else str(document)
        hint = "Look with 'shopledger equipment list'."
        raise RefusedError("equipment", given, "no equipment came with it", hint)
    if len(found) > 1:
        names = ", ".join(each.piece.name for each in found)
        raise RefusedError("equipment", str(document), f"it has several: {names}", "Say which line.")
    return found[0]
