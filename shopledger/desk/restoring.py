"""Putting a copy in the place of the ledger: looked at first, with what would be gone, and the present one kept."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import closing, contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from shopledger.desk.books.payee_forms import erase_w9s_again
from shopledger.desk.copies import readable
from shopledger.desk.erasing import apply_remembered
from shopledger.desk.watching import as_it_is
from shopledger.errors import RefusedError, StoreError
from shopledger.files.writing import written_whole
from shopledger.ledger.audit import Deed, Subject
from shopledger.ledger.backups import COUNTED
from shopledger.ledger.books.journal import Head
from shopledger.ledger.books.payee_forms import W9Erasure
from shopledger.ledger.books.proofs import KeptHead
from shopledger.ledger.erasing import Erasure
from shopledger.store.backups.checking import look_into
from shopledger.store.backups.heads import head_of, holds
from shopledger.store.backups.online import copy_beside
from shopledger.store.backups.restoring import (
    bring_up_to_date,
    free_beside,
    make_a_files_own,
    put_into_file,
    put_where_none_is,
    set_aside,
    working_copy,
)
from shopledger.store.ledger import Ledger
from shopledger.store.opening import create_ledger, open_ledger
from shopledger.store.places import ledger_path, ledger_url, place_of
from shopledger.store.refusals import (
    BackupFailedError,
    NotALedgerError,
    RestoreFailedError,
    SchemaAheadError,
    UnreachableError,
)
from shopledger.store.revision import HEAD_REVISION
from shopledger.store.usual_place import default_ledger_path
from shopledger.store.work import UnitOfWork


@dataclass(frozen=True, slots=True)
class Present:
    """What lies where the copy is to go."""

    there: bool
    head: Head | None = None
    """None where there is no ledger, or one that cannot be read."""
    trouble: str = ""
    """Why it cannot be read."""
    counters: Mapping[str, int] = field(default_factory=dict)
    w9_erasures: tuple[W9Erasure, ...] = ()
    erasures: tuple[Erasure, ...] = ()
    """Who was erased in it, and may still be known to an older copy."""


@dataclass(frozen=True, slots=True)
class Restoring:
    """A copy that was looked into and may be put back, beside what lies there now."""

    url: str
    file: Path
    draft: Path
    head: Head
    made_at: str
    """The state of the copy's tables when it was made."""
    present: Present
    contained: bool
    """Whether the present ledger holds all that the copy holds."""
    counters: Mapping[str, int]
    """The last numbers in the copy."""

    @property
    def place(self) -> str:
        """Where the ledger is, fit to be shown."""
        return place_of(self.url)

    @property
    def gone(self) -> int:
        """How many entries of the present ledger the copy does not hold."""
        if self.present.head is None:
            return 0
        return self.present.head.count - (self.head.count if self.contained else 0)

    @property
    def printed(self) -> dict[str, int]:
        """The last numbers that the present ledger gave, where they are higher than the copy's."""
        return {kind: last for kind, last in self.present.counters.items() if last > self.counters[kind]}


@dataclass(frozen=True, slots=True)
class Restored:
    """What came of it."""

    head: Head
    kept: Path | None
    """Where the ledger lies that was there before."""
    raised: Mapping[str, int]
    """Counters that go on from a higher number than the copy's."""
    erased: tuple[str, ...] = ()
    """Who was erased since the copy was made, and now again, by number."""


@contextmanager
def looked_at(file: Path, secret: str, given: str | None) -> Iterator[Restoring]:
    """Look into a copy and at the ledger it is to replace; the copy is worked on in a draft that goes at the end.

    Raises CopyLockedError, UnsettledCopyError, BackupFailedError, SchemaAheadError, JournalBrokenError.
    """
    url = ledger_url(given)
    beside = ledger_path(url) or default_ledger_path().with_name("server.db")
    beside.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    present = _present(url)
    with readable(file, secret, beside) as opened, working_copy(opened, beside) as draft:
        made_at = look_into(draft).revision
        bring_up_to_date(draft, made_at)
        looked = look_into(draft, chain=True)
        if looked.elsewhere and ledger_path(url) is not None:
            make_a_files_own(draft)
            looked = look_into(draft, chain=True)
        head = looked.head
        if head is None:
            raise BackupFailedError(str(file), "its tables could not be brought up to date")
        with closing(Ledger(ledger_url(str(draft)))) as copy, copy.reading() as work:
            counters = work.backups.counted(COUNTED)
        yield Restoring(url, file, draft, head, made_at, present, _contains(url, present, head), counters)


