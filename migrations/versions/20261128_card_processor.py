"""What the card processor does and says: payouts below zero, fees of their own, reserves, and its reports as facts.

Ledgers of before have none of it, and none of their rows changes.
"""

from __future__ import annotations

import re

import sqlalchemy as sa
from alembic import op

revision = "20261128_card_processor"
down_revision = "20261128_with_its_goods"
branch_labels = None
depends_on = None

PROCESSOR, LAYOUT, REPORT, LINE, MOVE = TABLES = (
    "processor",
    "processor_layout",
    "processor_report",
    "processor_line",
    "payout_move",
)
KINDS = (
    *("charge", "refund", "dispute", "dispute reversal", "fee", "adjustment", "reserve", "carried balance", "payout"),
)
INDEXES = {
    PROCESSOR: ("seal",),
    LAYOUT: ("processor_number", "seal"),
    REPORT: ("processor_number", "seal"),
    LINE: ("report_number", "payout", "day", "seal"),
    MOVE: ("processor_number", "payout", "seal"),
}
MOVES, POSTINGS = "money_move", "journal_posting"
WORDS: dict[tuple[str, str], dict[str, tuple[str, ...]]] = {
    (MOVES, "kind"): {"payout": ("processor fee", "reserve held", "reserve released")},
    (POSTINGS, "account"): {"card clearing": ("card reserve",)},
}
"""The new words of a column, behind the one that they follow."""
RULES: dict[str, tuple[tuple[str, str, str, str], ...]] = {
    MOVES: (
        (
            "amount_positive",
            "amount > 0",
            "amount_signed",
            "amount > 0 OR (kind IN ('payout', 'processor fee') AND (amount <> 0 OR fee <> 0))",
        ),
        ("fee_not_negative", "fee >= 0", "fee_signed", "fee >= 0 OR kind IN ('payout', 'processor fee')"),
        (
            "fee_within_amount",
            "fee <= amount",
            "fee_within_amount",
            (
                "kind = 'payout' OR (fee <= amount "
                "AND (kind NOT IN ('processor fee', 'reserve held', 'reserve released') OR fee = amount))"
            ),
        ),
    ),
}
"""What columns are held to otherwise: by what name and how before, and since."""


def upgrade() -> None:
    _make_tables()
    for table in (MOVES, POSTINGS):
        changes = list(RULES.get(table, ()))
        for (owner, column), added in WORDS.items():
            if owner == table:
                known = _words(table, column)
                more = [each for word in known for each in (word, *added.get(word, ()))]
                changes.append((f"{column}_known", _known(column, known), f"{column}_known", _known(column, more)))
        _change(table, changes)
    counter = sa.table("counter", sa.column("name"), sa.column("last"))
    op.bulk_insert(counter, [{"name": name.replace("_", " "), "last": 0} for name in TABLES])


def downgrade() -> None:
    bind = op.get_bind()
    new = {word for added in WORDS.values() for words in added.values() for word in words}
    asked = [f"SELECT COUNT(*) FROM {table}" for table in TABLES]  # noqa: S608 - names above
    asked += [
        f"SELECT COUNT(*) FROM {MOVES} WHERE amount <= 0 OR fee < 0 OR fee > amount OR {_known('kind', sorted(new))}"  # noqa: S608 - as above
    ]
    for each in asked:
        if bind.execute(sa.text(each)).scalar_one():
            table = each.split()[3]
            message = f"the earlier form has no place for rows of {table}; nothing was changed"
            raise RuntimeError(message)
    for table in (MOVES, POSTINGS):
        changes = [(now, then, before, was) for before, was, now, then in RULES.get(table, ())]
        for owner, column in WORDS:
            if owner == table:
                known = _words(table, column)
                fewer = [word for word in known if word not in new]
                changes.append((f"{column}_known", _known(column, known), f"{column}_known", _known(column, fewer)))
        _change(table, changes)
    for table in reversed(TABLES):
        op.drop_table(table)
        op.execute(f"DELETE FROM counter WHERE name = '{table.replace('_', ' ')}'")  # noqa: S608 - as above


