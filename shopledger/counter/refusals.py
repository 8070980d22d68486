"""What the counter itself has to say about a form: several things that cannot be read, each at its field."""

from __future__ import annotations

from shopledger.errors import OpticsError
from shopledger.optics.findings import Finding, Severity


class UnreadError(OpticsError):
    """Parts of a form that mean something only together cannot be read."""

    findings: tuple[Finding, ...]

    def __str__(self) -> str:
        return " ".join(each.sentence for each in self.findings)


def unread(field: str, sentence: str) -> Finding:
    """Say at a field what is wrong with what stands in it."""
    return Finding(Severity.ERROR, "UNREAD", field, "", "", "", sentence)
