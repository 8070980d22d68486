"""Payees that may need an information return: keeping their W-9s, a year's list, handing a number out, erasing one."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final

from shopledger.desk.refusals import accepted_warnings
from shopledger.errors import RefusedError, listed, nearest
from shopledger.files.replacing import begun
from shopledger.files.writing import write_whole
from shopledger.ledger.audit import Deed, Subject
from shopledger.ledger.books.payee_forms import (
    W9,
    Limit,
    PayeeReport,
    ReportLimit,
    W9Erasure,
    erasable_from,
    folded,
    handed_out_lines,
    limit_of,
    payee_reports,
)
from shopledger.ledger.books.period import Period
from shopledger.ledger.books.spending_rows import PayeeRow
from shopledger.ledger.canonical import data_of, record_of
from shopledger.ledger.erasing import refuse_named
from shopledger.ledger.numbers import number_of
from shopledger.ledger.retention import Ground, KeptStillError, Reason
from shopledger.optics.findings import Finding, Severity
from shopledger.store.outside import recall, remember

if TYPE_CHECKING:
    from shopledger.desk.context import Desk
    from shopledger.store.work import UnitOfWork

REMEMBERED: Final = "w9-erasures"
"""Under which this computer keeps the list of erased W-9s outside the ledger."""
_FIRST_WORDS: Final = "For the tax preparer alone: "
HANDED_OUT: Final = begun("what a W-9 says", _FIRST_WORDS)


@dataclass(frozen=True, slots=True)
class W9Plan:
    """A W-9 as it would be kept, and what is odd about it."""

    form: W9
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True)
class PayeeList:
    """A year's payees of services and rent, with the limit that they are held against."""

    year: int
    limit: Limit
    payees: tuple[PayeeReport, ...]


def plan_w9(desk: Desk, asked: W9) -> W9Plan:
    """Look at a W-9 without keeping it."""
    with desk.reading() as work:
        return _planned(desk, work, asked)


def record_w9(desk: Desk, asked: W9, accept: frozenset[str] = frozenset()) -> W9:
    """Keep what a payee's W-9 says; an earlier one of the same payee stays, and holds no longer."""
    with desk.writing() as work:
        plan = _planned(desk, work, asked)
        accepted_warnings(plan.findings, accept)
        return work.w9s.add(plan.form)


def w9_of(desk: Desk, payee: str) -> W9:
    """Give the W-9 of a payee that holds."""
    with desk.reading() as work:
        return _newest(work, payee)


def payee_list(desk: Desk, year: Period) -> PayeeList:
    """List the payees of a year's services and rent, beside its limit and their W-9s."""
    with desk.reading() as work:
        limit = year_limit(work, year)
        return PayeeList(year.first.year, limit, reports_of(work, tuple(work.reports.rows(PayeeRow, year)), limit))


def reports_of(work: UnitOfWork, rows: Sequence[PayeeRow], limit: Limit) -> tuple[PayeeReport, ...]:
    """List payees with their W-9s."""
    return payee_reports(rows, work.w9s.newest(), limit.amount)


def year_limit(work: UnitOfWork, year: Period) -> Limit:
    """Give from which sum of a year's payments on a payee is reported."""
    return limit_of(year.first.year, work.w9s.limit(year.first.year))


def set_limit(desk: Desk, new: ReportLimit) -> ReportLimit:
    """Set a year's limit; what the tax office says of it is the owner's to look up."""
    with desk.writing() as work:
        return work.w9s.set_limit(new)


def hand_out(desk: Desk, payee: str, folder: Path, accept: frozenset[str] = frozenset()) -> Path:
    """Write a payee's W-9 with its whole number into a file for the tax preparer: with a yes, and noted."""
    with desk.reading() as work:
        form = _newest(work, payee)
    year = Period.of_year(desk.today.year - 1)
    rows = [each for each in payee_list(desk, year).payees if folded(each.payee) == folded(form.payee)]
    with desk.noting(Deed.HANDED_OUT_W9, Subject.W9, number_of(form)):
        accepted_warnings(handing_out(form), accept)
        lines = (f"{_FIRST_WORDS}it holds a whole tax number.", *handed_out_lines(form, rows))
        body = "".join(f"{line}\n" for line in lines)
        return write_whole(body.encode(), folder / f"w9-{number_of(form):05d}.txt", HANDED_OUT)


