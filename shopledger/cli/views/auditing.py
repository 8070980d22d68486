"""Who looked at what and who changed it, shown."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from shopledger.cli.output import Column, Fields, Json, Table
from shopledger.cli.views.figures import Outside
from shopledger.ledger.audit import Outcome

if TYPE_CHECKING:
    from shopledger.desk.auditing import Pruned
    from shopledger.store.audit_trail import Noted

OUT = Outside({})


def noted_data(noted: Noted) -> dict[str, Json]:
    """Give a note with what was changed as JSON."""
    return {**OUT.of(noted.note), "changes": [OUT.of(change) for change in noted.changes]}


def noted_table(noted: Sequence[Noted]) -> Table:
    """Give notes for reading."""
    columns = (
        Column("no.", right=True),
        Column("when (UTC)", whole=True),
        Column("who"),
        Column("what"),
        Column("of what"),
        Column("more"),
    )
    rows = []
    for each in noted:
        note = each.note
        deed = f"{note.deed.said}{' (refused)' if note.outcome is Outcome.REFUSED else ''}"
        when = note.recorded_at[:16].replace("T", " ")
        rows.append((str(note.number), when, note.operator, deed, note.subject, _more(each)))
    return Table("Audit", columns, rows, "nothing noted.")


def pruned_data(pruned: Pruned) -> dict[str, Json]:
    """Give what was taken away as JSON."""
    done = pruned.done
    return {"before": pruned.before.isoformat(), "notes": done.many if done else 0, "last": done.last if done else None}


def pruned_fields(pruned: Pruned) -> Fields:
    """Give what was taken away for reading."""
    done = pruned.done
    rows = (
        ("notes of before", pruned.before.isoformat()),
        ("taken away", str(done.many) if done else "none"),
        ("the last of them", str(done.last) if done else ""),
        ("its hash", done.hash if done else ""),
    )
    return Fields("Audit", rows)


def _more(noted: Noted) -> str:
    note = noted.note
    parts = [
        "" if note.records is None else f"{note.records} records",
        note.file_name,
        *(f"{each.field}: {_said(each.old_value)} → {_said(each.new_value)}" for each in noted.changes),
    ]
    return "; ".join(part for part in parts if part)


def _said(value: str | None) -> str:
    return value or "none"
