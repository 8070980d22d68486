"""Asking for a yes to each warning before anything is stored."""

from __future__ import annotations

from collections.abc import Iterable

import click

from shopledger.cli.context import Run
from shopledger.cli.prompts import confirm, tell
from shopledger.desk.acceptance import questions
from shopledger.optics.findings import Finding


def accepted(run: Run, findings: Iterable[Finding], accept: frozenset[str]) -> frozenset[str]:
    """Give the codes said yes to; a no ends the command before anything is stored.

    Where nobody can be asked, or an error stops the deed anyway, the desk refuses with its own sentence.
    """
    met = tuple(findings)
    if not run.asks or any(finding.stops for finding in met):
        return accept
    for finding in questions(met, accept):
        tell(f"Warning: {finding.sentence} [{finding.code}]")
        if not confirm("Is it meant so?"):
            raise click.Abort
        accept |= {finding.code}
    return accept
