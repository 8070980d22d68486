"""Claims and refunds: money given back, orders cancelled, diagnoses, printed names, filing limits, code releases.

What was there stays as it was; what it did not say yet is filled in. Going down again is refused where the first form
has no place for what was posted since.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any, TypeAlias

import sqlalchemy as sa
from alembic import op

revision = "20261125_claims_and_refunds"
down_revision = "20261125_first_ledger"
branch_labels = None
depends_on = None

Part: TypeAlias = "sa.Column[int] | sa.Column[str] | sa.Constraint"
FIRST_ACCOUNTS = ("receivable", "cash", "card clearing", "bank", "sales", "shipping income", "sales tax payable")
FIRST_REASONS = ("opening", "received", "sold", "adjusted")
RELEASE = "CMS HCPCS Level II, October 2025"
"""What every code was picked from until now."""
NEW_TABLES = ("paper_wording", "receipt_claim", "prescription_diagnosis", "cancellation", "refund_part", "refund")


def upgrade() -> None:
    for table, fills in CHANGED.items():
        _change(table, PARTS[table](now=False), PARTS[table](now=True), fills)
    _refunds()
    _table(
        "cancellation",
        _whole("order_number"),
        _words("day"),
        _words("reason"),
        *_recorded(),
        _key("cancellation", "order_number"),
        *_checks("cancellation", reason_filled="reason <> ''", day_is_day="day LIKE '____-__-__'"),
        _refers("cancellation", ["order_number"], "shop_order", ["number"]),
    )
    _index("cancellation", "day")
    _table(
        "prescription_diagnosis",
        _whole("prescription_number"),
        _whole("position"),
        _words("code"),
        _key("prescription_diagnosis", "prescription_number", "position"),
        *_checks("prescription_diagnosis", code_filled="code <> ''"),
        _refers("prescription_diagnosis", ["prescription_number"], "prescription", ["number"]),
    )
    _table(
        "receipt_claim",
        _whole("receipt_number"),
        _words("day"),
        *_recorded(),
        _key("receipt_claim", "receipt_number"),
        *_checks("receipt_claim", day_is_day="day LIKE '____-__-__'"),
        _refers("receipt_claim", ["receipt_number"], "receipt", ["number"]),
    )
    _table(
        "paper_wording",
        *map(_words, ("sha256", "body")),
        *_recorded(),
        _key("paper_wording", "sha256"),
        *_checks("paper_wording", body_filled="body <> ''", sha256_whole="length(sha256) = 64"),
    )
    counter = sa.table("counter", sa.column("name"), sa.column("last"))
    op.bulk_insert(counter, [{"name": "refund", "last": 0}])


def downgrade() -> None:
    for table in ("refund", "cancellation", "receipt_claim", "prescription_diagnosis", "paper_wording"):
        if op.get_bind().execute(sa.text(f"SELECT COUNT(*) FROM {table}")).scalar_one():  # noqa: S608 - names above
            message = f"the earlier form has no place for the rows of {table}; nothing was changed"
            raise RuntimeError(message)
    for table in NEW_TABLES:
        op.drop_table(table)
    op.execute("DELETE FROM counter WHERE name = 'refund'")
    for table in reversed(list(CHANGED)):
        _change(table, PARTS[table](now=True), PARTS[table](now=False), {})


def _refunds() -> None:
    _table(
        "refund",
        _whole("number"),
        _whole("order_number"),
        _words("day"),
        _words("method"),
        _words("reference"),
        _words("reason"),
        *_recorded(),
        _key("refund", "number"),
        *_known("refund", method=("card", "cash", "check", "transfer")),
        *_checks("refund", reason_filled="reason <> ''", day_is_day="day LIKE '____-__-__'"),
        _refers("refund", ["order_number"], "shop_order", ["number"]),
    )
    _index("refund", "order_number")
    _index("refund", "day")
    _table(
        "refund_part",
        _whole("refund_number"),
        _whole("position"),
        _whole("order_number"),
        _whole("line"),
        _cents("net"),
        _cents("tax"),
        _whole("returned"),
        _key("refund_part", "refund_number", "position"),
        *_checks(
            "refund_part",
            net_not_negative="net >= 0",
            tax_not_negative="tax >= 0",
            returned_not_negative="returned >= 0",
        ),
        _refers("refund_part", ["refund_number"], "refund", ["number"]),
        _refers("refund_part", ["order_number", "line"], "order_line", ["order_number", "position"]),
    )
    _index("refund_part", "order_number", "line")


# ------------------------------------------------------------ tables that change, before and now


def _customer(*, now: bool) -> list[Part]:
    added: list[Part] = [_words("printed_name")] if now else []
    names = ("name", "folded", "street", "second_line", "city", "state", "postcode", "phone", "email")
    return [
        _whole("number"),
        *map(_words, names),
        *added,
        *_recorded(),
        _key("customer", "number"),
        *_checks("customer", name_filled="name <> ''"),
    ]


def _wearer(*, now: bool) -> list[Part]:
    added: list[Part] = []
    if now:
        added = [_words("printed_name"), _whole("claim_within_days", empty=True)]
        added += _checks("wearer", claim_within_days_range="claim_within_days BETWEEN 1 AND 3650")
    return [
        _whole("number"),
        _whole("customer_number"),
        *map(_words, ("name", "folded", "relationship")),
        _words("birth_date", empty=True),
        _words("member_id"),
        *added,
        *_recorded(),
        _key("wearer", "number"),
        *_known("wearer", relationship=("self", "spouse", "child", "other")),
        *_checks("wearer", name_filled="name <> ''", birth_date_is_day="birth_date LIKE '____-__-__'"),
        _refers("wearer", ["customer_number"], "customer", ["number"]),
    ]


def _shop_settings(*, now: bool) -> list[Part]:
    table = "shop_settings"
    added: list[Part] = []
    if now:
        added = [_cents("standard_bifocal", empty=True), _words("progressive_base")]
        added += [_cents("standard_frame", empty=True), *_known(table, progressive_base=("bifocal", "trifocal"))]
        added += _checks(
            table,
            standard_bifocal_not_negative="standard_bifocal >= 0",
            standard_frame_not_negative="standard_frame >= 0",
        )
    return [
        _whole("one"),
        _words("tax_rounding"),
        *map(_whole, ("progressive_share", "screen_share", "blank_allowance")),
        _cents("shipping_charge"),
        _words("paper"),
        *added,
        *_recorded(),
        _key(table, "one"),
        *_known(table, tax_rounding=("line", "order"), paper=("letter", "a4")),
        *_checks(
            table,
            one_row="one = 1",
            progressive_share_range="progressive_share BETWEEN 0 AND 1000000",
            screen_share_range="screen_share BETWEEN 0 AND 1000000",
            blank_allowance_not_negative="blank_allowance >= 0",
            shipping_charge_not_negative="shipping_charge >= 0",
        ),
    ]


def _order_charge(*, now: bool) -> list[Part]:
    table = "order_charge"
    added: list[Part] = []
    if now:
        added = [_whole("chosen"), _words("release"), *_checks(table, chosen_flag="chosen IN (0, 1)")]
    return [
        *map(_whole, ("order_number", "line", "position")),
        _words("description"),
        _words("side", empty=True),
        _words("code"),
        *map(_cents, ("list_price", "reduction", "net")),
        _whole("units"),
        _words("note"),
        *added,
        _key(table, "order_number", "line", "position"),
        *_known(table, side=("right", "left")),
        *_checks(
            table,
            list_price_not_negative="list_price >= 0",
            net_not_negative="net >= 0",
            units_count="units >= 1",
        ),
        _refers(table, ["order_number", "line"], "order_line", ["order_number", "position"]),
    ]


def _receipt_replacement(*, now: bool) -> list[Part]:
    table = "receipt_replacement"
    added: list[Part] = [_words("reason"), *_checks(table, reason_filled="reason <> ''")] if now else []
    return [
        _whole("receipt_number"),
        _whole("replaced_by"),
        *added,
        *_recorded(),
        _key(table, "receipt_number"),
        *_checks(table, by_a_later_one="replaced_by > receipt_number"),
        _once(table, "replaced_by"),
        _refers(table, ["receipt_number"], "receipt", ["number"]),
        _refers(table, ["replaced_by"], "receipt", ["number"]),
    ]


def _journal_entry(*, now: bool) -> list[Part]:
    table = "journal_entry"
    reverses: list[Part] = [
        _whole("reverses", empty=True),
        _once(table, "reverses"),
        _refers(table, ["reverses"], table, ["number"]),
    ]
    return [
        _whole("number"),
        *map(_words, ("day", "memo", "document", "hash")),
        *(reverses if now else []),
        *_recorded(),
        _key(table, "number"),
        *_checks(
            table,
            memo_filled="memo <> ''",
            day_is_day="day LIKE '____-__-__'",
            hash_whole="length(hash) = 64",
            number_counts="number >= 1",
        ),
    ]


def _journal_posting(*, now: bool) -> list[Part]:
    table = "journal_posting"
    return [
        *map(_whole, ("entry_number", "position")),
        _words("account"),
        _cents("amount"),
        _key(table, "entry_number", "position"),
        *_known(table, account=(*FIRST_ACCOUNTS, "returns and allowances") if now else FIRST_ACCOUNTS),
        *_checks(table, amount_not_zero="amount <> 0"),
        _refers(table, ["entry_number"], "journal_entry", ["number"]),
    ]


def _stock_movement(*, now: bool) -> list[Part]:
    table = "stock_movement"
    reasons = (*FIRST_REASONS[:3], "returned", *FIRST_REASONS[3:]) if now else FIRST_REASONS
    return [
        _whole("number"),
        *map(_words, ("day", "kind", "item_code")),
        _whole("quantity"),
        _cents("unit_cost"),
        _words("reason"),
        _whole("order_number", empty=True),
        _words("note"),
        *_recorded(),
        _key(table, "number"),
        *_known(table, kind=("frame", "accessory"), reason=reasons),
        *_checks(
            table,
            quantity_moves="quantity <> 0",
            unit_cost_not_negative="unit_cost >= 0",
            day_is_day="day LIKE '____-__-__'",
        ),
        _refers(table, ["order_number"], "shop_order", ["number"]),
    ]


PARTS: Mapping[str, Callable[..., list[Part]]] = {
    "customer": _customer,
    "wearer": _wearer,
    "shop_settings": _shop_settings,
    "order_charge": _order_charge,
    "receipt_replacement": _receipt_replacement,
    "journal_entry": _journal_entry,
    "journal_posting": _journal_posting,
    "stock_movement": _stock_movement,
}
CHANGED: Mapping[str, Mapping[str, str]] = {
    "customer": {"printed_name": "''"},
    "wearer": {"printed_name": "''", "claim_within_days": "NULL"},
    "shop_settings": {"standard_bifocal": "NULL", "progressive_base": "'bifocal'", "standard_frame": "NULL"},
    "order_charge": {
        "chosen": "CASE WHEN note LIKE '%was chosen by the owner%' THEN 1 ELSE 0 END",
        "release": f"CASE WHEN code <> '' THEN '{RELEASE}' ELSE '' END",
    },
    "receipt_replacement": {"reason": "'paid in full since'"},
    "journal_entry": {"reverses": "NULL"},
    "journal_posting": {},
    "stock_movement": {},
}
"""Each changed table, and what its new columns say in rows that were there before."""
INDEXES: Mapping[str, Sequence[tuple[str, ...]]] = {
    "customer": [("folded",)],
    "wearer": [("customer_number",), ("folded",)],
    "journal_entry": [("day",), ("document",)],
    "stock_movement": [("kind", "item_code", "day"), ("order_number",)],
}


def _change(table: str, before: list[Part], after: list[Part], fills: Mapping[str, str]) -> None:
    if op.get_bind().dialect.name == "sqlite":
        _make_anew(table, before, after, fills)
    else:
        _alter(table, before, after, fills)


def _make_anew(table: str, before: list[Part], after: list[Part], fills: Mapping[str, str]) -> None:
    """Put the rows aside, make the table in its new form, and put them back: SQLite cannot change a check.

    Foreign keys are off meanwhile, so no row elsewhere is touched; the store sets the guards again and looks for rows
    that point at nothing.
    """
    kept, had = f"kept_{table}", _columns(before)
    op.execute(f"CREATE TABLE {kept} AS SELECT * FROM {table}")  # noqa: S608 - names above
    op.drop_table(table)
    _table(table, *after)
    for columns in INDEXES.get(table, ()):
        _index(table, *columns)
    names = list(_columns(after))
    values = ", ".join(name if name in had else fills[name] for name in names)
    op.execute(f"INSERT INTO {table} ({', '.join(names)}) SELECT {values} FROM {kept}")  # noqa: S608 - names above
    op.drop_table(kept)


def _alter(table: str, before: list[Part], after: list[Part], fills: Mapping[str, str]) -> None:
    had, has = _columns(before), _columns(after)
    rules, wanted = _rules(before), _rules(after)
    for name, rule in rules.items():
        if name not in wanted or _said(rule) != _said(wanted[name]):
            op.drop_constraint(name, table)
    for name, column in has.items():
        if name not in had:
            op.add_column(table, sa.Column(name, column.type, nullable=True))
            op.execute(f"UPDATE {table} SET {name} = {fills[name]}")  # noqa: S608 - names above
            if not column.nullable:
                op.alter_column(table, name, nullable=False)
    for name in had:
        if name not in has:
            op.drop_column(table, name)
    for name, rule in wanted.items():
        if name not in rules or _said(rule) != _said(rules[name]):
            _add_rule(table, name, rule)


def _add_rule(table: str, name: str, rule: sa.Constraint) -> None:
    if isinstance(rule, sa.CheckConstraint):
        op.create_check_constraint(op.f(name), table, str(rule.sqltext))
    elif isinstance(rule, sa.UniqueConstraint):
        op.create_unique_constraint(op.f(name), table, ["reverses"])
    else:
        op.create_foreign_key(op.f(name), table, table, ["reverses"], ["number"], ondelete="RESTRICT")


def _columns(parts: Iterable[Part]) -> dict[str, sa.Column[Any]]:
    return {part.name: part for part in parts if isinstance(part, sa.Column)}


def _rules(parts: Iterable[Part]) -> dict[str, sa.Constraint]:
    return {str(part.name): part for part in parts if isinstance(part, sa.Constraint)}


def _said(rule: sa.Constraint) -> str:
    return str(rule.sqltext) if isinstance(rule, sa.CheckConstraint) else ""


def _table(name: str, *parts: Part) -> None:
    op.create_table(name, *parts, sqlite_strict=True)


def _index(table: str, *columns: str) -> None:
    op.create_index(op.f(f"ix_{table}_{'_'.join(columns)}"), table, list(columns))


def _whole(name: str, *, empty: bool = False) -> sa.Column[int]:
    return sa.Column(name, sa.Integer(), nullable=empty, autoincrement=False)


def _cents(name: str, *, empty: bool = False) -> sa.Column[int]:
    return sa.Column(name, sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=empty)


def _words(name: str, *, empty: bool = False) -> sa.Column[str]:
    return sa.Column(name, sa.Text(), nullable=empty)


def _recorded() -> tuple[sa.Column[str], sa.Column[str]]:
    return _words("operator"), _words("recorded_at")


def _key(table: str, *columns: str) -> sa.PrimaryKeyConstraint:
    return sa.PrimaryKeyConstraint(*columns, name=op.f(f"pk_{table}"))


def _once(table: str, *columns: str) -> sa.UniqueConstraint:
    return sa.UniqueConstraint(*columns, name=op.f(f"uq_{table}_{'_'.join(columns)}"))


def _refers(table: str, columns: Sequence[str], other: str, keys: Sequence[str]) -> sa.ForeignKeyConstraint:
    name = op.f(f"fk_{table}_{'_'.join(columns)}_{other}")
    return sa.ForeignKeyConstraint(columns, [f"{other}.{key}" for key in keys], name=name, ondelete="RESTRICT")


def _checks(table: str, **rules: str) -> tuple[sa.CheckConstraint, ...]:
    return tuple(sa.CheckConstraint(rule, name=op.f(f"ck_{table}_{name}")) for name, rule in rules.items())


def _known(table: str, **columns: Sequence[str]) -> tuple[sa.CheckConstraint, ...]:
    rules = {f"{name}_known": f"{name} IN ({', '.join(map(repr, words))})" for name, words in columns.items()}
    return _checks(table, **rules)
