"""Copies of the ledger, their places and keys, and what is put back, shown."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from shopledger.cli.output import Column, Fields, Json, Table
from shopledger.cli.views.figures import Outside
from shopledger.ledger.backups import BackupKey, BackupPlace, LedgerCopy
from shopledger.ledger.canonical import Shape

if TYPE_CHECKING:
    from shopledger.desk.copies import CheckedCopy
    from shopledger.desk.restoring import Restored, Restoring
    from shopledger.desk.thinning import PlaceOutcome

OUT = Outside(
    {
        BackupPlace: Shape(first=("folder", "away")),
        BackupKey: Shape(first=("public", "holder")),
        LedgerCopy: Shape(first=("day", "folder", "file")),
    }
)


def megabytes(size: int) -> str:
    """Write a file's size for reading."""
    return f"{size / 1_000_000:,.1f} MB"


def entries(head: str) -> str:
    """Give how many entries a head counts."""
    return head.partition("-")[0]


def made_data(outcomes: Sequence[PlaceOutcome]) -> dict[str, Json]:
    """Give what came of each place as JSON."""
    places: list[Json] = [
        {
            "folder": outcome.place.folder,
            "away": outcome.place.away,
            "copy": OUT.of(outcome.copy) if outcome.copy else None,
            "reason": outcome.reason,
            "removed": list(outcome.removed),
            "spared": list(outcome.spared),
            "parted": outcome.parted.file if outcome.parted else None,
        }
        for outcome in outcomes
    ]
    return {"places": places}


def copies_table(copies: Sequence[LedgerCopy]) -> Table:
    """Give copies for reading."""
    columns = (
        Column("File"),
        Column("Size", right=True),
        Column("Entries", right=True),
        Column("Locked", whole=True),
    )
    rows = [
        (
            Path(copy.folder, copy.file),
            megabytes(copy.size),
            entries(copy.head),
            "yes" if copy.locked_with else "no",
        )
        for copy in copies
    ]
    return Table("", columns, rows, "No copies.")


def checked_data(checked: Sequence[CheckedCopy]) -> dict[str, Json]:
    """Give what looking into copies came to as JSON."""
    copies: list[Json] = [
        {
            "file": str(each.file),
            "holds": each.holds,
            "size": each.size,
            "sealed": each.sealed,
            "opened": each.opened,
            "listed": each.listed,
            "head": each.head,
            "revision": each.revision,
            "wrong": each.wrong,
        }
        for each in checked
    ]
    return {"copies": copies}


def checked_table(checked: Sequence[CheckedCopy]) -> Table:
    """Give what looking into copies came to, for reading; what is wrong is said beside it."""
    columns = (
        Column("", whole=True),
        Column("File"),
        Column("Entries", right=True),
        Column("Looked at", whole=True),
    )
    rows = [("OK" if each.holds else "WRONG", each.file, entries(each.head), _depth(each)) for each in checked]
    return Table("", columns, rows, "No copies.")


def _depth(checked: CheckedCopy) -> str:
    """Say how far a copy was looked into."""
    if checked.wrong:
        return ""
    if not checked.opened:
        return "bytes alone" if checked.listed else "nothing"
    return "all, and bytes" if checked.listed else "all"


def places_table(places: Sequence[BackupPlace]) -> Table:
    """Give the places for reading."""
    rows = [(Path(place.folder), "outside this computer" if place.away else "here") for place in places]
    return Table("", (Column("Folder"), Column("Lies")), rows, "No places. Add one with 'shopledger backup place add'.")


def keys_table(keys: Sequence[BackupKey]) -> Table:
    """Give the public keys for reading."""
    columns = (Column("Public key", whole=True), Column("Who holds the secret one"))
    return Table("", columns, [(key.public, key.holder) for key in keys], "No keys: copies are not encrypted.")


def plan_fields(plan: Restoring) -> Fields:
    """Say what would be replaced by what."""
    there = plan.present
    now = str(there.head) if there.head else (there.trouble or "none")
    rows = [
        ("ledger", plan.place),
        ("it ends at", now),
        ("the copy ends at", str(plan.head)),
        ("entries that would be gone", str(plan.gone) if there.head else ""),
    ]
    if there.head and not plan.contained:
        rows.append(("beware", "the copy is not of this ledger, or their entries part: all of them would be gone"))
    return Fields("", rows)


def restored_data(plan: Restoring, restored: Restored) -> dict[str, Json]:
    """Give what was put back as JSON."""
    return {
        "ledger": plan.place,
        "head": str(restored.head),
        "replaced": str(plan.present.head) if plan.present.head else None,
        "gone": plan.gone,
        "kept": str(restored.kept) if restored.kept else None,
        "counters": dict(restored.raised),
        "erased_again": list(restored.erased),
    }
