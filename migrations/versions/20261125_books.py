"""The books: lots of stock with their cost, bills, expenses, deposits, other money, closed months, lens orders.

Stock leaves when an order is shipped, from the lots that came in first. What was kept before is carried over: lots are
worked out from the movements, goods of orders that have not left go back on the shelf and are set aside, and what each
movement cost is posted on its own day. Going down again is refused where the earlier form has no place for what
was posted since.
"""

from __future__ import annotations

import hashlib
import json
from collections import defaultdict, deque
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import UTC, datetime
from typing import Any, TypeAlias

import sqlalchemy as sa
from alembic import op

revision = "20261125_books"
down_revision = "20261125_inspections"
branch_labels = None
depends_on = None

Part: TypeAlias = "sa.Column[int] | sa.Column[str] | sa.Constraint"
EARLIER_ACCOUNTS = (
    *("receivable", "cash", "card clearing", "bank", "sales", "shipping income", "sales tax payable"),
    "returns and allowances",
)
ACCOUNTS = (
    *("receivable", "cash", "card clearing", "bank", "inventory", "jobs in work", "equipment"),
    *("bills to pay", "credit card owed", "customer deposits", "sales tax payable"),
    *("owner contributions", "owner draws", "opening balances"),
    *("sales", "offers and discounts", "shipping income", "tax charged as seller", "returns and allowances"),
    *("other income", "cost of goods sold", "lenses and lab work", "scrap and remakes", "stock differences"),
    *("stock written off", "advertising", "samples and gifts", "car and truck", "commissions and fees"),
    *("contract labour", "insurance", "interest", "legal and professional services", "office expense"),
    *("rent of equipment", "rent of premises", "repairs and maintenance", "supplies", "taxes and licences"),
    *("travel", "meals", "utilities", "wages", "postage and shipping out", "software and services"),
    *("training and licences", "other expense"),
)
CATEGORIES = (
    *("advertising", "car and truck", "commissions and fees", "contract labour", "equipment", "insurance"),
    *("interest", "legal and professional services", "office expense", "rent of equipment", "rent of premises"),
    *("repairs and maintenance", "supplies", "taxes and licences", "travel", "meals", "utilities", "wages"),
    *("postage and shipping out", "software and services", "training and licences", "other expense"),
)
EARLIER_REASONS = ("opening", "received", "sold", "returned", "adjusted")
REASONS = (*EARLIER_REASONS, "written off", "given away", "own use", "sent back")
AGAINST = {
    "opening": "opening balances",
    "received": "opening balances",
    "sold": "cost of goods sold",
    "returned": "cost of goods sold",
    "adjusted": "stock differences",
}
"""What the inventory account is set against for each reason of old."""
METHODS = ("card", "cash", "check", "transfer")
SPEND_METHODS = ("cash", "bank", "card", "owner")
MOVES = (
    *("payout", "banked", "fetched", "card paid", "contribution", "draw", "tax paid", "other income"),
    "opening",
)
COUNTERS = ("bill", "certificate", "bill payment", "deposit", "expense", "lens order", "money", "period", "supplier")
WITHOUT_PLACE = (
    *("certificate", "lens_arrival", "lens_order", "period_event", "taken_back", "deposit", "money_move", "expense"),
    *("bill_payment", "bill_line", "bill", "supplier", "kept_file"),
)
MADE_HERE = ("stock_issue", "stock_lot")
STAMP = {"operator": "shopledger", "recorded_at": ""}


def upgrade() -> None:
    _spending()
    _periods()
    _lens_orders()
    _certificates()
    for table, fills in CHANGED.items():
        _change(table, PARTS[table](now=False), PARTS[table](now=True), fills)
    _index("stock_movement", "day")
    _lots()
    counter = sa.table("counter", sa.column("name"), sa.column("last"))
    op.bulk_insert(counter, [{"name": name, "last": 0} for name in COUNTERS])
    _carry_over()


def downgrade() -> None:
    _refuse_what_has_no_place()
    op.drop_index(op.f("ix_stock_movement_day"), "stock_movement")
    for table in MADE_HERE:
        op.drop_table(table)
    for table in reversed(list(CHANGED)):
        _change(table, PARTS[table](now=True), PARTS[table](now=False), {"unit_cost": "ABS(cost) / ABS(quantity)"})
    for table in WITHOUT_PLACE:
        op.drop_table(table)
    for name in COUNTERS:
        op.execute(f"DELETE FROM counter WHERE name = '{name}'")  # noqa: S608 - names above