def handing_out(form: W9) -> tuple[Finding, ...]:
    """Ask before a whole number leaves the ledger."""
    said = (
        f"The file will hold the whole tax number of {form.payee}, ending in {form.ending}. Give it to the tax "
        "preparer by hand or encrypted, and delete it then."
    )
    return (_warning("WHOLE-NUMBER", "tax number", said),)


def erasing(form: W9) -> tuple[Finding, ...]:
    """Ask before what a W-9 says is erased."""
    said = f"What the W-9 of {form.payee} says is erased for good: name, address and tax number. Payments stay."
    return (_warning("ERASED-FOR-GOOD", "W-9", said),)


def erase_w9(desk: Desk, payee: str, reason: str, accept: frozenset[str] = frozenset()) -> tuple[W9Erasure, ...]:
    """Erase what a payee's W-9s say, once no tax record needs them, and with a yes; payments stay."""
    with desk.reading() as work:
        form = _newest(work, payee)
    with desk.noting(Deed.ERASED_W9, Subject.W9, number_of(form)) as work:
        _refuse_needed(desk, work, form)
        refuse_named(reason, form.name)
        accepted_warnings(erasing(form), accept)
        done = tuple(work.w9s.erase(W9Erasure(number_of(each), desk.today, reason)) for each in work.w9s.of(payee))
        every = work.w9s.erasures()
    desk.ledger.pack()
    _remember(desk.ledger.url, every)
    return done


def erase_w9s_again(work: UnitOfWork, url: str, also: Sequence[W9Erasure] = ()) -> tuple[W9Erasure, ...]:
    """Erase the W-9s that the list outside names, in a copy that was put back, and note each."""
    again = work.w9s.erase_again((*also, *_remembered(url)))
    for each in again:
        work.audit.note(Deed.ERASED_W9, Subject.W9, each.w9_number, detail="again")
    return again


def _refuse_needed(desk: Desk, work: UnitOfWork, form: W9) -> None:
    """Refuse to erase as long as the tax records of what the payee was paid are kept."""
    paid = work.w9s.last_paid(form.payee)
    until = erasable_from([form.received_on, *([paid] if paid else [])], work.erasures.keeping())
    if until > desk.today:
        said = f"What {form.payee} was paid may have to be reported, and tax records are kept until then"
        raise KeptStillError(f"The W-9 of {form.payee}", (Reason(Ground.TAX, said, until),), until)


def _planned(desk: Desk, work: UnitOfWork, asked: W9) -> W9Plan:
    desk.past_day(asked.received_on, "day received")
    known = work.w9s.payees()
    if folded(asked.payee) in map(folded, known):
        return W9Plan(asked)
    near = nearest(asked.payee, known)
    meant = f" Did you mean {listed(near)}?" if near else ""
    said = f"No expense and no supplier is called '{asked.payee}'.{meant}"
    return W9Plan(asked, (_warning("PAYEE-UNKNOWN", "payee", said),))


def _newest(work: UnitOfWork, payee: str) -> W9:
    found = work.w9s.of(payee)
    if not found:
        kept = [each.payee for each in work.w9s.newest().values()]
        near = nearest(payee, kept)
        hint = f"Did you mean {listed(near)}?" if near else "Record it with 'shopledger payee w9'."
        raise RefusedError("W-9", f"of '{payee}'", "none is kept of that payee", hint)
    return found[0]


def _warning(code: str, field: str, sentence: str) -> Finding:
    return Finding(Severity.WARNING, code, field, "", "", "common_practice", sentence)


def _remembered(url: str) -> tuple[W9Erasure, ...]:
    kept = recall(url, REMEMBERED).get("erasures")
    found = []
    for each in kept if isinstance(kept, list) else []:
        with suppress(AttributeError, KeyError, TypeError, ValueError):
            found.append(record_of(W9Erasure, each))
    return tuple(found)


def _remember(url: str, done: Sequence[W9Erasure]) -> bool:
    known = {each.w9_number: each for each in (*_remembered(url), *done)}
    return remember(url, REMEMBERED, {"erasures": [data_of(each) for each in known.values()]})
