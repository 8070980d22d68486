"""What the bank says: accounts by name, statements that were taken in, their lines, and which entries these are."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "20261128_bank"
down_revision = "20261128_demo_lenses"
branch_labels = None
depends_on = None

ACCOUNT, LAYOUT, STATEMENT, LINE, MATCH = TABLES = (
    "bank_account",
    "bank_layout",
    "bank_statement",
    "bank_line",
    "bank_match",
)
FORMS = "form IN ('ofx', 'csv', 'camt.053', 'typed')"
INDEXES = {
    ACCOUNT: ("seal",),
    LAYOUT: ("account_number", "seal"),
    STATEMENT: ("account_number", "balance_day", "seal"),
    LINE: ("statement_number", "day", "seal"),
    MATCH: ("day", "entry_number", "line_number", "other_line", "seal"),
}
ENTRY = "journal_entry"


def upgrade() -> None:
    _make(
        ACCOUNT,
        *_texts("name", "folded", "ending"),
        sa.UniqueConstraint("folded", name=op.f(f"uq_{ACCOUNT}_folded")),
        *_rules(ACCOUNT, name_filled="name <> ''", ending_short="length(ending) IN (0, 4)"),
    )
    _make(
        LAYOUT,
        _whole("account_number"),
        *_texts("body"),
        _refers(LAYOUT, "account_number", ACCOUNT),
        *_rules(LAYOUT, body_filled="body <> ''"),
    )
    _make(
        STATEMENT,
        _whole("account_number"),
        *_texts("day", "form", "file_name", "sha256", "accepted"),
        *_texts("first", "last", "balance_day", nullable=True),
        sa.Column("balance", _wide(), nullable=True),
        _refers(STATEMENT, "account_number", ACCOUNT),
        *_rules(
            STATEMENT,
            **{f"{name}_is_day": f"{name} LIKE '____-__-__'" for name in ("day", "first", "last", "balance_day")},
            form_known=FORMS,
            balance_has_day="(balance IS NULL) = (balance_day IS NULL)",
        ),
    )
    _make(
        LINE,
        *map(_whole, ("account_number", "statement_number")),
        *_texts("day", "text", "check_number", "source_id", "kind", "key"),
        sa.Column("amount", _wide(), nullable=False),
        _whole("replaces", nullable=True),
        _refers(LINE, "account_number", ACCOUNT),
        _refers(LINE, "statement_number", STATEMENT),
        _refers(LINE, "replaces", LINE),
        sa.UniqueConstraint("replaces", name=op.f(f"uq_{LINE}_replaces")),
        sa.UniqueConstraint("account_number", "key", name=op.f(f"uq_{LINE}_account_number_key")),
        *_rules(LINE, day_is_day="day LIKE '____-__-__'", key_filled="key <> ''"),
    )
    _make(
        MATCH,
        *_texts("day"),
        _whole("line_number"),
        *(_whole(name, nullable=True) for name in ("entry_number", "other_line", "takes_back")),
        _refers(MATCH, "line_number", LINE),
        _refers(MATCH, "entry_number", ENTRY),
        _refers(MATCH, "other_line", LINE),
        _refers(MATCH, "takes_back", MATCH),
        sa.UniqueConstraint("takes_back", name=op.f(f"uq_{MATCH}_takes_back")),
        *_rules(
            MATCH,
            day_is_day="day LIKE '____-__-__'",
            one_of_both="(entry_number IS NULL) <> (other_line IS NULL)",
        ),
    )
    counter = sa.table("counter", sa.column("name"), sa.column("last"))
    op.bulk_insert(counter, [{"name": name.replace("_", " "), "last": 0} for name in TABLES])


def downgrade() -> None:
    for table in TABLES:
        if op.get_bind().execute(sa.text(f"SELECT COUNT(*) FROM {table}")).scalar_one():  # noqa: S608 - names above
            message = f"the earlier form has no place for the rows of {table}; nothing was changed"
            raise RuntimeError(message)
    for table in reversed(TABLES):
        op.drop_table(table)
        op.execute(f"DELETE FROM counter WHERE name = '{table.replace('_', ' ')}'")  # noqa: S608 - as above


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


def _rules(table: str, **rules: str) -> list[sa.CheckConstraint]:
    return [sa.CheckConstraint(rule, name=op.f(f"ck_{table}_{name}")) for name, rule in rules.items()]


def _refers(table: str, column: str, other: str) -> sa.ForeignKeyConstraint:
    name = op.f(f"fk_{table}_{column}_{other}")
    return sa.ForeignKeyConstraint([column], [f"{other}.number"], name=name, ondelete="RESTRICT")
