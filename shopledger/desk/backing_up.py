"""Copies of the ledger: made and checked in every place, and thinned out there once a new one is safe."""

from __future__ import annotations

import os
import secrets
import shutil
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path

from shopledger.desk.context import Desk
from shopledger.desk.thinning import PlaceOutcome, thinned_out
from shopledger.errors import ShopledgerError
from shopledger.files.drafts import drop_draft
from shopledger.files.refusals import not_written
from shopledger.files.writing import new_draft, written_whole
from shopledger.ledger.audit import Deed, Subject
from shopledger.ledger.backups import BackupKey, BackupPlace, BackupTerms, LedgerCopy
from shopledger.ledger.books.journal import Head
from shopledger.store.backups.beside import lay_beside
from shopledger.store.backups.checking import look_into, refuse_other_head
from shopledger.store.backups.heads import write_head
from shopledger.store.backups.lists import begin_list, has_list, write_down
from shopledger.store.backups.online import take_copy
from shopledger.store.backups.sealing import hash_of, read_public, seal, settle
from shopledger.store.places import ledger_path, place_of
from shopledger.store.refusals import BackupFailedError, NoPlaceError, NoPlacesError
from shopledger.store.revision import HEAD_REVISION, PROGRAM
from shopledger.store.usual_place import default_ledger_path


@dataclass(frozen=True, slots=True)
class _Master:
    """The checked copy that those in all places are made of."""

    file: Path
    sha256: str
    head: Head
    name: str
    keys: tuple[str, ...]


def make_backup(desk: Desk, into: Sequence[Path] = (), *, plain: bool = False) -> tuple[PlaceOutcome, ...]:
    """Copy the ledger into its places, or into these folders; each copy is checked on the medium it lies on.

    One place that is not there or fails stops none of the others. Raises NoPlacesError where none is known.
    """
    places, keys = _asked_for(desk, into)
    there = [place for place in places if has_list(Path(place.folder))]
    missing = [PlaceOutcome(place, reason=str(NoPlaceError(place.folder))) for place in places if place not in there]
    if not there:
        return tuple(missing)
    # Read first: whoever cannot encrypt is told so before anything is copied.
    locks = () if plain else tuple(read_public(key.public) for key in keys)
    with _master(desk, there, locks) as master:
        made = [_copied(desk, place, master) for place in there]
    _note(desk, made)
    terms = backup_terms(desk)
    thinned = [thinned_out(desk, terms, outcome) if outcome.copy else outcome for outcome in made]
    return (*thinned, *missing)


def backup_terms(desk: Desk) -> BackupTerms:
    """Give what the owner set."""
    with desk.reading() as work:
        return work.backups.terms()


def change_terms(desk: Desk, terms: BackupTerms) -> None:
    """Change after how many days to remind."""
    with desk.writing() as work:
        before = work.backups.terms()
        new = replace(terms, series=before.series)
        work.backups.save_terms(new)
        work.audit.changed(Subject.LEDGER, None, before, new, detail="when to remind of backups")


def places_of(desk: Desk) -> tuple[BackupPlace, ...]:
    """Give the places of the ledger."""
    with desk.reading() as work:
        return work.backups.places()


def add_place(desk: Desk, folder: Path, *, away: bool) -> BackupPlace:
    """Begin a place for copies in a folder, with its list and how to open what lies in it.

    The folder is made if it is missing, but not the one around it: that may be a stick which is not plugged in.
    """
    place = BackupPlace(os.path.realpath(folder), away)
    try:
        folder.mkdir(mode=0o700, exist_ok=True)
    except OSError as error:
        raise not_written(folder, error) from error
    _begin(folder)
    with desk.writing() as work:
        return work.backups.add_place(place)


def remove_place(desk: Desk, folder: Path) -> BackupPlace:
    """Forget a place; what lies in it stays."""
    with desk.writing() as work:
        found = next((place for place in work.backups.places() if place.folder == os.path.realpath(folder)), None)
        if found is None:
            raise NoPlaceError(str(folder))
        work.backups.remove_place(found)
        return found


def same_disk(desk: Desk, folder: Path) -> bool:
    """Tell whether a folder lies on the very disk that the ledger's file lies on."""
    file = ledger_path(desk.ledger.url)
    return file is not None and file.stat().st_dev == folder.stat().st_dev


