"""Whose data may be erased, and a chain of its own for who looked at what and who changed it.

The notes of before were two texts; each is read once, here, numbered as it was, and hashed with the one before it.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Callable, Iterator, Sequence
from typing import Any, TypeAlias

import sqlalchemy as sa
from alembic import op

revision = "20261127_privacy"
down_revision = "20261127_copies"
branch_labels = None
depends_on = None

Part: TypeAlias = "sa.Column[int] | sa.Column[str] | sa.Constraint"
PEOPLE = ("customer", "wearer")
KEPT = ("kept_file", "kept_body")
RANDOM = {
    "sqlite": "lower(hex(randomblob(16)))",
    "postgresql": "replace(CAST(gen_random_uuid() AS TEXT), '-', '')",
}
NEW = ("changed_value", "audit_pruning", "erasure_part", "erasure", "legal_hold", "keeping")
COUNTERS = ("erasure", "legal hold", "audit pruning")
DEEDS = (
    *("looked at prescriptions", "looked at a prescription", "added diagnoses", "looked at a job"),
    *("printed a job sheet", "looked at a receipt", "issued a receipt", "printed a receipt"),
    *("prepared an account statement", "prepared a claim worksheet", "prepared a year statement"),
    *("issued a certificate", "printed a certificate", "looked at a sheet of the maker", "sent out a lens order"),
    *("printed a lens order", "drafted a reorder", "looked at a draft", "listed customers"),
    *("looked at all that is held", "exported all that is held", "exported a period", "exported a year"),
    *("handed a year over", "made a backup", "restored a backup", "added a backup key", "removed a backup key"),
    *("set up the shop", "changed", "accepted a warning", "accepted a warning on voiding"),
    *("asked what may be erased", "erased", "placed a legal hold", "lifted a legal hold", "took away old notes"),
)
SUBJECTS = (
    *("customer", "wearer", "prescriber", "prescription", "order", "job", "receipt", "certificate", "lens order"),
    *("draft", "supplier", "bill", "bill payment", "expense", "money", "deposit", "frame", "lens", "extra"),
    *("accessory", "offer", "tax rate", "shop", "keeping of records", "period", "ledger", "audit"),
)
NUMBERED = re.compile(r"(voiding of )?([a-z ]+?) (\d{1,9})(?:(?: of| for|,) (.*))?")
ALONE = {
    "handed a year over": "period",
    **dict.fromkeys(("made a backup", "restored a backup", "added a backup key", "removed a backup key"), "ledger"),
}
"""The deeds whose subject has no number."""
RENAMED = {"looked at a maker's sheet": "looked at a sheet of the maker"}
BEGINNING = "0" * 64
WRITTEN = (
    *("number", "deed", "subject_kind", "subject_number", "outcome", "detail", "records", "file_name", "machine"),
    *("program", "operator", "recorded_at", "hash"),
)


def upgrade() -> None:
    notes = list(_chained(_old_notes()))
    op.drop_table("audit_note")
    _audit_note()
    # Under the first seal, as the program then takes over all that an upgrade wrote.
    sealed = [{**note, "seal": 1} for note in notes]
    op.bulk_insert(sa.table("audit_note", *map(sa.column, (*WRITTEN, "seal"))), sealed)
    for table in PEOPLE:
        _add_erased_on(table)
    _salt_kept_files()
    _changed_value()
    _audit_pruning()
    _erasure()
    _legal_hold()
    _keeping()
    op.bulk_insert(_counter(), [{"name": name, "last": 0} for name in COUNTERS])


def downgrade() -> None:
    for table in NEW:
        if op.get_bind().execute(sa.text(f"SELECT COUNT(*) FROM {table}")).scalar_one():  # noqa: S608 - names above
            message = f"the earlier form has no place for the rows of {table}; nothing was changed"
            raise RuntimeError(message)
    _drop_doors()
    for table in NEW:
        op.drop_table(table)
    for name in COUNTERS:
        op.execute(f"DELETE FROM counter WHERE name = '{name}'")  # noqa: S608 - names above
    for table in PEOPLE:
        _drop_erased_on(table)
    for table in KEPT:
        op.drop_column(table, "salt")
    _put_notes_back()


def _drop_doors() -> None:
    """Drop the guards that speak of these tables; the store sets them anew in the earlier form."""
    bind = op.get_bind()
    if bind.dialect.name == "sqlite":
        found = bind.execute(sa.text("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'")).all()
        for row in found:
            if any(f" {table} " in row.sql for table in ("erasure", "audit_pruning")):
                op.execute(f"DROP TRIGGER {row.name}")


def _counter() -> sa.TableClause:
    return sa.table("counter", sa.column("name"), sa.column("last"))


# ------------------------------------------------------------ the notes


def _old_notes() -> Iterator[dict[str, Any]]:
    asked = sa.text("SELECT number, deed, subject, operator, recorded_at FROM audit_note ORDER BY number")
    for row in op.get_bind().execute(asked).all():
        deed, kind, number, detail = _read(row.deed, row.subject)
        yield {
            "number": row.number,
            "deed": deed,
            "subject_kind": kind,
            "subject_number": number,
            "outcome": "done",
            "detail": detail,
            "records": None,
            "file_name": "",
            "machine": "",
            "program": "",
            "operator": row.operator,
            "recorded_at": row.recorded_at,
        }


def _chained(notes: Iterator[dict[str, Any]]) -> Iterator[dict[str, Any]]:
    before = BEGINNING
    for note in notes:
        listed = json.dumps([before, *note.values()], ensure_ascii=False, separators=(",", ":"))
        before = hashlib.sha256(listed.encode()).hexdigest()
        yield {**note, "hash": before}


def _read(deed: str, subject: str) -> tuple[str, str, int | None, str]:
    """Give the deed, the kind and number of its subject, and what more was said."""
    numbered = NUMBERED.fullmatch(subject)
    kind = numbered[2] if numbered and numbered[2] in SUBJECTS else ""
    number, more = (int(numbered[3]), numbered[4] or "") if numbered and kind else (None, subject)
    if deed.startswith("accepted "):
        voiding = " on voiding" if numbered and numbered[1] else ""
        return f"accepted a warning{voiding}", kind or "ledger", number, deed.removeprefix("accepted ")
    if deed in {"set up the shop", "changed the shop"}:
        return "set up the shop" if deed.startswith("set") else "changed", "shop", None, ""
    if deed.startswith("changed "):
        what = deed.removeprefix("changed ").removeprefix("a ")
        return "changed", what if what in SUBJECTS else kind or "ledger", number, more
    if deed in ALONE:
        return deed, ALONE[deed], None, subject
    known = RENAMED.get(deed, deed)
    if known in DEEDS and kind:
        return known, kind, number, more
    return "changed", "ledger", None, f"{deed}: {subject}"


def _put_notes_back() -> None:
    asked = sa.text(f"SELECT {', '.join(WRITTEN)} FROM audit_note ORDER BY number")  # noqa: S608 - names above
    notes = [
        {
            "number": row.number,
            "deed": row.deed,
            "subject": " ".join(str(each) for each in (row.subject_kind, row.subject_number, row.detail) if each),
            "operator": row.operator,
            "recorded_at": row.recorded_at,
            "seal": 1,
        }
        for row in op.get_bind().execute(asked).all()
    ]
    op.drop_table("audit_note")
    _table(
        "audit_note",
        *_recorded(),
        _whole("number"),
        *map(_words, ("deed", "subject")),
        _key("audit_note", "number"),
        *_checks("audit_note", deed_filled="deed <> ''"),
    )
    _index("audit_note", "subject")
    names = ("number", "deed", "subject", "operator", "recorded_at", "seal")
    op.bulk_insert(sa.table("audit_note", *map(sa.column, names)), notes)


def _audit_note() -> None:
    table = "audit_note"
    _table(
        table,
        *_recorded(),
        _whole("number"),
        *map(_words, ("deed", "subject_kind")),
        _whole("subject_number", empty=True),
        *map(_words, ("outcome", "detail")),
        _whole("records", empty=True),
        *map(_words, ("file_name", "machine", "program", "hash")),
        _key(table, "number"),
        *_known(table, deed=DEEDS, subject_kind=SUBJECTS, outcome=("done", "refused")),
        *_checks(table, records_not_negative="records >= 0", hash_whole="length(hash) = 64"),
    )
    _index(table, "subject_kind", "subject_number")


def _changed_value() -> None:
    table = "changed_value"
    _table(
        table,
        *map(_whole, ("note_number", "position")),
        _words("field"),
        *(_words(name, empty=True) for name in ("old_value", "new_value")),
        *(_whole(name, empty=True) for name in ("customer_number", "wearer_number")),
        _key(table, "note_number", "position"),
        *(_refers(table, [f"{other}_number"], other, ["number"]) for other in PEOPLE),
        *_checks(
            table,
            note_number_counts="note_number >= 1",
            position_counts="position >= 1",
            field_filled="field <> ''",
        ),
        salted=True,
    )
    _index(table, "customer_number")
    _index(table, "wearer_number")


def _audit_pruning() -> None:
    table = "audit_pruning"
    _table(
        table,
        *_recorded(),
        *map(_whole, ("number", "last")),
        _words("hash"),
        _whole("many"),
        *map(_words, ("older_than", "began")),
        _key(table, "number"),
        *_checks(
            table,
            last_counts="last >= 1",
            hash_whole="length(hash) = 64",
            many_counts="many >= 1",
            older_than_filled="older_than <> ''",
            began_filled="began <> ''",
        ),
    )


# ------------------------------------------------------------ erasing


def _add_erased_on(table: str) -> None:
    rule = "erased_on LIKE '____-__-__'"
    if op.get_bind().dialect.name == "sqlite":
        line = f"CONSTRAINT ck_{table}_erased_on_is_day CHECK ({rule})"
        _make_anew(table, lambda said: said.replace("\tCONSTRAINT", f"\terased_on TEXT, \n\t{line}, \n\tCONSTRAINT", 1))
        return
    op.add_column(table, _words("erased_on", empty=True))
    op.create_check_constraint(op.f(f"ck_{table}_erased_on_is_day"), table, rule)


def _drop_erased_on(table: str) -> None:
    if op.get_bind().dialect.name == "sqlite":
        _make_anew(table, lambda said: "\n".join(line for line in said.splitlines() if "erased_on" not in line))
    else:
        op.drop_column(table, "erased_on")


def _make_anew(table: str, changed: Callable[[str], str]) -> None:
    """Put the rows aside, make the table by its own statement as changed, with its indexes, and put them back.

    Foreign keys are off meanwhile; the store sets the guards again and looks for rows that point at nothing.
    """
    bind = op.get_bind()
    schema = sa.text("SELECT type, sql FROM sqlite_schema WHERE tbl_name = :table AND sql IS NOT NULL ORDER BY rowid")
    said = [(row.type, row.sql) for row in bind.execute(schema, {"table": table}).all()]
    op.execute(f"CREATE TABLE kept_{table} AS SELECT * FROM {table}")  # noqa: S608 - names above
    op.drop_table(table)
    for kind, statement in said:
        bind.exec_driver_sql(changed(statement) if kind == "table" else statement)
    both = {each["name"] for each in sa.inspect(bind).get_columns(table)}
    kept = [each["name"] for each in sa.inspect(bind).get_columns(f"kept_{table}") if each["name"] in both]
    names = ", ".join(kept)
    op.execute(f"INSERT INTO {table} ({names}) SELECT {names} FROM kept_{table}")  # noqa: S608 - names of the tables
    op.drop_table(f"kept_{table}")


def _salt_kept_files() -> None:
    """Give kept files random bytes too: a sheet of a lens's maker tells of who wears it."""
    random = RANDOM[op.get_bind().dialect.name]
    for table in KEPT:
        op.add_column(table, sa.Column("salt", sa.Text(), nullable=False, server_default=""))
        op.execute(f"UPDATE {table} SET salt = {random}")  # noqa: S608 - the names above


