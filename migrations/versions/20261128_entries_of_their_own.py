"""What changes a bill after it was recorded, and adjusting entries, as documents of their own.

Ledgers of before have none, and none of their rows changes. The journal learns two kinds of documents and nine
accounts, the stock that goods may cost less without moving.
"""

from __future__ import annotations

import re
from collections.abc import Callable

import sqlalchemy as sa
from alembic import op

revision = "20261128_entries_of_their_own"
down_revision = "20261128_state_limits"
branch_labels = None
depends_on = None

CREDIT, PART, ENTRY, LINE = "bill_credit", "bill_credit_part", "adjustment", "adjustment_line"
COUNTERS = ("bill credit", "adjustment")
KINDS = ("discount", "allowance", "charge", "refund", "set against")
METHODS = ("cash", "bank", "card", "owner")
SPENT = (
    *("advertising", "car and truck", "commissions and fees", "contract labour", "equipment", "insurance", "interest"),
    *("legal and professional services", "office expense", "rent of equipment", "rent of premises"),
    *("repairs and maintenance", "supplies", "taxes and licences", "travel", "meals", "utilities", "wages"),
    *("postage and shipping out", "software and services", "training and licences", "other expense"),
)
REPRICED = ("inventory", "purchase discounts and allowances", "lenses and lab work", *SPENT)
ENTERED = (
    *("cash", "card clearing", "bank", "prepaid expenses", "equipment", "accumulated depreciation"),
    *("credit card owed", "sales tax payable"),
    *("accrued expenses", "loans", "owner contributions", "owner draws", "owner capital", "other income"),
    *("advertising", "car and truck", "commissions and fees", "contract labour", "depreciation", "insurance"),
    *("interest", "legal and professional services", "office expense", "rent of equipment", "rent of premises"),
    *("repairs and maintenance", "supplies", "taxes and licences", "travel", "meals", "utilities", "wages"),
    *("postage and shipping out", "software and services", "training and licences", "cash over and short"),
    "other expense",
)
WORDS: dict[tuple[str, str], dict[str, tuple[str, ...]]] = {
    ("journal_entry", "document_kind"): {
        "bill payment": ("bill credit",),
        "deposit": ("adjustment",),
        "taking back of bill payment": ("taking back of bill credit",),
        "taking back of deposit": ("taking back of adjustment",),
    },
    ("journal_posting", "account"): {
        "jobs in work": ("prepaid expenses",),
        "equipment": ("accumulated depreciation",),
        "sales tax payable": ("accrued expenses", "loans"),
        "opening balances": ("owner capital",),
        "stock written off": ("purchase discounts and allowances",),
        "contract labour": ("depreciation",),
        "sales never paid": ("cash over and short",),
    },
    ("taken_back", "document_kind"): {"bill payment": ("bill credit",), "deposit": ("adjustment",)},
    ("audit_note", "subject_kind"): {"bill payment": ("bill credit",), "deposit": ("adjustment",)},
    ("stock_movement", "reason"): {"sent back": ("repriced",)},
    ("bill_line", "kind"): {"freight": ("opening",)},
}
"""The new words of a column, each behind the one that it follows."""
RULES = {
    "stock_movement": (
        ("quantity_moves", "quantity <> 0", "quantity_moves", "(quantity = 0) = (reason = 'repriced')"),
        (
            *("cost_goes_with_quantity", "cost = 0 OR (cost > 0) = (quantity > 0)"),
            *("cost_goes_with_quantity", "cost = 0 OR quantity = 0 OR (cost > 0) = (quantity > 0)"),
        ),
    ),
    "stock_issue": (
        ("quantity_counts", "quantity >= 1", "quantity_not_negative", "quantity >= 0"),
        ("cost_not_negative", "cost >= 0", "cost_goes_with_quantity", "quantity = 0 OR cost >= 0"),
    ),
}
"""What columns are held to otherwise: by what name and how before, and since."""


def upgrade() -> None:
    _change(_with_words, _with_rules)
    _make_credits()
    _make_adjustments()
    counter = sa.table("counter", sa.column("name"), sa.column("last"))
    op.bulk_insert(counter, [{"name": name, "last": 0} for name in COUNTERS])


