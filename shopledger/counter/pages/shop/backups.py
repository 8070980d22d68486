"""Copies of the ledger: made, looked at, their places, and put back."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Final

from flask import abort, render_template
from werkzeug.wrappers import Response

from shopledger.counter.desks import claim, desk, station
from shopledger.counter.forms.answering import Answer, Done, fill, leave
from shopledger.counter.forms.fields import Choice, chosen, form, line, whole
from shopledger.counter.forms.filled import Values
from shopledger.counter.pages.shop.part import BOTH, pages
from shopledger.counter.plain_words import plain
from shopledger.counter.putting_back import KEY, NUMBERS, put_back
from shopledger.desk import backing_up
from shopledger.desk.backup_keys import keys_of
from shopledger.desk.copies import PlaceState, before_upgrades, check_places, room_beside, states_of
from shopledger.desk.thinning import PlaceOutcome
from shopledger.ledger.backups import BackupPlace, BackupTerms, LedgerCopy

COPIES: Final = ("/shop/backups", "Copies")
SAME_DISK: Final = " It lies on the same disk as the ledger: it is outside only if something copies it there."
UPGRADES: Final = 0
"""Stands in the address for the place of copies from before upgrades."""

FOLDER: Final = line(
    "folder",
    "Folder",
    longest=400,
    numbers=True,
    hint="As the file manager shows it, such as /media/stick/copies or E:\\copies. It is made if it is missing.",
    about=("place",),
)
AWAY: Final = chosen(
    "away",
    "It lies",
    (
        Choice("away", "outside this computer", "a stick, another machine, a folder that is copied elsewhere"),
        Choice("here", "in this computer"),
    ),
)
DAYS: Final = whole("days", "Remind when the last copy is older than", needed=False, unit="days", width="middle")
AWAY_DAYS: Final = whole(
    "away_days",
    "Remind when the last one outside this computer is older than",
    needed=False,
    unit="days",
    about=("days outside this computer",),
    width="middle",
)


@pages.route("/backups", methods=BOTH)
def backups() -> Answer:
    """Show the places with their copies, and make a new copy."""

    def make(_: Values) -> Done:
        claim()
        return Done("/shop/backups", _made(backing_up.make_backup(desk())))

    return fill(
        form(),
        make,
        "shop/backups.html",
        places=_numbered(states_of(backing_up.places_of(desk()))),
        upgrades=_upgrades(),
        keys=keys_of(desk()),
        terms=backing_up.backup_terms(desk()),
        today=station().today(),
    )


@pages.get("/backups/check")
def check_backups() -> str:
    """Look into every copy that can be reached."""
    reached = [Path(each.place.folder) for each in states_of(backing_up.places_of(desk())) if each.there]
    folders = (*reached, *before_upgrades(station().ledger))
    found = check_places(folders, room=room_beside(station().ledger))
    return render_template("shop/checked.html", found=found)


@pages.route("/backups/places/new", methods=BOTH)
def new_backup_place() -> Answer:
    """Add a folder for copies."""

    def store(values: Values) -> Done:
        away = values.of(AWAY) == "away"
        folder = Path(values.of(FOLDER)).expanduser()
        added = backing_up.add_place(desk(), folder, away=away)
        same = away and backing_up.same_disk(desk(), folder)
        more = SAME_DISK if same else ""
        return Done("/shop/backups", f"Copies go to {added.folder} from now on.{more}")

    return fill(
        form(FOLDER, AWAY),
        store,
        "form.html",
        heading="A place for copies",
        lead="Best is a stick or a folder on another machine, which is not lost together with this computer.",
        button="Add the place",
        back=COPIES,
    )


@pages.post("/backups/places/<int:number>/remove")
def remove_backup_place(number: int) -> Response:
    """Let no more copies go to a place."""
    gone = backing_up.remove_place(desk(), Path(_place(number).place.folder))
    return leave("/shop/backups", f"Copies go to {gone.folder} no more; those in it stay.")


@pages.route("/backups/reminders", methods=BOTH)
def backup_reminders() -> Answer:
    """Change after how many days to be reminded."""
    terms = backing_up.backup_terms(desk())

    def store(values: Values) -> Done:
        backing_up.change_terms(desk(), BackupTerms(values.of(DAYS), values.of(AWAY_DAYS), terms.series))
        return Done("/shop/backups", "The reminders were changed.")

    return fill(
        form(DAYS, AWAY_DAYS),
        store,
        "form.html",
        start={"days": [str(terms.days or "")], "away_days": [str(terms.away_days or "")]},
        heading="Reminders of copies",
        lead="Left empty: never reminded.",
        button="Store the change",
        back=COPIES,
    )


@pages.route("/backups/copies/<int:place>/<name>", methods=BOTH)
def restore(place: int, name: str) -> Answer:
    """Look at what putting a copy back would change, and put it back with a yes."""
    copy = next((each for each in _copies_at(place) if each.file == name), None)
    if copy is None:
        abort(404)
    return fill(
        form(*((KEY,) if copy.locked_with else ()), *NUMBERS),
        lambda values: put_back(Path(copy.folder) / copy.file, values, "/shop/backups"),
        "form.html",
        noted=False,
        heading=f"Put back the copy of {copy.day:%b} {copy.day.day}, {copy.day.year}",
        lead=(
            "First it is looked at, and what would be gone is said; nothing changes before you say yes to that. If "
            "papers were printed since the copy was made, type their last numbers, so that none is given twice."
        ),
        button="Go on",
        back=COPIES,
    )


def _copies_at(place: int) -> Sequence[LedgerCopy]:
    return _upgrades() if place == UPGRADES else _place(place).copies


def _place(number: int) -> PlaceState:
    known = backing_up.places_of(desk())
    found = next((each for each in known if each.number == number), None)
    if found is None:
        abort(404)
    return states_of((found,))[0]


def _upgrades() -> tuple[LedgerCopy, ...]:
    folders = before_upgrades(station().ledger)
    places = tuple(BackupPlace(str(folder), away=False) for folder in folders)
    return tuple(copy for state in states_of(places) for copy in state.copies)


def _numbered(states: Sequence[PlaceState]) -> list[tuple[int, PlaceState]]:
    return [(each.place.number or 0, each) for each in states]


def _made(outcomes: Sequence[PlaceOutcome]) -> str:
    said = []
    for each in outcomes:
        said.append(f"Copied to {each.place.folder} and checked there." if each.copy else plain(each.reason))
        if each.parted:
            said.append(
                f"Beware: the ledger does not hold what {each.parted.file} holds. An older file or another ledger lies "
                "in its place, or a copy was put back. No older copy was removed."
            )
        said += [f"{name} was to go and stayed: it is not what was written down." for name in each.spared]
    return " ".join(said)