def _erasure() -> None:
    table = "erasure"
    _table(
        table,
        *_recorded(),
        *map(_whole, ("number", "customer_number")),
        _whole("wearer_number", empty=True),
        *map(_words, ("day", "asked_by", "reason", "rule")),
        _key(table, "number"),
        *(_refers(table, [f"{other}_number"], other, ["number"]) for other in PEOPLE),
        *_known(table, asked_by=("person", "customer", "guardian", "owner", "authority")),
        *_checks(
            table,
            number_counts="number >= 1",
            day_is_day="day LIKE '____-__-__'",
            reason_filled="reason <> ''",
            rule_filled="rule <> ''",
        ),
    )
    _index(table, "customer_number")
    _index(table, "wearer_number")
    _table(
        "erasure_part",
        _whole("erasure_number"),
        _words("table_name"),
        _whole("row_count"),
        _key("erasure_part", "erasure_number", "table_name"),
        _refers("erasure_part", ["erasure_number"], "erasure", ["number"]),
        *_checks("erasure_part", row_count_counts="row_count >= 1"),
    )


def _legal_hold() -> None:
    table = "legal_hold"
    _table(
        table,
        *_recorded(),
        *map(_whole, ("number", "customer_number")),
        _whole("wearer_number", empty=True),
        *map(_words, ("day", "deed", "reason")),
        _key(table, "number"),
        *(_refers(table, [f"{other}_number"], other, ["number"]) for other in PEOPLE),
        *_known(table, deed=("placed", "lifted")),
        *_checks(table, number_counts="number >= 1", day_is_day="day LIKE '____-__-__'", reason_filled="reason <> ''"),
        salted=True,
    )
    _index(table, "customer_number")
    _index(table, "wearer_number")


