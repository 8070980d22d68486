"""What a check has to say: how grave, a stable code, the field, its value, the limit and where the limit is from."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum


class Severity(Enum):
    """How grave a finding is: an error stops, a warning needs a yes, a note only tells."""

    ERROR = "error"
    WARNING = "warning"
    NOTE = "note"


_ORDER = tuple(Severity)


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that a check found; `code` never changes, `sentence` is for the owner to read."""

    severity: Severity
    code: str
    field: str
    value: str
    limit: str
    source: str
    sentence: str

    @property
    def stops(self) -> bool:
        """Whether the work may not go on."""
        return self.severity is Severity.ERROR


def gravest_first(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Put errors before warnings before notes; within each the order of finding stays.

    Parameters
    ----------
    findings : iterable of Finding
        Any findings.

    Returns
    -------
    (n,) tuple of Finding
        The same, gravest first.

    References
    ----------
    [definition]_
    """
    return tuple(sorted(findings, key=lambda finding: _ORDER.index(finding.severity)))