def _refuse_what_has_no_place() -> None:
    asked = {table: f"SELECT COUNT(*) FROM {table}" for table in WITHOUT_PLACE}  # noqa: S608 - names above
    accounts = ", ".join(map(repr, EARLIER_ACCOUNTS))
    asked["journal_posting"] = f"SELECT COUNT(*) FROM journal_posting WHERE account NOT IN ({accounts})"  # noqa: S608
    asked["stock_level"] = "SELECT COUNT(*) FROM stock_level WHERE set_aside <> 0"
    for table, question in asked.items():
        if op.get_bind().execute(sa.text(question)).scalar_one():
            message = f"the earlier form has no place for the rows of {table}; nothing was changed"
            raise RuntimeError(message)


# ------------------------------------------------------------ new tables


def _spending() -> None:
    _table(
        "kept_file",
        *map(_words, ("sha256", "name")),
        _cents("size"),
        *_recorded(),
        _key("kept_file", "sha256"),
        *_checks(
            "kept_file", sha256_whole="length(sha256) = 64", name_filled="name <> ''", size_not_negative="size >= 0"
        ),
    )
    _table(
        "supplier",
        _whole("number"),
        *map(_words, ("name", "folded", "account", "phone", "email", "note")),
        *_recorded(),
        _key("supplier", "number"),
        *_checks("supplier", name_filled="name <> ''"),
    )
    _index("supplier", "folded")
    _bills()
    _table(
        "expense",
        _whole("number"),
        *map(_words, ("day", "payee", "category", "description")),
        _cents("amount"),
        *map(_words, ("method", "reference")),
        _words("file_sha256", empty=True),
        *_recorded(),
        _key("expense", "number"),
        *_known("expense", category=CATEGORIES, method=SPEND_METHODS),
        *_checks("expense", amount_positive="amount > 0", payee_filled="payee <> ''", **_is_day("day")),
        _refers("expense", ["file_sha256"], "kept_file", ["sha256"]),
    )
    _index("expense", "day")
    _table(
        "money_move",
        _whole("number"),
        *map(_words, ("day", "kind", "till")),
        *map(_cents, ("amount", "fee")),
        *map(_words, ("state", "reference", "note")),
        *_recorded(),
        _key("money_move", "number"),
        *_known("money_move", kind=MOVES, till=("cash", "bank")),
        *_checks(
            "money_move",
            amount_positive="amount > 0",
            fee_not_negative="fee >= 0",
            fee_within_amount="fee <= amount",
            **_is_day("day"),
        ),
    )
    _index("money_move", "day")
    _table(
        "deposit",
        *map(_whole, ("number", "customer_number")),
        _words("day"),
        _cents("amount"),
        *map(_words, ("method", "reference", "note")),
        _whole("gives_back", empty=True),
        *_recorded(),
        _key("deposit", "number"),
        *_known("deposit", method=METHODS),
        *_checks("deposit", amount_positive="amount > 0", **_is_day("day")),
        _refers("deposit", ["customer_number"], "customer", ["number"]),
        _refers("deposit", ["gives_back"], "deposit", ["number"]),
    )
    for column in ("customer_number", "day", "gives_back"):
        _index("deposit", column)
    _table(
        "taken_back",
        *map(_words, ("document", "day", "reason")),
        *_recorded(),
        _key("taken_back", "document"),
        *_checks("taken_back", reason_filled="reason <> ''", **_is_day("day")),
    )
    _index("taken_back", "day")


