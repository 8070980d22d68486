"""What the year's end asks for: W-9s of payees with limits, equipment that is gone, and credit in the place of money.

Ledgers of before have none, and none of their rows changes. The journal learns a kind of document and an account, and
what is given back may wait as a balance of the customer's.
"""

from __future__ import annotations

import re
from collections.abc import Callable

import sqlalchemy as sa
from alembic import op

revision = "20261128_year_lists"
down_revision = "20261129_tax_places"
branch_labels = None
depends_on = None

FORM, FORM_ERASURE, LIMIT, GONE, CREDIT = TABLES = ("w9", "w9_erasure", "report_limit", "disposal", "refund_credit")
COUNTERS = ("w9", "w9 erasure", "report limit", "disposal")
KINDS = ("individual", "corporation", "partnership", "other")
HOW = ("sold", "traded in", "scrapped", "stolen or lost", "taken home")
WORDS: dict[tuple[str, str], dict[str, tuple[str, ...]]] = {
    ("journal_entry", "document_kind"): {
        "adjustment": ("disposal",),
        "taking back of adjustment": ("taking back of disposal",),
    },
    ("journal_posting", "account"): {"owner capital": ("gain or loss on equipment",)},
    ("taken_back", "document_kind"): {"adjustment": ("disposal",)},
    ("audit_note", "subject_kind"): {"supplier": ("W-9",), "adjustment": ("disposal",)},
    ("audit_note", "deed"): {"handed a year over": ("handed out a W-9",), "erased": ("erased a W-9",)},
    **{(table, "method"): {"transfer": ("credit",)} for table in ("payment", "refund", "deposit")},
}
"""The new words of a column, each behind the one that it follows."""


def upgrade() -> None:
    _change(_with_words)
    _make_forms()
    _make_disposals()
    counter = sa.table("counter", sa.column("name"), sa.column("last"))
    op.bulk_insert(counter, [{"name": name, "last": 0} for name in COUNTERS])


def downgrade() -> None:
    for table in TABLES:
        if op.get_bind().execute(sa.text(f"SELECT COUNT(*) FROM {table}")).scalar_one():  # noqa: S608 - names above
            message = f"the earlier form has no place for the rows of {table}; nothing was changed"
            raise RuntimeError(message)
    for name in COUNTERS:
        op.execute(f"DELETE FROM counter WHERE name = '{name}'")  # noqa: S608 - names above
    for table in (CREDIT, GONE, LIMIT, FORM_ERASURE, FORM):
        op.drop_table(table)
    _change(_without_words)


def _make_forms() -> None:
    texts = ("payee", "folded", "name", "street", "second_line", "city", "state", "postcode", "kind", "tax_number")
    op.create_table(
        FORM,
        _whole("number"),
        *map(_text, (*texts, "received_on")),
        _whole("backup_withholding"),
        *map(_text, ("operator", "recorded_at", "salt")),
        _whole("seal"),
        sa.PrimaryKeyConstraint("number", name=op.f(f"pk_{FORM}")),
        *_rules(
            FORM,
            payee_filled="payee <> ''",
            name_filled="name <> ''",
            kind_known=_known("kind", KINDS),
            received_on_is_day="received_on LIKE '____-__-__'",
            backup_withholding_flag="backup_withholding IN (0, 1)",
        ),
        sqlite_strict=True,
    )
    op.create_table(
        FORM_ERASURE,
        *map(_whole, ("number", "w9_number")),
        *map(_text, ("day", "reason")),
        *_stamp(FORM_ERASURE),
        _refers(FORM_ERASURE, "w9_number", FORM),
        *_rules(
            FORM_ERASURE,
            number_counts="number >= 1",
            day_is_day="day LIKE '____-__-__'",
            reason_filled="reason <> ''",
        ),
        sqlite_strict=True,
    )
    op.create_table(
        LIMIT,
        *map(_whole, ("number", "year")),
        _wide("amount"),
        *_stamp(LIMIT),
        *_rules(LIMIT, year_range="year BETWEEN 1990 AND 2199", amount_positive="amount > 0"),
        sqlite_strict=True,
    )
    _index(FORM, "folded", "seal")
    _index(FORM_ERASURE, "w9_number", "seal")
    _index(LIMIT, "seal")


def _make_disposals() -> None:
    op.create_table(
        GONE,
        _whole("number"),
        *map(_text, ("day", "document_kind")),
        *map(_whole, ("document_number", "position")),
        *map(_wide, ("cost", "depreciation")),
        _text("how"),
        _wide("proceeds"),
        *map(_text, ("till", "reference", "note")),
        *_stamp(GONE),
        *_rules(
            GONE,
            day_is_day="day LIKE '____-__-__'",
            document_kind_known=_known("document_kind", ("expense", "bill", "adjustment")),
            document_number_counts="document_number >= 1",
            position_counts="position >= 1",
            cost_positive="cost > 0",
            depreciation_not_negative="depreciation >= 0",
            how_known=_known("how", HOW),
            proceeds_not_negative="proceeds >= 0",
            till_known=_known("till", ("cash", "bank")),
            written_off_of_its_cost="depreciation <= cost",
        ),
        sqlite_strict=True,
    )
    op.create_table(
        CREDIT,
        *map(_whole, ("refund_number", "deposit_number", "seal")),
        sa.PrimaryKeyConstraint("refund_number", name=op.f(f"pk_{CREDIT}")),
        _refers(CREDIT, "refund_number", "refund"),
        _refers(CREDIT, "deposit_number", "deposit"),
        sa.UniqueConstraint("deposit_number", name=op.f(f"uq_{CREDIT}_deposit_number")),
        sqlite_strict=True,
    )
    _index(GONE, "day", "document_number", "seal")
    _index(CREDIT, "seal")