def _make_tables() -> None:
    _make(
        PROCESSOR,
        *_texts("name", "folded"),
        sa.UniqueConstraint("folded", name=op.f(f"uq_{PROCESSOR}_folded")),
        *_rules(PROCESSOR, name_filled="name <> ''"),
    )
    _make(
        LAYOUT,
        _whole("processor_number"),
        *_texts("body"),
        _refers(LAYOUT, "processor_number", PROCESSOR),
        *_rules(LAYOUT, body_filled="body <> ''"),
    )
    _make(
        REPORT,
        _whole("processor_number"),
        *_texts("day", "file_name", "sha256"),
        _refers(REPORT, "processor_number", PROCESSOR),
        *_rules(REPORT, day_is_day="day LIKE '____-__-__'", sha256_whole="length(sha256) = 64"),
    )
    _make(
        LINE,
        *map(_whole, ("processor_number", "report_number")),
        *_texts("payout"),
        *_texts("payout_day", "arrives_on", nullable=True),
        *_texts("transaction_id", "day", "kind"),
        *(sa.Column(name, _wide(), nullable=False) for name in ("gross", "fee", "net")),
        *_texts("key"),
        _whole("replaces", nullable=True),
        _refers(LINE, "processor_number", PROCESSOR),
        _refers(LINE, "report_number", REPORT),
        _refers(LINE, "replaces", LINE),
        sa.UniqueConstraint("replaces", name=op.f(f"uq_{LINE}_replaces")),
        sa.UniqueConstraint("processor_number", "key", name=op.f(f"uq_{LINE}_processor_number_key")),
        *_rules(
            LINE,
            **{f"{name}_is_day": f"{name} LIKE '____-__-__'" for name in ("payout_day", "arrives_on", "day")},
            kind_known=_known("kind", KINDS),
            key_filled="key <> ''",
            net_adds_up="net = gross - fee",
            payout_has_day="(payout = '') = (payout_day IS NULL)",
        ),
    )
    _make(
        MOVE,
        _whole("processor_number"),
        *_texts("payout"),
        _whole("move_number"),
        _refers(MOVE, "processor_number", PROCESSOR),
        _refers(MOVE, "move_number", MOVES),
        sa.UniqueConstraint("move_number", name=op.f(f"uq_{MOVE}_move_number")),
        *_rules(MOVE, payout_filled="payout <> ''"),
    )


def _make(table: str, *parts: sa.Column[int] | sa.Column[str] | sa.Constraint) -> None:
    op.create_table(
        table,
        _whole("number"),
        *parts,
        *_texts("operator", "recorded_at"),
        _whole("seal"),
        sa.PrimaryKeyConstraint("number", name=op.f(f"pk_{table}")),
        sqlite_strict=True,
    )
    for column in INDEXES[table]:
        op.create_index(op.f(f"ix_{table}_{column}"), table, [column])


def _wide() -> sa.types.TypeEngine[int]:
    return sa.BigInteger().with_variant(sa.Integer(), "sqlite")


def _whole(name: str, *, nullable: bool = False) -> sa.Column[int]:
    return sa.Column(name, sa.Integer(), nullable=nullable, autoincrement=False)


def _texts(*names: str, nullable: bool = False) -> list[sa.Column[str]]:
    return [sa.Column(name, sa.Text(), nullable=nullable) for name in names]


def _known(column: str, words: tuple[str, ...] | list[str]) -> str:
    return f"{column} IN ({', '.join(map(repr, words))})"


def _rules(table: str, **rules: str) -> list[sa.CheckConstraint]:
    return [sa.CheckConstraint(rule, name=op.f(f"ck_{table}_{name}")) for name, rule in rules.items()]


def _refers(table: str, column: str, other: str) -> sa.ForeignKeyConstraint:
    name = op.f(f"fk_{table}_{column}_{other}")
    return sa.ForeignKeyConstraint([column], [f"{other}.number"], name=name, ondelete="RESTRICT")


# ------------------------------------------------------------ tables that are changed


def _change(table: str, changes: list[tuple[str, str, str, str]]) -> None:
    """Change what columns are held to; the rows, and the seals that they stand under, stay as they are."""
    if op.get_bind().dialect.name == "sqlite":
        _make_anew(table, changes)
        return
    for before, _, now, then in changes:
        op.drop_constraint(op.f(f"ck_{table}_{before}"), table, type_="check")
        op.create_check_constraint(op.f(f"ck_{table}_{now}"), table, then)


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


def _make_anew(table: str, changes: list[tuple[str, str, str, str]]) -> None:
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
