"""The desk: opening the ledger that is meant, looking where it stands, and what every deed needs."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, closing, contextmanager
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from shopledger.errors import LedgerError, PaperworkError, RefusedError, StoreError

if TYPE_CHECKING:
    from shopledger.desk.kept_forms import Sending
    from shopledger.ledger.audit import Deed, Subject
    from shopledger.optics.findings import Finding
    from shopledger.store.ledger import Ledger
    from shopledger.store.revision import Upgrade
    from shopledger.store.work import UnitOfWork


@dataclass(frozen=True, slots=True)
class Desk:
    """An open ledger, the operator whose name goes on every entry, and the clock as read once."""

    ledger: Ledger
    operator: str
    now: datetime
    today: date
    own_templates: Path | None = None
    """The owner's folder of changed papers' wording, which win over the shipped ones."""
    books_begin: date | None = None
    """Where somebody said that a day long ago is meant so: before which day it cannot be."""
    sending: Sending | None = None
    """The form that is on its way, where it is one: it is stored once."""
    warning: str = ""
    """What is wrong with the ledger as a whole, and is said at every command until it is right."""

    def close(self) -> None:
        """Close the ledger, and keep its head outside it."""
        if self.ledger.written is not None and not self.warning:
            from shopledger.desk.watching import keep_head  # noqa: PLC0415 - whoever only reads keeps nothing

            keep_head(self.ledger, self.ledger.written, self.now)
        self.ledger.close()

    def reading(self) -> AbstractContextManager[UnitOfWork]:
        """Look into the ledger without changing it."""
        return self.ledger.reading()

    @contextmanager
    def writing(self) -> Iterator[UnitOfWork]:
        """Change the ledger: everything inside is stored together, or nothing is."""
        with self.ledger.writing(self.operator, self.now) as work:
            if self.sending is not None:
                self.sending.take(work)
            yield work
        if self.sending is not None:
            self.sending.stored = True

    @contextmanager
    def noting(self, deed: Deed, kind: Subject, number: int | None = None) -> Iterator[UnitOfWork]:
        """Look at something private: that it was done is noted with it, and that it was refused by itself."""
        try:
            with self.writing() as work:
                yield work
                work.audit.note(deed, kind, number)
        except (LedgerError, PaperworkError):
            with self.writing() as work:
                work.audit.note(deed, kind, number, refused=True)
            raise

    def day(self, given: date | None, what: str = "day") -> date:
        """Give the day of a deed, today if none; one long ago needs a yes, and lies in the shop's books."""
        day = self.past_day(given, what)
        finding = long_ago(day, self.today)
        if finding is None:
            return day
        if self.books_begin is None:
            from shopledger.desk.refusals import FindingsRefusedError  # noqa: PLC0415 - it imports the rules of orders

            raise FindingsRefusedError((finding,))
        if day < self.books_begin:
            allowed = f"the shop's books hold no day before {self.books_begin.isoformat()}"
            raise RefusedError(what, day.isoformat(), allowed, "Check the year.")
        return day

    def past_day(self, given: date | None, what: str = "day") -> date:
        """Give the day meant, today if none, and refuse one that has not come yet."""
        if given is not None and given > self.today:
            raise RefusedError(
                what,
                given.isoformat(),
                f"it lies after today, {self.today.isoformat()}",
                "Type the day it happened.",
            )
        return given or self.today


@dataclass(frozen=True, slots=True)
class LedgerPlace:
    """Where a ledger is: its address, and the same fit to be shown."""

    url: str
    shown: str
    """The path of a file; a database's address without its password."""


def long_ago(day: date, today: date) -> Finding | None:
    """Ask about a deed's day that lies long ago."""
    from shopledger.ledger.limits import DAY_LONG_AGO, LONG_AGO, is_long_ago  # noqa: PLC0415 - look-ups need none of it
    from shopledger.optics.findings import Finding, Severity  # noqa: PLC0415 - as above

    if not is_long_ago(day, today):
        return None
    sentence = f"{day.isoformat()} lies {(today - day).days} days before today, {today.isoformat()}."
    source = "common practice, no source"
    return Finding(Severity.WARNING, DAY_LONG_AGO, "day", day.isoformat(), f"{LONG_AGO} days", source, sentence)


def open_desk(
    given: str | None,
    operator: str,
    now: datetime,
    today: date,
    *,
    long_ago_is_meant: bool = False,
    told: Callable[[Upgrade], None] = lambda _upgrade: None,
) -> Desk:
    """Open the ledger that was named, or the one in the user's data folder; `told` is called about an upgrade of it."""
    from shopledger.desk.watching import other_past  # noqa: PLC0415 - as below
    from shopledger.store.opening import open_ledger  # noqa: PLC0415 - the database costs most of a start
    from shopledger.store.places import ledger_path, ledger_url  # noqa: PLC0415 - as above
    from shopledger.store.revision import Upgrading  # noqa: PLC0415 - as above
    from shopledger.store.usual_place import default_ledger_path  # noqa: PLC0415 - as above

    url = ledger_url(given)
    beside = (ledger_path(url) or default_ledger_path()).parent
    ledger = open_ledger(url, Upgrading(now, told))
    begin = _books_begin(ledger, today) if long_ago_is_meant else None
    return Desk(ledger, operator, now, today, beside / "templates", begin, warning=other_past(ledger))


def _books_begin(ledger: Ledger, today: date) -> date:
    """Give the first day that the shop's books may hold, by the day on which it was set up."""
    from shopledger.ledger.limits import books_begin  # noqa: PLC0415 - as above

    with ledger.reading() as work:
        first = work.audit.first_day()
    return books_begin(today if first is None else min(first, today))


def ledger_place(given: str | None) -> LedgerPlace:
    """Say where the ledger is that was named, or the one in the user's data folder; nothing is opened."""
    from shopledger.store.places import ledger_url, place_of  # noqa: PLC0415 - as above

    url = ledger_url(given)
    return LedgerPlace(url, place_of(url))


@dataclass(frozen=True, slots=True)
class LedgerStanding:
    """A ledger as it is found, without anything of it being changed: the state of its tables and who wrote last."""

    shown: str
    revision: str = ""
    writer: str = ""
    """The version of the program that wrote last, where the ledger says."""
    known: bool = False
    """Whether this program knows the state of its tables."""
    trouble: str = ""
    """Why it cannot be looked at, if so."""


def ledger_standing(given: str | None) -> LedgerStanding:
    """Look at the state of the ledger that was named, or of the one in the user's data folder."""
    from shopledger.store.ledger import Ledger, is_known  # noqa: PLC0415 - as above
    from shopledger.store.places import ledger_path, ledger_url, place_of  # noqa: PLC0415 - as above

    url = ledger_url(given)
    path, shown = ledger_path(url), place_of(url)
    if path is not None and not path.exists():
        return LedgerStanding(shown, trouble="there is none")
    try:
        with closing(Ledger(url)) as ledger:
            found = ledger.revision()
            return LedgerStanding(shown, found, ledger.written_by(), is_known(found))
    except StoreError as error:
        return LedgerStanding(shown, trouble=str(error))
