"""The program's own errors: one root, one exit code per kind, fields first and the sentence last.

Every sentence says what was given, what is allowed and what to do. Each error also inherits the
builtin it is a kind of, so that the libraries inside read well to a Python programmer. The
command line turns any of them into one line on stderr in one place (`cli/group.py`); anything
else that is raised is a bug and keeps its traceback.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence


class ShopledgerError(Exception):
    """The root: whatever the user can mend."""

    exit_code = 1


class SetupError(ShopledgerError):
    """The shop or its settings are missing or cannot be read."""

    exit_code = 10


class OpticsError(ShopledgerError, ValueError):
    """A lens value cannot be."""

    exit_code = 20


class LedgerError(ShopledgerError, ValueError):
    """A rule of the trade or of the books is broken."""

    exit_code = 30


class StoreError(ShopledgerError):
    """The ledger's database cannot do what was asked."""

    exit_code = 40


class PaperworkError(ShopledgerError):
    """A paper cannot be printed."""

    exit_code = 50


class ExportError(ShopledgerError):
    """A sheet or file cannot be written."""

    exit_code = 60


class ExchangeError(ShopledgerError, ValueError):
    """A file that came in cannot be read."""

    exit_code = 70


def nearest(given: str, known: Iterable[str], most: int = 3) -> tuple[str, ...]:
    """Give the known names most like what was typed, best first; none when nothing is near."""
    import difflib  # noqa: PLC0415 - only a refusal needs it, and every start would pay for it

    by_folded = {name.casefold(): name for name in known}
    close = difflib.get_close_matches(given.casefold(), by_folded, n=most, cutoff=0.5)
    within = [folded for folded in by_folded if given.casefold() in folded and folded not in close]
    return tuple(by_folded[folded] for folded in [*close, *within][:most])


def listed(names: Sequence[str]) -> str:
    """Join names as a sentence does: `a`, `a or b`, `a, b or c`."""
    if len(names) <= 1:
        return "".join(names)
    return f"{', '.join(names[:-1])} or {names[-1]}"


class RefusedError(LedgerError):
    """A value breaks a rule: what was given, what is allowed, what to do."""

    def __init__(self, field: str, given: object, allowed: str, mend: str) -> None:
        super().__init__(field, given, allowed, mend)
        self.field = field
        self.given = given
        self.allowed = allowed
        self.mend = mend

    def __str__(self) -> str:
        """Say it in one line."""
        return f"{self.field} is {self.given}; {self.allowed}. {self.mend}"


class UnknownNameError(StoreError, LookupError):
    """Nothing in the ledger has that name; the nearest ones are suggested."""

    def __init__(self, kind: str, given: str, near: Sequence[str] = (), mend: str = "") -> None:
        super().__init__(kind, given, tuple(near), mend)
        self.kind = kind
        self.given = given
        self.near = tuple(near)
        self.mend = mend

    def __str__(self) -> str:
        """Say what is unknown, and what was perhaps meant."""
        hint = f" Did you mean {listed(self.near)}?" if self.near else ""
        mend = f" {self.mend}" if self.mend else ""
        return f"no {self.kind} called '{self.given}'.{hint}{mend}"