def _bills() -> None:
    _table(
        "bill",
        *map(_whole, ("number", "supplier_number")),
        *map(_words, ("invoice", "day")),
        _words("due_on", empty=True),
        _words("note"),
        _words("file_sha256", empty=True),
        *_recorded(),
        _key("bill", "number"),
        *_checks("bill", **_is_day("day", "due_on")),
        _refers("bill", ["supplier_number"], "supplier", ["number"]),
        _refers("bill", ["file_sha256"], "kept_file", ["sha256"]),
    )
    _index("bill", "supplier_number")
    _index("bill", "day")
    _table(
        "bill_line",
        *map(_whole, ("bill_number", "position")),
        *map(_words, ("kind", "description")),
        _words("item_kind", empty=True),
        _words("item_code"),
        _whole("quantity"),
        _whole("job_number", empty=True),
        _words("category", empty=True),
        *map(_cents, ("amount", "landed")),
        _key("bill_line", "bill_number", "position"),
        *_known(
            "bill_line",
            kind=("stock", "job", "expense", "freight"),
            item_kind=("frame", "accessory"),
            category=CATEGORIES,
        ),
        *_checks(
            "bill_line",
            quantity_not_negative="quantity >= 0",
            amount_not_negative="amount >= 0",
            landed_not_negative="landed >= 0",
            stock_names_an_item="(kind = 'stock') = (item_kind IS NOT NULL)",
            job_named="(kind = 'job') = (job_number IS NOT NULL)",
            expense_has_a_category="(kind = 'expense') = (category IS NOT NULL)",
        ),
        _refers("bill_line", ["bill_number"], "bill", ["number"]),
        _refers("bill_line", ["job_number"], "order_pair", ["job_number"]),
    )
    _index("bill_line", "job_number")
    _table(
        "bill_payment",
        *map(_whole, ("number", "bill_number")),
        _words("day"),
        _cents("amount"),
        *map(_words, ("method", "reference")),
        *_recorded(),
        _key("bill_payment", "number"),
        *_known("bill_payment", method=SPEND_METHODS),
        *_checks("bill_payment", amount_positive="amount > 0", **_is_day("day")),
        _refers("bill_payment", ["bill_number"], "bill", ["number"]),
    )
    _index("bill_payment", "bill_number")
    _index("bill_payment", "day")


def _periods() -> None:
    _table(
        "period_event",
        _whole("number"),
        *map(_words, ("month", "deed", "reason", "accepted")),
        _whole("head_count"),
        _words("head_hash"),
        *_recorded(),
        _key("period_event", "number"),
        *_known("period_event", deed=("closed", "reopened")),
        *_checks(
            "period_event",
            month_is_month="month LIKE '____-__'",
            reopened_for_a_reason="deed <> 'reopened' OR reason <> ''",
            head_whole="length(head_hash) = 64",
            head_count_not_negative="head_count >= 0",
        ),
    )
    _index("period_event", "month")


def _lens_orders() -> None:
    _table(
        "lens_order",
        *map(_whole, ("number", "job_number", "supplier_number")),
        _words("day"),
        _words("expected_on", empty=True),
        _whole("follows", empty=True),
        *map(_words, ("note", "body", "sha256")),
        *_recorded(),
        _key("lens_order", "number"),
        *_checks(
            "lens_order",
            body_filled="body <> ''",
            sha256_whole="length(sha256) = 64",
            **_is_day("day", "expected_on"),
        ),
        _refers("lens_order", ["follows"], "lens_order", ["number"]),
        _refers("lens_order", ["job_number"], "order_pair", ["job_number"]),
        _refers("lens_order", ["supplier_number"], "supplier", ["number"]),
    )
    _index("lens_order", "job_number")
    _index("lens_order", "supplier_number")
    _table(
        "lens_arrival",
        _whole("lens_order_number"),
        *map(_words, ("day", "note")),
        *_recorded(),
        _key("lens_arrival", "lens_order_number"),
        *_checks("lens_arrival", **_is_day("day")),
        _refers("lens_arrival", ["lens_order_number"], "lens_order", ["number"]),
    )


def _certificates() -> None:
    _table(
        "certificate",
        *map(_whole, ("number", "inspection_number")),
        *map(_words, ("body", "sha256")),
        *_recorded(),
        _key("certificate", "number"),
        *_checks("certificate", body_filled="body <> ''", sha256_whole="length(sha256) = 64"),
        _refers("certificate", ["inspection_number"], "inspection", ["number"]),
    )
    _index("certificate", "inspection_number")


def _lots() -> None:
    _table(
        "stock_issue",
        *map(_whole, ("movement_number", "position", "lot", "quantity")),
        _cents("cost"),
        _key("stock_issue", "movement_number", "position"),
        *_checks("stock_issue", quantity_counts="quantity >= 1", cost_not_negative="cost >= 0"),
        _refers("stock_issue", ["lot"], "stock_movement", ["number"]),
        _refers("stock_issue", ["movement_number"], "stock_movement", ["number"]),
    )
    _index("stock_issue", "lot")
    _table(
        "stock_lot",
        _whole("number"),
        *map(_words, ("kind", "item_code", "day")),
        _whole("on_hand"),
        _cents("cost"),
        _key("stock_lot", "number"),
        *_known("stock_lot", kind=("frame", "accessory")),
        *_checks("stock_lot", on_hand_counts="on_hand >= 1", cost_not_negative="cost >= 0"),
        _refers("stock_lot", ["number"], "stock_movement", ["number"]),
    )
    _index("stock_lot", "kind", "item_code", "day")


