"""The copy of a ledger from before an upgrade, in the place for such copies beside it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import suppress
from datetime import UTC, date, datetime
from pathlib import Path
from types import TracebackType
from typing import Final, Self

from shopledger.errors import ShopledgerError
from shopledger.files.writing import made_folder, written_whole
from shopledger.ledger.backups import LedgerCopy, superseded
from shopledger.store.backups.beside import lay_beside
from shopledger.store.backups.checking import look_into
from shopledger.store.backups.lists import begin_list, listed, take_away, write_down
from shopledger.store.backups.online import copy_to
from shopledger.store.backups.sealing import hash_of
from shopledger.store.places import copies_of, ledger_path
from shopledger.store.revision import PROGRAM

_FORMER: Final = r"{stem}-at-(?P<revision>\w+)(-\d+)?{suffix}"
"""What 0.1.0 called such copies, right beside the ledger."""


class Keeping:
    """Keeps a ledger as it is before an upgrade; leaves nothing where the upgrade fails."""

    def __init__(self, url: str, found: str, now: datetime) -> None:
        self._url, self._found, self._now = url, found, now
        self._path = ledger_path(url)
        self.folder = copies_of(url)
        self.kept: LedgerCopy | None = None
        self._is_new = False

    def __enter__(self) -> Self:
        """Begin; nothing is copied yet."""
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, at: TracebackType | None) -> None:
        """Remove the copy that was made of a ledger which stayed as it was."""
        if kind is not None and self.kept is not None and self._is_new:
            take_away(self.folder, self.kept, self._now.date())

    def copy(self, state: str) -> None:
        """Copy the ledger, check the copy, and write it into the list; nobody writes to the ledger meanwhile.

        Where another program brought it up to date at the same moment, that one has the copy. What a run that was
        killed copied already, byte for byte, is not kept twice.
        """
        if state != self._found:
            return
        made_folder(self.folder)
        begin_list(self.folder)
        lay_beside(self.folder)
        self._take_in_former()
        target = self._free_name()
        with written_whole(target) as draft:
            self._copy_into(draft)
        copy = self._described(target, self._now.date(), self._found)
        earlier = next((each for each in listed(self.folder) if each.sha256 == copy.sha256), None)
        if earlier is not None and (self.folder / earlier.file).is_file():
            target.unlink()
            self.kept = earlier
            return
        self.kept, self._is_new = copy, True
        write_down(self.folder, copy)

    def clear(self) -> tuple[str, ...]:
        """Remove the copies that are kept no longer by the rule for backups, and name them."""
        day = self._now.date()
        return tuple(each.file for each in superseded(listed(self.folder)) if take_away(self.folder, each, day))

    def _copy_into(self, draft: Path) -> None:
        if self._path is not None:
            copy_to(self._path, draft)
        else:
            from shopledger.store.backups.older_server import copy_older_server  # noqa: PLC0415 - a file needs none

            copy_older_server(self._url, self._found, draft)
            look_into(draft)

    def _described(self, file: Path, day: date, revision: str) -> LedgerCopy:
        return LedgerCopy(
            day=day,
            folder=str(self.folder),
            file=file.name,
            away=False,
            size=file.stat().st_size,
            sha256=hash_of(file),
            head="",
            revision=revision,
            program=PROGRAM,
        )

    def _free_name(self) -> Path:
        stem = f"shopledger-before-{PROGRAM}-{self._now:%Y-%m-%d-%H%M%S}"
        again, target = 1, self.folder / f"{stem}.db"
        while target.exists():
            again += 1
            target = self.folder / f"{stem}-{again}.db"
        return target

    def _take_in_former(self) -> None:
        """Take in the copies that 0.1.0 left right beside the ledger, with the day on which each was made."""
        for file, revision in _former(self._path) if self._path is not None else ():
            target = self.folder / file.name
            with suppress(OSError, ShopledgerError):
                if not target.exists() and look_into(file).revision == revision:
                    day = datetime.fromtimestamp(file.stat().st_mtime, UTC).date()
                    file.rename(target)
                    write_down(self.folder, self._described(target, day, revision))


def _former(path: Path) -> Iterator[tuple[Path, str]]:
    from shopledger.store.migrate import known_revisions  # noqa: PLC0415 - whoever lists copies needs no alembic

    named = re.compile(_FORMER.format(stem=re.escape(path.stem), suffix=re.escape(path.suffix)))
    known = known_revisions()
    for file in sorted(path.parent.iterdir()):
        found = named.fullmatch(file.name)
        if found is not None and found["revision"] in known:
            yield file, found["revision"]
