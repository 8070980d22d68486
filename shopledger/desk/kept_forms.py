"""Forms that are begun and not sent yet: kept at each change, found again, sent once."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, timedelta
from typing import TYPE_CHECKING

from shopledger.errors import LedgerError
from shopledger.ledger.forms import KEPT_DAYS, KeptForm, Typed

if TYPE_CHECKING:
    from shopledger.desk.context import Desk
    from shopledger.store.work import UnitOfWork


class SentBeforeError(LedgerError):
    """A form comes a second time that was stored the first time."""

    page: str
    """The page that it led to, where that is known."""
    sentence = "this was recorded already. Nothing was stored twice."


@dataclass(slots=True)
class Sending:
    """A form on its way: under a number of its own, so that it is stored once however often it comes."""

    once: str
    kind: str = ""
    about: str = ""
    """What of it was kept, which goes once it is stored."""
    stored: bool = field(default=False)

    def take(self, work: UnitOfWork) -> None:
        """Note the number in the first transaction that stores something. Raises SentBeforeError."""
        if self.stored:
            return
        before = work.forms.sent(self.once)
        if before is not None:
            raise SentBeforeError(before)
        work.forms.note_sent(self.once)
        if self.kind:
            work.forms.drop(self.kind, self.about)


def keep_form(desk: Desk, kind: str, about: str, typed: Typed) -> None:
    """Keep what was typed so far into a form about one thing, over what was kept before."""
    oldest = (desk.now - timedelta(days=KEPT_DAYS)).astimezone(UTC).isoformat(timespec="seconds")
    with desk.writing() as work:
        work.forms.drop_older(oldest)
        work.forms.keep(kind, about, typed)


def kept_form(desk: Desk, kind: str, about: str) -> KeptForm | None:
    """Give what was kept of a form, or None."""
    with desk.reading() as work:
        return next(iter(work.forms.kept(kind, about)), None)


def kept_forms(desk: Desk) -> tuple[KeptForm, ...]:
    """Give all forms that were begun, the newest first."""
    with desk.reading() as work:
        return work.forms.kept()


def drop_form(desk: Desk, kind: str, about: str) -> bool:
    """Throw away what was kept of a form; tells whether there was anything."""
    with desk.writing() as work:
        return work.forms.drop(kind, about)


def sent_before(desk: Desk, once: str) -> str | None:
    """Give the page that a form led to which was stored under a number before; None where none was."""
    with desk.reading() as work:
        return work.forms.sent(once)


def led_to(desk: Desk, once: str, page: str) -> None:
    """Note which page a form led to that was sent under a number."""
    with desk.writing() as work:
        work.forms.lead_to(once, page)