def restore(
    plan: Restoring, operator: str, now: datetime, replacing: str, counters: Mapping[str, int] | None = None
) -> Restored:
    """Put the copy in the place of the ledger that `replacing` names by its head; that one is kept beside it.

    No number that was printed is given again: counters go on from those given here, else from the present ledger's.
    """
    if plan.present.there:
        _refuse_another(plan.present, replacing)
    raised = {kind: last for kind, last in {**plan.printed, **(counters or {})}.items() if last > plan.counters[kind]}
    kept = _put_back(plan)
    with closing(open_ledger(plan.url)) as ledger:
        with ledger.reading() as work:
            if not holds(work, plan.head):
                raise RestoreFailedError(plan.place, f"it ends at {head_of(work)} and not at {plan.head}")
        with ledger.writing(operator, now) as work:
            _set_right(work, plan, raised)
            erased = apply_remembered(work, plan.url, plan.present.erasures)
            forms = erase_w9s_again(work, plan.url, plan.present.w9_erasures)
        if erased or forms:
            ledger.pack()
        as_it_is(ledger, ledger.written or plan.head, now)
    return Restored(plan.head, kept, raised, tuple(each.whose for each in erased))


def _set_right(work: UnitOfWork, plan: Restoring, raised: Mapping[str, int]) -> None:
    """Do what has to be done again in a ledger that was put back, and note where it came from."""
    for kind, last in raised.items():
        work.backups.leave_out(kind, last, f"printed before {plan.file.name} was put back")
    before = str(plan.present.head) if plan.present.head else "nothing that could be read"
    work.audit.note(Deed.RESTORED_BACKUP, Subject.LEDGER, detail=f"{plan.head} in the place of {before}")


def _present(url: str) -> Present:
    """Look at what lies at the ledger's place, without bringing it up to date.

    A file that a newer program wrote may be put aside whole, which is how one goes back. Raises SchemaAheadError for a
    server's, whose tables would have to change.
    """
    path = ledger_path(url)
    if path is not None and not path.exists():
        return Present(there=False)
    ledger = Ledger(url)
    try:
        return _read(ledger)
    except UnreachableError:
        raise
    except SchemaAheadError as error:
        if path is None:
            raise
        return Present(there=True, trouble=f"{error.newer} wrote it, and this program cannot read it")
    except NotALedgerError as error:
        # An empty database on a server; a file that is no ledger is not ours to replace unseen.
        return Present(there=path is not None, trouble=str(error))
    except StoreError as error:
        return Present(there=True, trouble=str(error))
    finally:
        ledger.close()


def _read(ledger: Ledger) -> Present:
    revision = ledger.revision()
    if revision != HEAD_REVISION:
        ledger.refuse_newer(revision)
        return Present(there=True, trouble=f"it is of an earlier state ({revision})")
    with ledger.reading() as work:
        counters, erasures = work.backups.counted(COUNTED), work.erasures.all()
        w9s = work.w9s.erasures()
        return Present(there=True, head=head_of(work), counters=counters, erasures=erasures, w9_erasures=w9s)


def _contains(url: str, present: Present, head: Head) -> bool:
    if present.head is None:
        return False
    with closing(Ledger(url)) as ledger, ledger.reading() as work:
        return holds(work, head)


def _refuse_another(present: Present, replacing: str) -> None:
    """Refuse to replace another ledger than was shown: one that cannot be read is called `unreadable`."""
    if present.head is None:
        if replacing != "unreadable":
            raise RefusedError(
                "the ledger to replace", f"'{replacing}'", "the present one cannot be read", "Call it 'unreadable'."
            )
        return
    named = KeptHead.read(replacing)
    if named.count != present.head.count or not named.fits(present.head.hash):
        raise RefusedError(
            "the head to replace", str(named), f"the ledger ends at {present.head}", "Look at both again."
        )


def _put_back(plan: Restoring) -> Path | None:
    """Keep what is there, and put the copy in its place; gives where the former ledger lies."""
    path = ledger_path(plan.url)
    if path is None:
        return _put_onto_server(plan)
    if plan.present.head is None:
        kept = set_aside(path)
        put_where_none_is(plan.draft, path)
        return kept
    kept = copy_beside(path, f"{plan.present.head.count}-entries")
    put_into_file(plan.draft, path)
    return kept


def _put_onto_server(plan: Restoring) -> Path | None:
    from shopledger.store.backups.tables import fill_server  # noqa: PLC0415 - a file needs none of it

    kept = None
    if not plan.present.there:
        create_ledger(plan.url).close()
    elif plan.present.head is None:
        raise RestoreFailedError(plan.place, plan.present.trouble)
    else:
        kept = _copy_of_server(plan.url, plan.present.head)
    fill_server(ledger_url(str(plan.draft)), plan.url)
    return kept


def _copy_of_server(url: str, head: Head) -> Path:
    """Copy the ledger on a server into the user's data folder, checked, under a name that no file has."""
    from shopledger.store.backups.tables import copy_server  # noqa: PLC0415 - as above

    target = free_beside(default_ledger_path().with_name("server.db"), f"at-{head.count}-entries")
    with written_whole(target) as draft:
        copy_server(url, draft)
        if look_into(draft).head != head:
            raise BackupFailedError(place_of(url), "somebody wrote to it meanwhile")
    return target