# ------------------------------------------------------------ tables that change, before and now


def _shop_settings(*, now: bool) -> list[Part]:
    table = "shop_settings"
    added: list[Part] = []
    if now:
        added = [*map(_words, ("accounting", "inventory_view"))]
        added += _known(table, accounting=("accrual", "cash"), inventory_view=("inventory", "materials"))
    return [
        _whole("one"),
        _words("tax_rounding"),
        *map(_whole, ("progressive_share", "screen_share", "blank_allowance")),
        _cents("shipping_charge"),
        _words("paper"),
        _cents("standard_bifocal", empty=True),
        _words("progressive_base"),
        _cents("standard_frame", empty=True),
        *added,
        *_recorded(),
        _key(table, "one"),
        *_known(
            table,
            tax_rounding=("line", "order"),
            paper=("letter", "a4"),
            progressive_base=("bifocal", "trifocal"),
        ),
        *_checks(
            table,
            one_row="one = 1",
            progressive_share_range="progressive_share BETWEEN 0 AND 1000000",
            screen_share_range="screen_share BETWEEN 0 AND 1000000",
            blank_allowance_not_negative="blank_allowance >= 0",
            shipping_charge_not_negative="shipping_charge >= 0",
            standard_bifocal_not_negative="standard_bifocal >= 0",
            standard_frame_not_negative="standard_frame >= 0",
        ),
    ]


def _tax_rate(*, now: bool) -> list[Part]:
    table = "tax_rate"
    added: list[Part] = []
    if now:
        added = [*map(_words, ("imposed_on", "exempt_reason")), *_known(table, imposed_on=("buyer", "seller"))]
        added += _checks(table, exempt_at_nought="exempt_reason = '' OR rate = 0")
    return [
        *map(_words, ("state", "category", "valid_from")),
        _whole("rate"),
        *added,
        *_recorded(),
        _key(table, "state", "category", "valid_from"),
        *_known(table, category=("prescription eyewear", "non-prescription", "accessory", "service", "shipping")),
        *_checks(table, rate_range="rate BETWEEN 0 AND 300000", **_is_day("valid_from")),
    ]


def _shop_order(*, now: bool) -> list[Part]:
    table = "shop_order"
    return [
        *map(_whole, ("number", "customer_number")),
        *map(_words, ("day", "street", "second_line", "city", "state", "postcode", "tax_rounding", "note")),
        *([_words("tax_exempt")] if now else []),
        *_recorded(),
        _key(table, "number"),
        *_known(table, tax_rounding=("line", "order")),
        *_checks(table, **_is_day("day")),
        _refers(table, ["customer_number"], "customer", ["number"]),
    ]


def _order_line(*, now: bool) -> list[Part]:
    table = "order_line"
    added: list[Part] = []
    if now:
        added = [*map(_words, ("tax_imposed_on", "tax_reason")), _words("demo_lenses", empty=True)]
        added += _known(table, tax_imposed_on=("buyer", "seller"), demo_lenses=("removed", "marked"))
    return [
        *map(_whole, ("order_number", "position")),
        *map(_words, ("kind", "item_code", "description")),
        *map(_cents, ("list_price", "reduction", "net")),
        *map(_words, ("tax_category", "reimbursement", "reimbursement_reason")),
        _whole("tax_rate"),
        _cents("tax"),
        _whole("quantity"),
        _whole("pair", empty=True),
        _whole("wearer_number", empty=True),
        _words("offer_code"),
        *added,
        _key(table, "order_number", "position"),
        *_known(
            table,
            kind=("frame", "lenses", "extra", "accessory", "shipping"),
            tax_category=("prescription eyewear", "non-prescription", "accessory", "service", "shipping"),
            reimbursement=("eligible", "not eligible", "plan decides"),
        ),
        *_checks(
            table,
            list_price_not_negative="list_price >= 0",
            reduction_not_negative="reduction >= 0",
            net_not_negative="net >= 0",
            tax_rate_not_negative="tax_rate >= 0",
            tax_not_negative="tax >= 0",
            net_is_list_less_reduction="net = list_price - reduction",
            quantity_counts="quantity >= 1",
        ),
        _refers(table, ["order_number", "pair"], "order_pair", ["order_number", "position"]),
        _refers(table, ["order_number"], "shop_order", ["number"]),
        _refers(table, ["wearer_number"], "wearer", ["number"]),
    ]