def _asked_for(desk: Desk, into: Sequence[Path]) -> tuple[list[BackupPlace], tuple[BackupKey, ...]]:
    with desk.reading() as work:
        known, keys = work.backups.places(), work.backups.public_keys()
    if not into:
        if not known:
            raise NoPlacesError
        return list(known), keys
    by_folder = {place.folder: place for place in known}
    folders = dict.fromkeys(map(os.path.realpath, into))
    for folder in folders:
        if folder not in by_folder and Path(folder).exists():
            _begin(Path(folder))
    return [by_folder.get(folder) or BackupPlace(folder, away=False) for folder in folders], keys


def _begin(folder: Path) -> None:
    try:
        begin_list(folder)
        lay_beside(folder)
    except OSError as error:
        raise not_written(folder, error) from error


@contextmanager
def _master(desk: Desk, places: Sequence[BackupPlace], keys: tuple[str, ...]) -> Iterator[_Master]:
    """Copy the ledger into a draft beside it and check that copy, once for all places."""
    url = desk.ledger.url
    file = ledger_path(url)
    draft = new_draft(file or _made(default_ledger_path()))
    try:
        if file is not None:
            take_copy(file, draft)
        else:
            from shopledger.store.backups.tables import copy_server  # noqa: PLC0415 - a file needs none of it

            copy_server(url, draft)
        looked = look_into(draft)
        with desk.reading() as work:
            head = refuse_other_head(work, looked, place_of(url))
        yield _Master(draft, hash_of(draft), head, _free_name(desk, places, sealed=bool(keys)), keys)
    finally:
        drop_draft(draft)


def _made(path: Path) -> Path:
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    return path


def _free_name(desk: Desk, places: Sequence[BackupPlace], *, sealed: bool) -> str:
    """Name the copy by its ledger and moment; no file in any place has that name."""
    stem = f"shopledger-{_series(desk)}-{desk.now:%Y-%m-%d-%H%M%S}"
    ending = ".db.age" if sealed else ".db"
    again = 1
    while True:
        name = f"{stem}{'' if again == 1 else f'-{again}'}{ending}"
        if not any((Path(place.folder) / name).exists() for place in places):
            return name
        again += 1


def _series(desk: Desk) -> str:
    """Give the word that the copies of this ledger share, made with the first of them."""
    terms = backup_terms(desk)
    if terms.series:
        return terms.series
    with desk.writing() as work:
        terms = work.backups.terms()
        if not terms.series:
            terms = replace(terms, series=secrets.token_hex(3))
            work.backups.save_terms(terms)
    return terms.series


def _copied(desk: Desk, place: BackupPlace, master: _Master) -> PlaceOutcome:
    """Put a copy into a place, checked there before it gets its name, and write it into the place's list."""
    folder = Path(place.folder)
    try:
        with written_whole(folder / master.name) as draft:
            _fill(draft, master)
            sha256, size = hash_of(draft), draft.stat().st_size
        copy = LedgerCopy(
            day=desk.now.date(),
            folder=place.folder,
            file=master.name,
            away=place.away,
            size=size,
            sha256=sha256,
            head=write_head(master.head),
            revision=HEAD_REVISION,
            program=PROGRAM,
            locked_with=master.keys,
        )
        write_down(folder, copy)
        lay_beside(folder)
    except ShopledgerError as error:
        return PlaceOutcome(place, reason=str(error))
    except OSError as error:
        return PlaceOutcome(place, reason=str(not_written(folder / master.name, error)))
    return PlaceOutcome(place, copy)


def _fill(draft: Path, master: _Master) -> None:
    if master.keys:
        seal(master.file, master.sha256, draft, master.keys)
        return
    shutil.copyfile(master.file, draft)
    settle(draft)
    if hash_of(draft) != master.sha256:
        raise BackupFailedError(str(draft.parent), "what was read back is not what was written")


def _note(desk: Desk, outcomes: Sequence[PlaceOutcome]) -> None:
    """Keep in the ledger which copies were made."""
    copies = [outcome.copy for outcome in outcomes if outcome.copy]
    if copies:
        with desk.writing() as work:
            for copy in copies:
                work.backups.add(copy)
            work.audit.note(Deed.MADE_BACKUP, Subject.LEDGER, file_name=copies[0].file)