def downgrade() -> None:
    bind = op.get_bind()
    for table in (CREDIT, ENTRY):
        if bind.execute(sa.text(f"SELECT COUNT(*) FROM {table}")).scalar_one():  # noqa: S608 - names above
            message = f"the earlier form has no place for the rows of {table}; nothing was changed"
            raise RuntimeError(message)
    for name in COUNTERS:
        op.execute(f"DELETE FROM counter WHERE name = '{name}'")  # noqa: S608 - names above
    for table in (LINE, ENTRY, PART, CREDIT):
        op.drop_table(table)
    _change(_without_words, lambda rules: [(now, then, before, was) for before, was, now, then in rules])


def _make_credits() -> None:
    op.create_table(
        CREDIT,
        *map(_whole, ("number", "bill_number")),
        *map(_text, ("day", "kind")),
        _wide("amount"),
        _text("reason"),
        _text("method", nullable=True),
        _whole("other_bill", nullable=True),
        *_stamp(CREDIT),
        _refers(CREDIT, "bill_number", "bill"),
        _refers(CREDIT, "other_bill", "bill"),
        *_rules(
            CREDIT,
            day_is_day="day LIKE '____-__-__'",
            kind_known=_known("kind", KINDS),
            amount_positive="amount > 0",
            reason_filled="reason <> ''",
            method_known=_known("method", METHODS),
            refund_comes_in="(kind = 'refund') = (method IS NOT NULL)",
            other_bill_named="(kind = 'set against') = (other_bill IS NOT NULL)",
        ),
        sqlite_strict=True,
    )
    op.create_table(
        PART,
        *map(_whole, ("credit_number", "position")),
        _text("account"),
        _wide("amount"),
        _whole("movement_number", nullable=True),
        _whole("seal"),
        sa.PrimaryKeyConstraint("credit_number", "position", name=op.f(f"pk_{PART}")),
        _refers(PART, "credit_number", CREDIT),
        _refers(PART, "movement_number", "stock_movement"),
        *_rules(PART, account_known=_known("account", REPRICED), amount_not_zero="amount <> 0"),
        sqlite_strict=True,
    )
    _index(CREDIT, "bill_number", "day", "other_bill", "seal")
    _index(PART, "movement_number", "seal")


def _make_adjustments() -> None:
    op.create_table(
        ENTRY,
        _whole("number"),
        *map(_text, ("day", "reason")),
        _whole("reverses", nullable=True),
        _whole("opening"),
        *_stamp(ENTRY),
        _refers(ENTRY, "reverses", ENTRY),
        *_rules(
            ENTRY, day_is_day="day LIKE '____-__-__'", reason_filled="reason <> ''", opening_flag="opening IN (0, 1)"
        ),
        sqlite_strict=True,
    )
    op.create_table(
        LINE,
        *map(_whole, ("adjustment_number", "position")),
        _text("account"),
        _wide("amount"),
        _text("state"),
        _whole("seal"),
        sa.PrimaryKeyConstraint("adjustment_number", "position", name=op.f(f"pk_{LINE}")),
        _refers(LINE, "adjustment_number", ENTRY),
        *_rules(
            LINE,
            account_known=_known("account", ENTERED),
            amount_not_zero="amount <> 0",
            tax_names_a_state="(account = 'sales tax payable') = (state <> '')",
        ),
        sqlite_strict=True,
    )
    _index(ENTRY, "day", "reverses", "seal")
    _index(LINE, "seal")


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


def _change(
    words: Callable[[list[str], dict[str, tuple[str, ...]]], list[str]], rules: Callable[[Rules], Rules]
) -> None:
    """Change what columns are held to; the rows, and the seals that they stand under, stay as they are."""
    tables = dict.fromkeys([*(table for table, _ in WORDS), *RULES])
    for table in tables:
        changes = rules(list(RULES.get(table, ())))
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


def _with_rules(rules: Rules) -> Rules:
    return rules


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