def _payment(*, now: bool) -> list[Part]:
    table = "payment"
    added: list[Part] = []
    if now:
        added = [_whole("deposit_number", empty=True), _refers(table, ["deposit_number"], "deposit", ["number"])]
    return [
        *map(_whole, ("number", "order_number")),
        _words("day"),
        _cents("amount"),
        *map(_words, ("method", "reference")),
        *added,
        *_recorded(),
        _key(table, "number"),
        *_known(table, method=METHODS),
        *_checks(table, amount_positive="amount > 0", **_is_day("day")),
        _refers(table, ["order_number"], "shop_order", ["number"]),
    ]


def _journal_posting(*, now: bool) -> list[Part]:
    table = "journal_posting"
    return [
        *map(_whole, ("entry_number", "position")),
        _words("account"),
        _cents("amount"),
        _key(table, "entry_number", "position"),
        *_known(table, account=ACCOUNTS if now else EARLIER_ACCOUNTS),
        *_checks(table, amount_not_zero="amount <> 0"),
        _refers(table, ["entry_number"], "journal_entry", ["number"]),
    ]


def _stock_movement(*, now: bool) -> list[Part]:
    table = "stock_movement"
    added: list[Part] = []
    if now:
        added = [_whole("job_number", empty=True), _whole("bill_number", empty=True)]
        added += [_refers(table, ["job_number"], "order_pair", ["job_number"])]
        added += [_refers(table, ["bill_number"], "bill", ["number"])]
        added += _checks(table, cost_goes_with_quantity="cost = 0 OR (cost > 0) = (quantity > 0)")
    else:
        added = [*_checks(table, unit_cost_not_negative="unit_cost >= 0")]
    return [
        _whole("number"),
        *map(_words, ("day", "kind", "item_code")),
        _whole("quantity"),
        _cents("cost" if now else "unit_cost"),
        _words("reason"),
        _whole("order_number", empty=True),
        *(part for part in added if isinstance(part, sa.Column)),
        _words("note"),
        *_recorded(),
        _key(table, "number"),
        *_known(table, kind=("frame", "accessory"), reason=REASONS if now else EARLIER_REASONS),
        *_checks(table, quantity_moves="quantity <> 0", **_is_day("day")),
        _refers(table, ["order_number"], "shop_order", ["number"]),
        *(part for part in added if not isinstance(part, sa.Column)),
    ]


def _stock_level(*, now: bool) -> list[Part]:
    table = "stock_level"
    added: list[Part] = []
    if now:
        added = [_whole("set_aside")]
        added += _checks(table, on_hand_not_negative="on_hand >= 0", set_aside_not_negative="set_aside >= 0")
    return [
        *map(_words, ("kind", "item_code")),
        _whole("on_hand"),
        *(part for part in added if isinstance(part, sa.Column)),
        _cents("last_cost"),
        _key(table, "kind", "item_code"),
        *_known(table, kind=("frame", "accessory")),
        *(part for part in added if not isinstance(part, sa.Column)),
        *_checks(table, last_cost_not_negative="last_cost >= 0"),
    ]


PARTS: Mapping[str, Callable[..., list[Part]]] = {
    "shop_settings": _shop_settings,
    "tax_rate": _tax_rate,
    "shop_order": _shop_order,
    "order_line": _order_line,
    "payment": _payment,
    "journal_posting": _journal_posting,
    "stock_movement": _stock_movement,
    "stock_level": _stock_level,
}
CHANGED: Mapping[str, Mapping[str, str]] = {
    "shop_settings": {"accounting": "'accrual'", "inventory_view": "'inventory'"},
    "tax_rate": {"imposed_on": "'buyer'", "exempt_reason": "''"},
    "shop_order": {"tax_exempt": "''"},
    "order_line": {"tax_imposed_on": "'buyer'", "tax_reason": "''", "demo_lenses": "NULL"},
    "payment": {"deposit_number": "NULL"},
    "journal_posting": {},
    "stock_movement": {"cost": "quantity * unit_cost", "job_number": "NULL", "bill_number": "NULL"},
    "stock_level": {"set_aside": "0"},
}
"""Each changed table, and what its new columns say in rows that were there before."""
INDEXES: Mapping[str, Sequence[tuple[str, ...]]] = {
    "shop_order": [("customer_number",), ("day",)],
    "order_line": [("order_number", "pair"), ("wearer_number",)],
    "payment": [("day",), ("order_number",), ("deposit_number",)],
    "stock_movement": [("kind", "item_code", "day"), ("order_number",), ("job_number",), ("bill_number",)],
}
"""The indexes of each changed table; those on new columns are dropped with them."""


