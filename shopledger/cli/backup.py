"""Copies of the ledger: made, looked into, listed and put back; their places, and when to be reminded."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from shopledger.cli.backup_keys import key, key_file, secret_for
from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import as_json
from shopledger.cli.output import Drawing, Fields, display, show
from shopledger.cli.params import DAYS_OR_OFF, Off, Typed
from shopledger.cli.prompts import ask, confirm, tell
from shopledger.cli.questions import in_turn

if TYPE_CHECKING:
    from shopledger.desk.restoring import Restoring

FOLDER = click.Path(file_okay=False, path_type=Path)
FILE = click.Path(dir_okay=False, path_type=Path)
WORD = "replace"
"""What is typed to let the present ledger go."""


def _read_counter(typed: str, field: str) -> tuple[str, int]:
    from shopledger.errors import RefusedError, listed
    from shopledger.ledger.backups import COUNTED

    kind, _, number = typed.partition("=")
    if kind.strip() not in COUNTED or not number:
        allowed = f"it is a {listed(COUNTED)} with its last number"
        raise RefusedError(field, f"'{typed}'", allowed, "Type it like receipt=57.")
    return kind.strip(), _number(number, field)


def _number(text: str, field: str) -> int:
    from shopledger.errors import RefusedError

    typed = text.strip()
    if not (typed.isascii() and typed.isdigit() and len(typed) <= 7):
        raise RefusedError(field, f"'{typed}'", "it is a whole number of at most 7 digits", "Type it like 57.")
    return int(typed)


COUNTER = Typed("kind=number", _read_counter)
"""A counter with its last number, as in receipt=57."""

look_in = click.option(
    "--in",
    "folders",
    type=FOLDER,
    multiple=True,
    help="Look in this folder, as its own list says, without any ledger; may be given again.",
)


@click.group()
def backup() -> None:
    """Copy the ledger, look into copies, and put one back."""


backup.add_command(key)


@backup.command()
@click.option("--into", "folders", type=FOLDER, multiple=True, help="Copy into this folder alone; may be given again.")
@click.option("--plain", is_flag=True, help="Let everybody read the copy who has the file, though there is a key.")
@as_json
@pass_run
def make(run: Run, folders: tuple[Path, ...], plain: bool, as_json: bool) -> None:
    """Copy the ledger into its places, and check each copy there.

    Copies are encrypted once there is a key. Older ones are thinned out: one for each of the last 7 days, 5 weeks and
    12 months, and for every year.

    Example:
    shopledger backup make --into copies
    """
    from shopledger.cli.views.backups import copies_table, made_data
    from shopledger.desk.backing_up import make_backup
    from shopledger.store.refusals import BackupIncompleteError

    outcomes = make_backup(run.desk(), folders, plain=plain)
    copies = [outcome.copy for outcome in outcomes if outcome.copy]
    show(as_json, made_data(outcomes), copies_table(copies))
    for outcome in outcomes:
        if outcome.reason:
            tell(outcome.reason)
        if outcome.parted:
            tell(
                f"The ledger does not hold what {outcome.parted.file} holds: an older file or another ledger lies in "
                "its place, or a copy was put back since. No older copy was removed; look into that one."
            )
        for name in outcome.spared:
            tell(f"{name} was to go and stayed: it is not what was written down when it was made.")
    if copies and not copies[0].locked_with and not plain:
        tell("The copies are not encrypted: make a key with 'shopledger backup key new'.")
    failed = tuple(outcome.place.folder for outcome in outcomes if not outcome.copy)
    if failed:
        raise BackupIncompleteError(failed)


@backup.command()
@click.argument("file", type=FILE, required=False)
@click.option("--all", "every", is_flag=True, help="Look into every copy that the places list.")
@look_in
@key_file
@as_json
@pass_run
def check(
    run: Run, file: Path | None, every: bool, folders: tuple[Path, ...], key_file: Path | None, as_json: bool
) -> None:
    """Look into a copy, or into all, and change nothing.

    Every page, reference and entry is looked at. For a copy that is encrypted the secret key is asked for; without it
    its bytes are compared with what was written down when it was made.

    Example:
    shopledger backup check copies/shopledger-2026-03-02-183000.db
    """
    from shopledger.cli.views.backups import checked_data, checked_table
    from shopledger.desk.copies import before_upgrades, check_copy, check_places, room_beside
    from shopledger.store.refusals import CopiesWrongError

    if (file is None) is not (every or bool(folders)):
        message = "Name one copy, or all with --all or --in FOLDER."
        raise click.UsageError(message, click.get_current_context())
    if file is not None:
        checked = [check_copy(file, secret_for(run, file, key_file, needed=False), room_beside(run.ledger))]
    else:
        secret = secret_for(run, None, key_file, needed=False)
        there = folders or (*_reached(_places(run)), *before_upgrades(run.ledger))
        checked = list(check_places(there, secret, room_beside(run.ledger)))
    show(as_json, checked_data(checked), checked_table(checked))
    for each in checked:
        if each.wrong:
            tell(each.wrong)
    if any(each.sealed and not each.opened and each.holds for each in checked):
        tell("Those that are locked were not opened: give the secret key, from its paper, with --key-file.")
    wrong = sum(not each.holds for each in checked)
    if wrong:
        raise CopiesWrongError(wrong)


@backup.command("list")
@look_in
@as_json
@pass_run
def list_copies(run: Run, folders: tuple[Path, ...], as_json: bool) -> None:
    """List the copies in the places, and those from before upgrades.

    Example:
    shopledger backup list
    """
    from shopledger.cli.views.backups import OUT, copies_table
    from shopledger.desk.copies import before_upgrades, copies_in

    found = copies_in(folders or (*_reached(_places(run)), *before_upgrades(run.ledger)))
    show(as_json, {"copies": OUT.all(found)}, copies_table(found))


@backup.command()
@click.argument("file", type=FILE)
@click.option(
    "--yes-replace",
    "replacing",
    metavar="HEAD",
    help="The head of the present ledger, or 'unreadable': replace it without a question.",
)
@click.option(
    "--counter",
    "counters",
    type=COUNTER,
    multiple=True,
    help="The last number printed, as in receipt=57, job=90 or order=80; none is given again.",
)
@key_file
@as_json
@pass_run
def restore(
    run: Run,
    file: Path,
    replacing: str | None,
    counters: tuple[tuple[str, int], ...],
    key_file: Path | None,
    as_json: bool,
) -> None:
    """Put a copy in the place of the ledger, which is kept beside it.

    Shows first where both end and how many entries would be gone. An older copy is brought up to date.

    Example:
    shopledger backup restore copies/shopledger-2026-03-02-183000.db
    """
    from shopledger.cli.views.backups import plan_fields, restored_data
    from shopledger.desk.restoring import looked_at
    from shopledger.desk.restoring import restore as put_back

    with looked_at(file, secret_for(run, file, key_file), run.ledger) as plan:
        display(plan_fields(plan), err=True)
        word = replacing or _agreed(run, plan)
        printed = _printed(run, plan, dict(counters))
        restored = put_back(plan, run.operator, run.now, word, printed)
        rows = [("ledger", plan.place), ("head", str(restored.head))]
        rows += [("the one before", str(restored.kept))] if restored.kept else []
        rows += [(f"last {kind}", str(last)) for kind, last in restored.raised.items()]
        rows += [("erased again", each) for each in restored.erased]
        show(as_json, restored_data(plan, restored), Fields("", rows))
    tell("The copy is the ledger now. Look through it, prove it with 'shopledger verify', and make a new backup.")


@backup.command()
@click.option("--days", type=DAYS_OR_OFF, help="Remind when the last backup is older than so many days.")
@click.option(
    "--away-days", type=DAYS_OR_OFF, help="Remind when the last one outside this computer is older than so many days."
)
@as_json
@pass_run
def remind(run: Run, days: int | Off | None, away_days: int | Off | None, as_json: bool) -> None:
    """Show or change after how many days you are reminded of backups.

    Example:
    shopledger backup remind --days 7
    """
    from shopledger.desk.backing_up import backup_terms, change_terms
    from shopledger.ledger.backups import BackupTerms

    terms = backup_terms(run.desk())
    if days is not None or away_days is not None:
        terms = BackupTerms(_or_so(days, terms.days), _or_so(away_days, terms.away_days))
        change_terms(run.desk(), terms)
    rows = [
        ("the last backup", _days(terms.days)),
        ("the last one outside this computer", _days(terms.away_days)),
    ]
    show(as_json, {"days": terms.days, "away_days": terms.away_days}, Fields("", rows))


@backup.group()
def place() -> None:
    """Keep the folders that copies go to."""


@place.command("add")
@click.argument("folder", type=FOLDER)
@click.option(
    "--away/--here",
    default=None,
    help="Whether it lies outside this computer: a stick, another machine, a folder that is copied elsewhere.",
)
@as_json
@pass_run
def add_place(run: Run, folder: Path, away: bool | None, as_json: bool) -> None:
    """Let copies go to a folder from now on; it is made if it is missing.

    Example:
    shopledger backup place add copies --away
    """
    from shopledger.cli.prompts import lacking
    from shopledger.cli.views.backups import OUT, places_table
    from shopledger.desk import backing_up

    if away is None:
        if not run.asks:
            lacking("--away or --here")
        away = confirm("Does it lie outside this computer (a stick, another machine)?")
    desk = run.desk()
    added = backing_up.add_place(desk, folder, away=away)
    show(as_json, OUT.of(added), places_table((added,)))
    if away and backing_up.same_disk(desk, folder):
        tell("It lies on the same disk as the ledger: it is outside this computer only if something copies it there.")


@place.command("list")
@as_json
@pass_run
def list_places(run: Run, as_json: bool) -> None:
    """List the folders that copies go to.

    Example:
    shopledger backup place list
    """
    from shopledger.cli.views.backups import OUT, places_table
    from shopledger.desk.backing_up import places_of

    found = places_of(run.desk())
    show(as_json, {"places": OUT.all(found)}, places_table(found))


@place.command("remove")
@click.argument("folder", type=FOLDER)
@as_json
@pass_run
def remove_place(run: Run, folder: Path, as_json: bool) -> None:
    """Let no more copies go to a folder; those in it stay.

    Example:
    shopledger backup place remove copies
    """
    from shopledger.cli.views.backups import OUT
    from shopledger.desk import backing_up

    gone = backing_up.remove_place(run.desk(), folder)
    show(as_json, OUT.of(gone), Drawing((gone.folder,)))
    tell("Copies go there no more; those in it stay.")


def _places(run: Run) -> tuple[Path, ...]:
    from shopledger.desk.backing_up import places_of

    return tuple(Path(place.folder) for place in places_of(run.desk()))


def _reached(places: Sequence[Path]) -> tuple[Path, ...]:
    """Give the places that can be reached now, and say which cannot."""
    from shopledger.store.backups.lists import has_list
    from shopledger.store.refusals import NoPlaceError

    for place in places:
        if not has_list(place):
            tell(str(NoPlaceError(str(place))))
    return tuple(filter(has_list, places))


def _agreed(run: Run, plan: Restoring) -> str:
    """Ask for the word that lets the present ledger go; gives the head that was shown."""
    if not plan.present.there:
        return ""
    if not run.asks:
        from shopledger.cli.prompts import lacking

        lacking("--yes-replace")
    if click.prompt(f"Type '{WORD}' to put the copy in its place", err=True).strip().casefold() != WORD:
        raise click.Abort
    return str(plan.present.head) if plan.present.head else "unreadable"


def _printed(run: Run, plan: Restoring, given: Mapping[str, int]) -> dict[str, int]:
    """Ask for the last numbers that stand on paper, as far as they are not given; the present ledger's are offered."""
    if not run.asks or not (plan.gone or plan.present.head is None):
        return dict(given)
    found = dict(given)

    def asked(kind: str) -> None:
        usual = max(plan.counters[kind], plan.present.counters.get(kind, 0))
        found[kind] = ask(f"The last {kind} that was printed", lambda text: _number(text, "number"), str(usual))

    in_turn([partial(asked, kind) for kind in plan.counters if kind not in given])
    return found


def _or_so(given: int | Off | None, before: int | None) -> int | None:
    """Give what was typed, nothing for `off`, and what was before where nothing was typed."""
    return before if given is None else None if isinstance(given, Off) else given


def _days(days: int | None) -> str:
    return f"reminded when older than {days} days" if days else "never reminded"