def _index(table: str, *columns: str) -> None:
    for column in columns:
        op.create_index(op.f(f"ix_{table}_{column}"), table, [column])


def _stamp(table: str) -> list[sa.Column[str] | sa.Column[int] | sa.Constraint]:
    key = sa.PrimaryKeyConstraint("number", name=op.f(f"pk_{table}"))
    return [*map(_text, ("operator", "recorded_at")), _whole("seal"), key]


def _wide(name: str) -> sa.Column[int]:
    return sa.Column(name, sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False)


def _whole(name: str, *, nullable: bool = False) -> sa.Column[int]:
    return sa.Column(name, sa.Integer(), nullable=nullable, autoincrement=False)


def _text(name: str, *, nullable: bool = False) -> sa.Column[str]:
    return sa.Column(name, sa.Text(), nullable=nullable)


def _known(column: str, words: tuple[str, ...]) -> str:
    return f"{column} IN ({', '.join(map(repr, words))})"


def _rules(table: str, **rules: str) -> list[sa.CheckConstraint]:
    return [sa.CheckConstraint(rule, name=op.f(f"ck_{table}_{name}")) for name, rule in rules.items()]


def _refers(table: str, column: str, other: str) -> sa.ForeignKeyConstraint:
    name = op.f(f"fk_{table}_{column}_{other}")
    return sa.ForeignKeyConstraint([column], [f"{other}.number"], name=name, ondelete="RESTRICT")


# ------------------------------------------------------------ tables that are changed

Rules = list[tuple[str, str, str, str]]


def _change(words: Callable[[list[str], dict[str, tuple[str, ...]]], list[str]]) -> None:
    """Change what columns are held to; the rows, and the seals that they stand under, stay as they are."""
    for table in dict.fromkeys(table for table, _ in WORDS):
        changes: Rules = []
        for (owner, column), added in WORDS.items():
            if owner == table:
                known = _words(table, column)
                name = f"{column}_known"
                changes.append((name, _known(column, tuple(known)), name, _known(column, tuple(words(known, added)))))
        if op.get_bind().dialect.name == "sqlite":
            _make_anew(table, changes)
            continue
        for before, _, now, then in changes:
            op.drop_constraint(op.f(f"ck_{table}_{before}"), table, type_="check")
            op.create_check_constraint(op.f(f"ck_{table}_{now}"), table, then)


def _with_words(known: list[str], added: dict[str, tuple[str, ...]]) -> list[str]:
    return [each for word in known for each in (word, *added.get(word, ()))]


def _without_words(known: list[str], added: dict[str, tuple[str, ...]]) -> list[str]:
    gone = {word for words in added.values() for word in words}
    return [word for word in known if word not in gone]


def _words(table: str, column: str) -> list[str]:
    """Give the words that a column may hold, as the database says it."""
    bind = op.get_bind()
    rule = f"ck_{table}_{column}_known"
    if bind.dialect.name == "sqlite":
        found = re.search(rf"CONSTRAINT {rule} CHECK \({column} IN \(([^)]*)\)\)", _statement(table))
        told = found[1] if found else ""
    else:
        told = next(each["sqltext"] for each in sa.inspect(bind).get_check_constraints(table) if each["name"] == rule)
    return re.findall(r"'([^']*)'", told)


def _statement(table: str) -> str:
    """Give the statement that made a table."""
    asked = sa.text("SELECT sql FROM sqlite_schema WHERE type = 'table' AND name = :table")
    return str(op.get_bind().execute(asked, {"table": table}).scalar_one())


def _make_anew(table: str, changes: Rules) -> None:
    """Put the rows aside, make the table by its own statement as changed, with its indexes, and put the rows back.

    Foreign keys are off meanwhile; the store sets the guards again.
    """
    bind = op.get_bind()
    statement = _statement(table)
    for before, was, now, then in changes:
        old = f"CONSTRAINT ck_{table}_{before} CHECK ({was})"
        if statement.count(old) != 1:
            message = f"the rules of {table} are not as they were made, {old}; nothing was changed"
            raise RuntimeError(message)
        statement = statement.replace(old, f"CONSTRAINT ck_{table}_{now} CHECK ({then})")
    indexes = sa.text("SELECT sql FROM sqlite_schema WHERE type = 'index' AND tbl_name = :table AND sql IS NOT NULL")
    made = [row.sql for row in bind.execute(indexes, {"table": table}).all()]
    columns = ", ".join(each["name"] for each in sa.inspect(bind).get_columns(table) if "computed" not in each)
    op.execute(f"CREATE TABLE kept_{table} AS SELECT * FROM {table}")  # noqa: S608 - names above
    op.drop_table(table)
    for each in (statement, *made):
        bind.exec_driver_sql(each)
    op.execute(f"INSERT INTO {table} ({columns}) SELECT {columns} FROM kept_{table}")  # noqa: S608 - names of the table
    op.drop_table(f"kept_{table}")