# ------------------------------------------------------------ carrying over what was kept before


def _carry_over() -> None:
    """Put goods of orders that have not left back on the shelf, make the lots, and post what each movement cost."""
    STAMP["recorded_at"] = datetime.now(UTC).isoformat(timespec="seconds")
    _put_back()
    _make_lots()
    _post_movements()


def _put_back() -> None:
    rows = _asked(
        "SELECT moved.order_number, moved.kind, moved.item_code, MAX(moved.day) AS day, "
        "-SUM(moved.quantity) AS quantity, -SUM(moved.cost) AS cost FROM stock_movement moved "
        "WHERE moved.order_number IS NOT NULL "
        "AND NOT EXISTS (SELECT 1 FROM shipment WHERE shipment.order_number = moved.order_number) "
        "AND NOT EXISTS (SELECT 1 FROM cancellation WHERE cancellation.order_number = moved.order_number) "
        "GROUP BY moved.order_number, moved.kind, moved.item_code HAVING SUM(moved.quantity) < 0 "
        "ORDER BY moved.order_number, moved.kind, moved.item_code"
    )
    for row in rows:
        number = _next("movement")
        _add(
            "stock_movement",
            number=number,
            day=row.day,
            kind=row.kind,
            item_code=row.item_code,
            quantity=row.quantity,
            cost=row.cost,
            reason="returned",
            order_number=row.order_number,
            job_number=None,
            bill_number=None,
            note="set aside on the shelf: goods leave the stock when they are shipped",
            **STAMP,
        )
        op.get_bind().execute(
            sa.text(
                "UPDATE stock_level SET on_hand = on_hand + :quantity, set_aside = set_aside + :quantity "
                "WHERE kind = :kind AND item_code = :code"
            ),
            {"quantity": row.quantity, "kind": row.kind, "code": row.item_code},
        )


def _make_lots() -> None:
    """Work through all movements, first in first out.

    What came back from an order comes back at what it left at.
    """
    lots: dict[tuple[str, str], deque[dict[str, Any]]] = defaultdict(deque)
    away: dict[tuple[int, str, str], list[int]] = defaultdict(lambda: [0, 0])
    for row in _asked(
        "SELECT number, day, kind, item_code, quantity, cost, order_number FROM stock_movement ORDER BY number"
    ):
        mine = lots[row.kind, row.item_code]
        gone = away[row.order_number or 0, row.kind, row.item_code]
        if row.quantity > 0:
            cost = row.cost
            if row.order_number is not None and gone[0] >= row.quantity:
                cost = _share(gone[1], row.quantity, gone[0])
                _recost(row.number, cost)
                gone[0], gone[1] = gone[0] - row.quantity, gone[1] - cost
            mine.append({"number": row.number, "day": row.day, "on_hand": row.quantity, "cost": cost})
            continue
        taken = list(_taken(mine, -row.quantity))
        for place, (lot_number, count, cost) in enumerate(taken, start=1):
            _add("stock_issue", movement_number=row.number, position=place, lot=lot_number, quantity=count, cost=cost)
        spent = sum(cost for _, _, cost in taken)
        _recost(row.number, -spent)
        gone[0], gone[1] = gone[0] - row.quantity, gone[1] + spent
    for (kind, code), left in lots.items():
        for lot in left:
            _add("stock_lot", kind=kind, item_code=code, **lot)


def _taken(lots: deque[dict[str, Any]], wanted: int) -> Iterable[tuple[int, int, int]]:
    while wanted and lots:
        lot = lots[0]
        count = min(wanted, lot["on_hand"])
        cost = _share(lot["cost"], count, lot["on_hand"])
        lot["on_hand"] -= count
        lot["cost"] -= cost
        wanted -= count
        if not lot["on_hand"]:
            lots.popleft()
        yield lot["number"], count, cost


