"""One run of the program: which ledger, who is at the desk, and what time it is. The only owner of a clock."""

from __future__ import annotations

import contextlib
import sys
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import click

from shopledger.errors import visible

if TYPE_CHECKING:
    from shopledger.desk.context import Desk
    from shopledger.files.handing import Hands
    from shopledger.ledger.papers.issued import WaitingPaper
    from shopledger.store.revision import Upgrade


class Surroundings(NamedTuple):
    """What is around the program; tests give their own, otherwise it is looked at."""

    now: datetime | None = None
    terminal: bool | None = None
    hands: Hands | None = None
    """How files are handed to the system's own programs."""

    def clock(self) -> datetime:
        """Read the clock, with the zone of this computer."""
        return self.now or datetime.now(UTC).astimezone()

    def can_ask(self) -> bool:
        """Tell whether somebody sits at a terminal and can be asked."""
        return sys.stdin.isatty() if self.terminal is None else self.terminal


@dataclass(slots=True)
class Run:
    """What every command may ask for; the ledger is opened when first needed and closed at the end."""

    ledger: str | None
    given_operator: str | None
    now: datetime
    today: date
    asks: bool
    hands: Hands | None = None
    stored: list[tuple[str, ...]] = field(default_factory=list)
    """What was stored so far, transaction by transaction: the numbers taken in each."""
    long_ago_is_meant: bool = False
    """Whether somebody said yes to a day that lies long ago."""
    _desk: Desk | None = None

    @property
    def operator(self) -> str:
        """The name that goes on every entry: as given, else the name of the account on this computer."""
        from shopledger.ledger.text import clean_text

        return clean_text("operator", self.given_operator or _account_name(), 60)

    def desk(self) -> Desk:
        """Open the ledger once."""
        if self._desk is None:
            from shopledger.desk.context import open_desk

            self._desk = open_desk(
                self.ledger,
                self.operator,
                self.now,
                self.today,
                long_ago_is_meant=self.long_ago_is_meant,
                told=_tell_of_upgrade,
            )
            self.stored = self._desk.ledger.stored
            click.get_current_context().find_root().call_on_close(self._leave)
            if self._desk.warning:
                click.echo(visible(self._desk.warning), err=True)
        return self._desk

    @contextlib.contextmanager
    def aside(self) -> Iterator[Desk]:
        """Give the desk for a look, or for keeping what was answered: neither is anything that was stored."""
        desk = self.desk()
        before = len(self.stored)
        yield desk
        self.stored[before:] = [numbers for numbers in self.stored[before:] if numbers]

    def _leave(self) -> None:
        """Close the ledger; whoever stored something is told first which papers are to come, and what is due."""
        try:
            if self._desk is not None and self.stored:
                _tell_what_is_due(self._desk)
        finally:
            self.close()

    def close(self) -> None:
        """Close the ledger, as far as it is open; nothing is told."""
        if self._desk is not None:
            self._desk.close()
            self._desk = None


def today_of_run() -> date:
    """Give the day that is today for whoever types: the run's, or the clock's before there is one."""
    ctx = click.get_current_context(silent=True)
    run = None if ctx is None else ctx.find_object(Run)
    if run is not None:
        return run.today
    around = None if ctx is None else ctx.find_object(Surroundings)
    return (around or Surroundings()).clock().date()


def _tell_of_upgrade(upgrade: Upgrade) -> None:
    """Say before and after that a ledger is brought up to date, and where it lies as it was."""
    from shopledger.store.revision import PROGRAM

    before = upgrade.version_before
    if not upgrade.done:
        click.echo(
            visible(
                f"The ledger {upgrade.place} is of shopledger {before}. It is copied and the copy checked, then it is "
                f"brought to {PROGRAM}; nobody else can write to it meanwhile."
            ),
            err=True,
        )
        return
    said = [f"Copied to {Path(upgrade.copy.folder) / upgrade.copy.file}, checked."] if upgrade.copy else []
    said.append(f"The ledger is at shopledger {PROGRAM} now; 'shopledger changes --since {before}' says what is new.")
    if upgrade.cleared:
        said.append(f"Older copies that are kept no longer were removed: {', '.join(upgrade.cleared)}.")
    click.echo(visible(" ".join(said)), err=True)


def _tell_what_is_due(desk: Desk) -> None:
    from shopledger.desk.outbox import left_waiting
    from shopledger.desk.reminding import to_be_told
    from shopledger.errors import ShopledgerError

    # What was asked for is done; a reminder that fails is none.
    with contextlib.suppress(ShopledgerError, OSError):
        _remind(left_waiting(desk))
        for sentence in to_be_told(desk):
            click.echo(visible(sentence), err=True)


def pass_run(command: Callable[..., None]) -> Callable[..., None]:
    """Hand the run to a command as its first value."""
    return click.make_pass_decorator(Run)(command)


def _remind(waiting: Sequence[WaitingPaper]) -> None:
    if waiting:
        names = visible(", ".join(paper.name for paper in waiting))
        click.echo(f"Stored, but not on paper yet: {names}. See 'shopledger paper again'.", err=True)


def _account_name() -> str:
    import getpass

    with contextlib.suppress(OSError, KeyError, ImportError):
        return getpass.getuser()
    message = "This computer does not say who you are. Give your name with --operator."
    raise click.UsageError(message)
