"""What stops a deed: findings nobody has accepted, an order that was cancelled, a day before its document."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import TYPE_CHECKING

from shopledger.errors import LedgerError, OpticsError, PaperworkError, RefusedError, listed, visible
from shopledger.ledger.audit import Deed, Subject
from shopledger.optics.findings import Finding, Severity

if TYPE_CHECKING:
    from shopledger.ledger.books.documents import Document
    from shopledger.ledger.orders import AcceptedWarning, OrderAccount
    from shopledger.ledger.papers.issued import WaitingPaper
    from shopledger.store.work import UnitOfWork


class FindingsRefusedError(OpticsError):
    """Findings that stop the deed: errors, and warnings nobody has accepted."""

    findings: tuple[Finding, ...]

    def __str__(self) -> str:
        said = " ".join(f"{finding.sentence} [{finding.code}]" for finding in self.findings)
        asked = dict.fromkeys(finding.code for finding in self.findings if finding.severity is Severity.WARNING)
        if any(finding.severity is Severity.ERROR for finding in self.findings):
            return said
        flags = " ".join(f"--accept {code}" for code in asked)
        return f"{said} If it is meant so, add {flags}."


class IssuedPaperError(PaperworkError):
    """Something went wrong with a paper that is issued under a number."""

    paper: WaitingPaper
    sentence = "{name} cannot be printed."

    @property
    def name(self) -> str:
        """What the paper is called."""
        return self.paper.name

    @property
    def command(self) -> str:
        """What to type for its first print."""
        return self.paper.command


class PaperWaitsError(IssuedPaperError):
    """A paper was issued, and could not take its place."""

    reason: str
    sentence = "{name} is stored, its paper is not yet: {reason} Then type '{command}'."


class PaperUnnotedError(IssuedPaperError):
    """A paper is in its place, and the ledger could not be told."""

    reason: str
    sentence = (
        "{name} is stored and its paper is in its place, but that could not be noted: {reason} "
        "'shopledger paper again' goes on listing it until '{command}'."
    )


class PaperLaterError(PaperworkError):
    """Something was stored whose paper could not take its place."""

    stored: str
    reason: str
    sentence = "{stored} is stored, its paper is not: {reason}"


class NothingWaitsError(IssuedPaperError):
    """A paper was asked for again that does not wait."""

    print_again: str
    sentence = "{name} does not wait for its paper. Print it again with '{print_again}'."


class UnaskedError(LedgerError):
    """A yes was given to something that nobody asked."""

    words: tuple[str, ...]
    asked: tuple[str, ...]

    def __str__(self) -> str:
        given = " ".join(f"--accept {visible(word)}" for word in self.words)
        if not self.asked:
            return f"{given} answers nothing: no warning was given. Leave it out."
        return f"{given} answers nothing that was asked. Asked was {listed(self.asked)}: type that, if it is meant so."


def refuse_unasked(findings: Iterable[Finding], accept: Iterable[str]) -> None:
    """Refuse a yes to what no warning asked, unless an error stops the deed anyway."""
    met = tuple(findings)
    asked = tuple(dict.fromkeys(finding.code for finding in met if finding.severity is Severity.WARNING))
    unasked = tuple(word for word in sorted(set(accept)) if word not in asked)
    if unasked and not any(finding.stops for finding in met):
        raise UnaskedError(unasked, asked)


def unaccepted(findings: Iterable[Finding], accept: frozenset[str]) -> tuple[Finding, ...]:
    """Give the warnings that still need a yes."""
    return tuple(finding for finding in findings if finding.severity is Severity.WARNING and finding.code not in accept)


def accepted_warnings(
    findings: Iterable[Finding], accept: frozenset[str], *, strict: bool = False
) -> tuple[AcceptedWarning, ...]:
    """Give the accepted warnings to keep, or refuse while anything stops the deed.

    A `strict` one refuses a yes to what was not asked; others take what somebody said who looked at the plan before.
    """
    met = tuple(findings)
    if strict:
        refuse_unasked(met, accept)
    errors = tuple(finding for finding in met if finding.severity is Severity.ERROR)
    stopping = (*errors, *unaccepted(met, accept))
    if stopping:
        raise FindingsRefusedError(stopping)
    if not met:
        return ()
    from shopledger.ledger.orders import AcceptedWarning  # noqa: PLC0415 - looking up people needs no orders

    warnings = dict.fromkeys(
        AcceptedWarning(finding.code, finding.sentence) for finding in met if finding.severity is Severity.WARNING
    )
    return tuple(warnings)


def note_accepted(
    work: UnitOfWork, accepted: tuple[AcceptedWarning, ...], document: Document, *, voiding: bool = False
) -> None:
    """Write down which warnings were said yes to, and by whom."""
    for warning in accepted:
        deed = Deed.ACCEPTED_VOIDING if voiding else Deed.ACCEPTED_WARNING
        work.audit.note(deed, Subject(document.kind.value), document.number, detail=warning.code)


def standing_order(work: UnitOfWork, number: int, what: str) -> OrderAccount:
    """Give an order with what happened to it; `what` is refused on one that was cancelled."""
    account = work.orders.account(number)
    if account.cancellation is not None:
        from shopledger.ledger.refunds import cancelled  # noqa: PLC0415 - as above

        raise cancelled(what, account)
    return account


def on_or_after(earliest: date, day: date, what: str, since: str = "the order was recorded on") -> date:
    """Give the day of what happened, or refuse one before the document that it happened to."""
    if day < earliest:
        raise RefusedError(what, day.isoformat(), f"{since} {earliest.isoformat()}", "Type a day on or after it.")
    return day