def _share(cost: int, count: int, of: int) -> int:
    return (2 * cost * count + of) // (2 * of)


def _recost(number: int, cost: int) -> None:
    changed = sa.text("UPDATE stock_movement SET cost = :cost WHERE number = :number")
    op.get_bind().execute(changed, {"cost": cost, "number": number})


def _post_movements() -> None:
    """Post what each movement cost on its own day, chained to the entries before.

    Nobody knows from whom goods came or how they were paid: what was received stands against the opening balances.
    """
    last = _asked("SELECT hash FROM journal_entry ORDER BY number DESC LIMIT 1")
    before = last[0].hash if last else "0" * 64
    for row in _asked("SELECT * FROM stock_movement WHERE cost <> 0 ORDER BY number"):
        memo, document = f"{row.reason}: {row.quantity:+d} {row.item_code}", f"movement {row.number}"
        if row.reason == "sold":
            memo = f"cost of goods shipped, order {row.order_number}"
            document = f"shipment of order {row.order_number}"
        postings = [["inventory", row.cost], [AGAINST[row.reason], -row.cost]]
        before = _post({"day": row.day, "document": document, "memo": memo, "postings": postings}, before)


def _post(body: Mapping[str, Any], before: str) -> str:
    """Post one entry; gives its hash."""
    canonical = json.dumps(body, ensure_ascii=False, separators=(",", ":"), sort_keys=True).encode()
    number, digest = _next("entry"), hashlib.sha256(bytes.fromhex(before) + canonical).hexdigest()
    words = {name: body[name] for name in ("day", "memo", "document")}
    _add("journal_entry", number=number, **words, hash=digest, reverses=None, **STAMP)
    for place, (account, amount) in enumerate(body["postings"], start=1):
        _add("journal_posting", entry_number=number, position=place, account=account, amount=amount)
    return digest


def _asked(question: str) -> Sequence[sa.Row[Any]]:
    return op.get_bind().execute(sa.text(question)).all()


def _add(table: str, **values: object) -> None:
    named = ", ".join(f":{name}" for name in values)
    op.get_bind().execute(sa.text(f"INSERT INTO {table} ({', '.join(values)}) VALUES ({named})"), values)  # noqa: S608


def _next(counter: str) -> int:
    op.execute(f"UPDATE counter SET last = last + 1 WHERE name = '{counter}'")  # noqa: S608 - names above
    return int(_asked(f"SELECT last FROM counter WHERE name = '{counter}'")[0].last)  # noqa: S608 - names above


# ------------------------------------------------------------ how a table is changed


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
        if set(columns) <= set(_columns(after)):
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
    _index_new_columns(table, set(has) - set(had))


def _index_new_columns(table: str, new: set[str]) -> None:
    for columns in INDEXES.get(table, ()):
        if set(columns) & new:
            _index(table, *columns)


def _add_rule(table: str, name: str, rule: sa.Constraint) -> None:
    if isinstance(rule, sa.CheckConstraint):
        op.create_check_constraint(op.f(name), table, str(rule.sqltext))
    elif isinstance(rule, sa.ForeignKeyConstraint):
        element = rule.elements[0]
        other, key = str(element.target_fullname).split(".")
        op.create_foreign_key(op.f(name), table, other, list(rule.column_keys), [key], ondelete="RESTRICT")


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


def _refers(table: str, columns: Sequence[str], other: str, keys: Sequence[str]) -> sa.ForeignKeyConstraint:
    name = op.f(f"fk_{table}_{'_'.join(columns)}_{other}")
    return sa.ForeignKeyConstraint(columns, [f"{other}.{key}" for key in keys], name=name, ondelete="RESTRICT")


def _checks(table: str, **rules: str) -> tuple[sa.CheckConstraint, ...]:
    return tuple(sa.CheckConstraint(rule, name=op.f(f"ck_{table}_{name}")) for name, rule in rules.items())


def _known(table: str, **columns: Sequence[str]) -> tuple[sa.CheckConstraint, ...]:
    rules = {f"{name}_known": f"{name} IN ({', '.join(map(repr, words))})" for name, words in columns.items()}
    return _checks(table, **rules)


def _is_day(*columns: str) -> dict[str, str]:
    return {f"{column}_is_day": f"{column} LIKE '____-__-__'" for column in columns}