def _keeping() -> None:
    years = {"lens": (3, 100), "tax": (3, 100), "state": (0, 100), "audit": (1, 100)}
    ranges = {
        f"{name}_years_range": f"{name}_years BETWEEN {least} AND {most}" for name, (least, most) in years.items()
    }
    _table(
        "keeping",
        *_recorded(),
        _whole("one"),
        *(_whole(f"{name}_years") for name in years),
        _key("keeping", "one"),
        *_checks("keeping", **ranges, one_row="one = 1"),
    )


# ------------------------------------------------------------ how tables are made


def _table(name: str, *parts: Part, salted: bool = False) -> None:
    """Make a table whose rows the chain covers, with random bytes where they tell of a person."""
    salt = (_words("salt"),) if salted else ()
    op.create_table(name, *parts, _whole("seal"), *salt, sqlite_strict=True)
    _index(name, "seal")


def _index(table: str, *columns: str) -> None:
    op.create_index(op.f(f"ix_{table}_{'_'.join(columns)}"), table, list(columns))


def _whole(name: str, *, empty: bool = False) -> sa.Column[int]:
    return sa.Column(name, sa.Integer(), nullable=empty, autoincrement=False)


def _words(name: str, *, empty: bool = False) -> sa.Column[str]:
    return sa.Column(name, sa.Text(), nullable=empty)


def _recorded() -> tuple[sa.Column[str], sa.Column[str]]:
    return _words("operator"), _words("recorded_at")


def _key(table: str, *columns: str) -> sa.PrimaryKeyConstraint:
    return sa.PrimaryKeyConstraint(*columns, name=op.f(f"pk_{table}"))


def _refers(table: str, columns: Sequence[str], other: str, keys: Sequence[str]) -> sa.ForeignKeyConstraint:
    name = op.f(f"fk_{table}_{'_'.join(columns)}_{other}")
    return sa.ForeignKeyConstraint(columns, [f"{other}.{key}" for key in keys], name=name, ondelete="RESTRICT")


def _checks(table: str, **rules: str) -> tuple[sa.CheckConstraint, ...]:
    return tuple(sa.CheckConstraint(rule, name=op.f(f"ck_{table}_{name}")) for name, rule in rules.items())


def _known(table: str, **columns: Sequence[str]) -> tuple[sa.CheckConstraint, ...]:
    rules = {f"{name}_known": f"{name} IN ({', '.join(map(repr, words))})" for name, words in columns.items()}
    return _checks(table, **rules)
