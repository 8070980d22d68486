"""Errors stop, warnings need a yes: what becomes of the findings on lens values and on the books."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from shopledger.errors import OpticsError
from shopledger.ledger.orders import AcceptedWarning
from shopledger.optics.findings import Finding, Severity

if TYPE_CHECKING:
    from shopledger.store.work import Work


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


def note_accepted(work: Work, accepted: tuple[AcceptedWarning, ...], document: str) -> None:
    """Write down which warnings were said yes to, and by whom."""
    for warning in accepted:
        work.audit.note(f"accepted {warning.code}", document)
