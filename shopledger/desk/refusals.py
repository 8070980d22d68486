"""What stops a deed: findings nobody has accepted, an order that was cancelled, a day before its document."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import TYPE_CHECKING

from shopledger.errors import OpticsError, PaperworkError, RefusedError
from shopledger.ledger.orders import AcceptedWarning, OrderAccount
from shopledger.ledger.papers.issued import WaitingPaper
from shopledger.ledger.refunds import cancelled
from shopledger.optics.findings import Finding, Severity

if TYPE_CHECKING:
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


def unaccepted(findings: Iterable[Finding], accept: frozenset[str]) -> tuple[Finding, ...]:
    """Give the warnings that still need a yes."""
    return tuple(finding for finding in findings if finding.severity is Severity.WARNING and finding.code not in accept)


def accepted_warnings(findings: Iterable[Finding], accept: frozenset[str]) -> tuple[AcceptedWarning, ...]:
    """Give the accepted warnings to keep, or refuse while anything stops the deed."""
    met = tuple(findings)
    errors = tuple(finding for finding in met if finding.severity is Severity.ERROR)
    stopping = (*errors, *unaccepted(met, accept))
    if stopping:
        raise FindingsRefusedError(stopping)
    warnings = dict.fromkeys(
        AcceptedWarning(finding.code, finding.sentence) for finding in met if finding.severity is Severity.WARNING
    )
    return tuple(warnings)


def note_accepted(work: UnitOfWork, accepted: tuple[AcceptedWarning, ...], document: str) -> None:
    """Write down which warnings were said yes to, and by whom."""
    for warning in accepted:
        work.audit.note(f"accepted {warning.code}", document)


def standing_order(work: UnitOfWork, number: int, what: str) -> OrderAccount:
    """Give an order with what happened to it; `what` is refused on one that was cancelled."""
    account = work.orders.account(number)
    if account.cancellation is not None:
        raise cancelled(what, account)
    return account


def on_or_after(earliest: date, day: date, what: str, since: str = "the order was recorded on") -> date:
    """Give the day of what happened, or refuse one before the document that it happened to."""
    if day < earliest:
        raise RefusedError(what, day.isoformat(), f"{since} {earliest.isoformat()}", "Type a day on or after it.")
    return day
