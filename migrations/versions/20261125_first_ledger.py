"""The first ledger: the shop, its people, its catalogue, what was prescribed and traced, sold, paid and posted.

Every quantity is a whole number of a small unit, every day ISO text, every flag 0 or 1. Tables are STRICT on SQLite.
"""

from __future__ import annotations

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision = "20261125_first_ledger"
down_revision = None
branch_labels = None
depends_on = None

COUNTERS = (
    "accessory",
    "audit",
    "customer",
    "draft",
    "entry",
    "extra",
    "frame",
    "job",
    "lens",
    "movement",
    "offer",
    "order",
    "payment",
    "prescriber",
    "prescription",
    "receipt",
    "trace",
    "wearer",
)


def upgrade() -> None:
    _shop()
    _people()
    _catalogue()
    _prescriptions()
    _traces()
    _orders()
    _receipts()
    _books()
    _stock()
    counter = sa.table("counter", sa.column("name"), sa.column("last"))
    op.bulk_insert(counter, [{"name": name, "last": 0} for name in COUNTERS])


def downgrade() -> None:
    for name in (
        "stock_level",
        "stock_movement",
        "journal_posting",
        "journal_entry",
        "receipt_print",
        "receipt_replacement",
        "receipt",
        "draft_recording",
        "draft_order",
        "shipment",
        "payment",
        "order_warning",
        "order_charge",
        "order_line",
        "order_pair_eye",
        "order_pair_extra",
        "order_pair",
        "shop_order",
        "trace",
        "prescription_warning",
        "prescription_eye",
        "prescription",
        "offer_match",
        "offer",
        "accessory",
        "extra",
        "lens_blank",
        "lens",
        "frame",
        "prescriber",
        "wearer",
        "customer",
        "audit_note",
        "counter",
        "tax_rate",
        "shop_settings",
        "shop",
    ):
        op.drop_table(name)


def _table(name: str, *parts: sa.Column[int] | sa.Column[str] | sa.Constraint) -> None:
    op.create_table(name, *parts, sqlite_strict=True)


def _index(table: str, *columns: str) -> None:
    op.create_index(op.f(f"ix_{table}_{'_'.join(columns)}"), table, list(columns))


def _whole(name: str, *, empty: bool = False) -> sa.Column[int]:
    return sa.Column(name, sa.Integer(), nullable=empty, autoincrement=False)


def _cents(name: str) -> sa.Column[int]:
    return sa.Column(name, sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False)


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


def _shop() -> None:
    _table(
        "shop",
        _whole("one"),
        _words("name"),
        _words("street"),
        _words("second_line"),
        _words("city"),
        _words("state"),
        _words("postcode"),
        _words("phone"),
        _words("ein"),
        _words("email"),
        _words("npi"),
        _words("receipt_wording"),
        *_recorded(),
        _key("shop", "one"),
        *_checks("shop", one_row="one = 1", name_filled="name <> ''", ein_filled="ein <> ''"),
    )
    _table(
        "shop_settings",
        _whole("one"),
        _words("tax_rounding"),
        _whole("progressive_share"),
        _whole("screen_share"),
        _whole("blank_allowance"),
        _cents("shipping_charge"),
        _words("paper"),
        *_recorded(),
        _key("shop_settings", "one"),
        *_known("shop_settings", tax_rounding=("line", "order"), paper=("letter", "a4")),
        *_checks(
            "shop_settings",
            one_row="one = 1",
            progressive_share_range="progressive_share BETWEEN 0 AND 1000000",
            screen_share_range="screen_share BETWEEN 0 AND 1000000",
            blank_allowance_not_negative="blank_allowance >= 0",
            shipping_charge_not_negative="shipping_charge >= 0",
        ),
    )
    _table(
        "tax_rate",
        _words("state"),
        _words("category"),
        _words("valid_from"),
        _whole("rate"),
        *_recorded(),
        _key("tax_rate", "state", "category", "valid_from"),
        *_known("tax_rate", category=("prescription eyewear", "non-prescription", "accessory", "service", "shipping")),
        *_checks("tax_rate", rate_range="rate BETWEEN 0 AND 300000", valid_from_is_day="valid_from LIKE '____-__-__'"),
    )
    _table(
        "counter",
        _words("name"),
        _whole("last"),
        _key("counter", "name"),
        *_checks("counter", last_not_negative="last >= 0"),
    )
    _table(
        "audit_note",
        _whole("number"),
        _words("deed"),
        _words("subject"),
        *_recorded(),
        _key("audit_note", "number"),
        *_checks("audit_note", deed_filled="deed <> ''"),
    )
    _index("audit_note", "subject")


def _people() -> None:
    _table(
        "customer",
        _whole("number"),
        _words("name"),
        _words("folded"),
        _words("street"),
        _words("second_line"),
        _words("city"),
        _words("state"),
        _words("postcode"),
        _words("phone"),
        _words("email"),
        *_recorded(),
        _key("customer", "number"),
        *_checks("customer", name_filled="name <> ''"),
    )
    _index("customer", "folded")
    _table(
        "wearer",
        _whole("number"),
        _whole("customer_number"),
        _words("name"),
        _words("folded"),
        _words("relationship"),
        _words("birth_date", empty=True),
        _words("member_id"),
        *_recorded(),
        _key("wearer", "number"),
        *_known("wearer", relationship=("self", "spouse", "child", "other")),
        *_checks("wearer", name_filled="name <> ''", birth_date_is_day="birth_date LIKE '____-__-__'"),
        _refers("wearer", ["customer_number"], "customer", ["number"]),
    )
    _index("wearer", "customer_number")
    _index("wearer", "folded")
    _table(
        "prescriber",
        _whole("number"),
        _words("name"),
        _words("folded"),
        _words("phone"),
        _words("npi"),
        *_recorded(),
        _key("prescriber", "number"),
        *_checks("prescriber", name_filled="name <> ''"),
    )
    _index("prescriber", "folded")


def _catalogue() -> None:
    _table(
        "frame",
        _words("code"),
        _whole("number"),
        _words("maker"),
        _words("model"),
        _words("colour"),
        _whole("eye_size"),
        _whole("bridge"),
        _whole("temple"),
        _cents("price"),
        _cents("cost"),
        _whole("owned_by", empty=True),
        *_recorded(),
        _key("frame", "code"),
        *_checks(
            "frame",
            code_filled="code <> ''",
            maker_filled="maker <> ''",
            model_filled="model <> ''",
            colour_filled="colour <> ''",
            eye_size_range="eye_size BETWEEN 3000 AND 7500",
            bridge_range="bridge BETWEEN 800 AND 3200",
            temple_range="temple BETWEEN 9000 AND 17000",
            price_not_negative="price >= 0",
            cost_not_negative="cost >= 0",
        ),
        _once("frame", "number"),
        _refers("frame", ["owned_by"], "customer", ["number"]),
    )
    _index("frame", "owned_by")
    _table(
        "lens",
        _words("code"),
        _whole("number"),
        _words("name"),
        _words("design"),
        _words("material"),
        _words("material_class"),
        _whole("refractive_index"),
        _whole("abbe"),
        _whole("density"),
        _cents("price"),
        _cents("cost"),
        _whole("corridor", empty=True),
        _whole("min_fitting_height", empty=True),
        _whole("min_centre"),
        _whole("min_edge"),
        _cents("design_part"),
        _cents("material_part"),
        *_recorded(),
        _key("lens", "code"),
        *_known(
            "lens",
            design=("single vision", "bifocal", "trifocal", "progressive", "occupational"),
            material_class=("plastic", "polycarbonate", "urethane", "glass"),
        ),
        *_checks(
            "lens",
            code_filled="code <> ''",
            name_filled="name <> ''",
            refractive_index_range="refractive_index BETWEEN 14000 AND 20000",
            abbe_range="abbe BETWEEN 2000 AND 7000",
            density_range="density BETWEEN 9000 AND 40000",
            price_not_negative="price >= 0",
            cost_not_negative="cost >= 0",
            design_part_not_negative="design_part >= 0",
            material_part_not_negative="material_part >= 0",
            parts_within_price="design_part + material_part <= price",
        ),
        _once("lens", "number"),
    )
    _table(
        "lens_blank",
        _words("lens_code"),
        _whole("diameter"),
        _key("lens_blank", "lens_code", "diameter"),
        *_checks("lens_blank", diameter_range="diameter BETWEEN 4000 AND 9000"),
        _refers("lens_blank", ["lens_code"], "lens", ["code"]),
    )
    _table(
        "extra",
        _words("code"),
        _whole("number"),
        _words("name"),
        _words("kind"),
        _cents("price"),
        _cents("cost"),
        *_recorded(),
        _key("extra", "code"),
        *_known(
            "extra",
            kind=(
                "anti-reflective",
                "uv",
                "scratch",
                "tint",
                "photochromic",
                "mirror",
                "polarized",
                "oversize",
                "prism",
                "slab-off",
                "other",
            ),
        ),
        *_checks(
            "extra",
            code_filled="code <> ''",
            name_filled="name <> ''",
            price_not_negative="price >= 0",
            cost_not_negative="cost >= 0",
        ),
        _once("extra", "number"),
    )
    _table(
        "accessory",
        _words("code"),
        _whole("number"),
        _words("name"),
        _cents("price"),
        _cents("cost"),
        _words("tax_category"),
        _words("reimbursement"),
        _words("claim_code"),
        *_recorded(),
        _key("accessory", "code"),
        *_known(
            "accessory",
            tax_category=("prescription eyewear", "non-prescription", "accessory", "service", "shipping"),
            reimbursement=("eligible", "not eligible", "plan decides"),
        ),
        *_checks(
            "accessory",
            code_filled="code <> ''",
            name_filled="name <> ''",
            price_not_negative="price >= 0",
            cost_not_negative="cost >= 0",
        ),
        _once("accessory", "number"),
    )
    _table(
        "offer",
        _words("code"),
        _whole("number"),
        _words("name"),
        _words("kind"),
        _whole("percent"),
        _cents("price"),
        _words("sharing"),
        _whole("automatic"),
        _whole("from_pair"),
        _words("starts", empty=True),
        _words("ends", empty=True),
        *_recorded(),
        _key("offer", "code"),
        *_known("offer", kind=("included", "percent", "package"), sharing=("reduced lines", "all lines")),
        *_checks(
            "offer",
            code_filled="code <> ''",
            name_filled="name <> ''",
            percent_range="percent BETWEEN 0 AND 1000000",
            automatic_flag="automatic IN (0, 1)",
            price_not_negative="price >= 0",
            from_pair_counts="from_pair >= 1",
            starts_is_day="starts LIKE '____-__-__'",
            ends_is_day="ends LIKE '____-__-__'",
            ends_after_start="starts <= ends",
        ),
        _once("offer", "number"),
    )
    _table(
        "offer_match",
        _words("offer_code"),
        _words("role"),
        _whole("position"),
        _words("kind"),
        _words("design", empty=True),
        _words("item_code", empty=True),
        _key("offer_match", "offer_code", "role", "position"),
        *_known(
            "offer_match",
            role=("needs", "reduces"),
            kind=("frame", "lenses", "extra", "accessory", "shipping"),
            design=("single vision", "bifocal", "trifocal", "progressive", "occupational"),
        ),
        _refers("offer_match", ["offer_code"], "offer", ["code"]),
    )


def _prescriptions() -> None:
    _table(
        "prescription",
        _whole("number"),
        _whole("wearer_number"),
        _whole("prescriber_number"),
        _words("written_on"),
        _words("expires_on", empty=True),
        _whole("intermediate", empty=True),
        _words("document"),
        *_recorded(),
        _key("prescription", "number"),
        *_checks(
            "prescription",
            written_on_is_day="written_on LIKE '____-__-__'",
            expires_on_is_day="expires_on LIKE '____-__-__'",
            expires_after_writing="written_on <= expires_on",
        ),
        _refers("prescription", ["prescriber_number"], "prescriber", ["number"]),
        _refers("prescription", ["wearer_number"], "wearer", ["number"]),
    )
    _index("prescription", "prescriber_number")
    _index("prescription", "wearer_number", "written_on")
    _table(
        "prescription_eye",
        _whole("prescription_number"),
        _words("side"),
        _whole("sphere"),
        _whole("cylinder"),
        _whole("axis", empty=True),
        _whole("add_power", empty=True),
        _whole("balance"),
        _whole("prism_1", empty=True),
        _words("base_1", empty=True),
        _whole("prism_2", empty=True),
        _words("base_2", empty=True),
        _key("prescription_eye", "prescription_number", "side"),
        *_known(
            "prescription_eye",
            side=("right", "left"),
            base_1=("in", "out", "up", "down"),
            base_2=("in", "out", "up", "down"),
        ),
        *_checks(
            "prescription_eye",
            sphere_range="sphere BETWEEN -4000 AND 4000",
            cylinder_range="cylinder BETWEEN -2000 AND 2000",
            axis_with_cylinder="(cylinder = 0) = (axis IS NULL)",
            axis_range="axis > 0 AND axis <= 18000",
            add_power_range="add_power > 0 AND add_power <= 600",
            balance_flag="balance IN (0, 1)",
            prism_1_range="prism_1 > 0 AND prism_1 <= 4000",
            prism_2_range="prism_2 > 0 AND prism_2 <= 4000",
            prism_1_whole="(prism_1 IS NULL) = (base_1 IS NULL)",
            prism_2_whole="(prism_2 IS NULL) = (base_2 IS NULL)",
        ),
        _refers("prescription_eye", ["prescription_number"], "prescription", ["number"]),
    )
    _table(
        "prescription_warning",
        _whole("prescription_number"),
        _whole("position"),
        _words("code"),
        _words("sentence"),
        _key("prescription_warning", "prescription_number", "position"),
        *_checks("prescription_warning", code_filled="code <> ''"),
        _refers("prescription_warning", ["prescription_number"], "prescription", ["number"]),
    )


def _traces() -> None:
    _table(
        "trace",
        _whole("number"),
        _words("frame_code"),
        _whole("dbl"),
        _words("file_name"),
        _words("file_sha256"),
        _words("traced_on"),
        _words("device"),
        _whole("stated_right_a", empty=True),
        _whole("stated_left_a", empty=True),
        _whole("stated_right_b", empty=True),
        _whole("stated_left_b", empty=True),
        _whole("stated_dbl", empty=True),
        _whole("stated_right_ed", empty=True),
        _whole("stated_left_ed", empty=True),
        _whole("stated_right_circumference", empty=True),
        _whole("stated_left_circumference", empty=True),
        _words("other_records"),
        _words("right_radii"),
        _words("left_radii"),
        *_recorded(),
        _key("trace", "number"),
        *_checks(
            "trace",
            dbl_range="dbl BETWEEN 5000 AND 40000",
            file_name_filled="file_name <> ''",
            file_sha256_filled="file_sha256 <> ''",
            right_radii_filled="right_radii <> ''",
            left_radii_filled="left_radii <> ''",
            traced_on_is_day="traced_on LIKE '____-__-__'",
        ),
        _refers("trace", ["frame_code"], "frame", ["code"]),
    )
    _index("trace", "frame_code")


def _orders() -> None:
    _table(
        "shop_order",
        _whole("number"),
        _whole("customer_number"),
        _words("day"),
        _words("street"),
        _words("second_line"),
        _words("city"),
        _words("state"),
        _words("postcode"),
        _words("tax_rounding"),
        _words("note"),
        *_recorded(),
        _key("shop_order", "number"),
        *_known("shop_order", tax_rounding=("line", "order")),
        *_checks("shop_order", day_is_day="day LIKE '____-__-__'"),
        _refers("shop_order", ["customer_number"], "customer", ["number"]),
    )
    _index("shop_order", "customer_number")
    _index("shop_order", "day")
    _table(
        "order_pair",
        _whole("job_number"),
        _whole("order_number"),
        _whole("position"),
        _whole("wearer_number"),
        _words("frame_code"),
        _words("lens_code"),
        _words("lens_use"),
        _whole("prescription_number", empty=True),
        _words("pd_given", empty=True),
        _words("note"),
        _key("order_pair", "job_number"),
        *_known(
            "order_pair", lens_use=("distance", "reading", "screen", "multifocal"), pd_given=("binocular", "monocular")
        ),
        *_checks("order_pair", position_counts="position >= 1"),
        _once("order_pair", "order_number", "position"),
        _refers("order_pair", ["frame_code"], "frame", ["code"]),
        _refers("order_pair", ["lens_code"], "lens", ["code"]),
        _refers("order_pair", ["order_number"], "shop_order", ["number"]),
        _refers("order_pair", ["prescription_number"], "prescription", ["number"]),
        _refers("order_pair", ["wearer_number"], "wearer", ["number"]),
    )
    _index("order_pair", "frame_code")
    _index("order_pair", "lens_code")
    _index("order_pair", "prescription_number")
    _index("order_pair", "wearer_number", "frame_code")
    _table(
        "order_pair_extra",
        _whole("job_number"),
        _whole("position"),
        _words("extra_code"),
        _key("order_pair_extra", "job_number", "position"),
        _refers("order_pair_extra", ["extra_code"], "extra", ["code"]),
        _refers("order_pair_extra", ["job_number"], "order_pair", ["job_number"]),
    )
    _index("order_pair_extra", "extra_code")
    _table(
        "order_pair_eye",
        _whole("job_number"),
        _words("side"),
        _whole("sphere", empty=True),
        _whole("cylinder", empty=True),
        _whole("axis", empty=True),
        _whole("add_power", empty=True),
        _whole("balance", empty=True),
        _whole("prism_1", empty=True),
        _words("base_1", empty=True),
        _whole("prism_2", empty=True),
        _words("base_2", empty=True),
        _whole("mono_pd", empty=True),
        _whole("near_pd", empty=True),
        _whole("fitting_height", empty=True),
        _key("order_pair_eye", "job_number", "side"),
        *_known(
            "order_pair_eye",
            side=("right", "left"),
            base_1=("in", "out", "up", "down"),
            base_2=("in", "out", "up", "down"),
        ),
        *_checks(
            "order_pair_eye",
            power_whole="(sphere IS NULL) = (cylinder IS NULL)",
            axis_range="axis > 0 AND axis <= 180000000",
            balance_flag="balance IN (0, 1)",
            prism_1_whole="(prism_1 IS NULL) = (base_1 IS NULL)",
            prism_2_whole="(prism_2 IS NULL) = (base_2 IS NULL)",
            mono_pd_range="mono_pd BETWEEN 20000 AND 40000",
            near_pd_range="near_pd BETWEEN 15000 AND 40000",
            fitting_height_range="fitting_height BETWEEN 5000 AND 50000",
        ),
        _refers("order_pair_eye", ["job_number"], "order_pair", ["job_number"]),
    )
    _table(
        "order_line",
        _whole("order_number"),
        _whole("position"),
        _words("kind"),
        _words("item_code"),
        _words("description"),
        _cents("list_price"),
        _cents("reduction"),
        _cents("net"),
        _words("tax_category"),
        _words("reimbursement"),
        _words("reimbursement_reason"),
        _whole("tax_rate"),
        _cents("tax"),
        _whole("quantity"),
        _whole("pair", empty=True),
        _whole("wearer_number", empty=True),
        _words("offer_code"),
        _key("order_line", "order_number", "position"),
        *_known(
            "order_line",
            kind=("frame", "lenses", "extra", "accessory", "shipping"),
            tax_category=("prescription eyewear", "non-prescription", "accessory", "service", "shipping"),
            reimbursement=("eligible", "not eligible", "plan decides"),
        ),
        *_checks(
            "order_line",
            list_price_not_negative="list_price >= 0",
            reduction_not_negative="reduction >= 0",
            net_not_negative="net >= 0",
            tax_rate_not_negative="tax_rate >= 0",
            tax_not_negative="tax >= 0",
            net_is_list_less_reduction="net = list_price - reduction",
            quantity_counts="quantity >= 1",
        ),
        _refers("order_line", ["order_number", "pair"], "order_pair", ["order_number", "position"]),
        _refers("order_line", ["order_number"], "shop_order", ["number"]),
        _refers("order_line", ["wearer_number"], "wearer", ["number"]),
    )
    _index("order_line", "order_number", "pair")
    _index("order_line", "wearer_number")
    _table(
        "order_charge",
        _whole("order_number"),
        _whole("line"),
        _whole("position"),
        _words("description"),
        _words("side", empty=True),
        _words("code"),
        _cents("list_price"),
        _cents("reduction"),
        _cents("net"),
        _whole("units"),
        _words("note"),
        _key("order_charge", "order_number", "line", "position"),
        *_known("order_charge", side=("right", "left")),
        *_checks(
            "order_charge",
            list_price_not_negative="list_price >= 0",
            net_not_negative="net >= 0",
            units_count="units >= 1",
        ),
        _refers("order_charge", ["order_number", "line"], "order_line", ["order_number", "position"]),
    )
    _table(
        "order_warning",
        _whole("order_number"),
        _whole("position"),
        _words("code"),
        _words("sentence"),
        _key("order_warning", "order_number", "position"),
        *_checks("order_warning", code_filled="code <> ''"),
        _refers("order_warning", ["order_number"], "shop_order", ["number"]),
    )
    _table(
        "payment",
        _whole("number"),
        _whole("order_number"),
        _words("day"),
        _cents("amount"),
        _words("method"),
        _words("reference"),
        *_recorded(),
        _key("payment", "number"),
        *_known("payment", method=("card", "cash", "check", "transfer")),
        *_checks("payment", amount_positive="amount > 0", day_is_day="day LIKE '____-__-__'"),
        _refers("payment", ["order_number"], "shop_order", ["number"]),
    )
    _index("payment", "day")
    _index("payment", "order_number")
    _table(
        "shipment",
        _whole("order_number"),
        _words("day"),
        _words("carrier"),
        _words("tracking"),
        *_recorded(),
        _key("shipment", "order_number"),
        *_checks("shipment", carrier_filled="carrier <> ''", day_is_day="day LIKE '____-__-__'"),
        _refers("shipment", ["order_number"], "shop_order", ["number"]),
    )
    _index("shipment", "day")
    _table(
        "draft_order",
        _whole("number"),
        _whole("customer_number"),
        _words("day"),
        _words("reason"),
        _words("body"),
        *_recorded(),
        _key("draft_order", "number"),
        *_checks("draft_order", body_filled="body <> ''", day_is_day="day LIKE '____-__-__'"),
        _refers("draft_order", ["customer_number"], "customer", ["number"]),
    )
    _index("draft_order", "customer_number")
    _table(
        "draft_recording",
        _whole("draft_number"),
        _whole("order_number"),
        *_recorded(),
        _key("draft_recording", "draft_number"),
        _refers("draft_recording", ["draft_number"], "draft_order", ["number"]),
        _refers("draft_recording", ["order_number"], "shop_order", ["number"]),
    )
    _index("draft_recording", "order_number")


def _receipts() -> None:
    _table(
        "receipt",
        _whole("number"),
        _whole("order_number"),
        _whole("wearer_number"),
        _words("canonical"),
        _words("sha256"),
        *_recorded(),
        _key("receipt", "number"),
        *_checks("receipt", canonical_filled="canonical <> ''", sha256_whole="length(sha256) = 64"),
        _refers("receipt", ["order_number"], "shop_order", ["number"]),
        _refers("receipt", ["wearer_number"], "wearer", ["number"]),
    )
    _index("receipt", "order_number")
    _index("receipt", "wearer_number")
    _table(
        "receipt_replacement",
        _whole("receipt_number"),
        _whole("replaced_by"),
        *_recorded(),
        _key("receipt_replacement", "receipt_number"),
        *_checks("receipt_replacement", by_a_later_one="replaced_by > receipt_number"),
        _once("receipt_replacement", "replaced_by"),
        _refers("receipt_replacement", ["receipt_number"], "receipt", ["number"]),
        _refers("receipt_replacement", ["replaced_by"], "receipt", ["number"]),
    )
    _table(
        "receipt_print",
        _whole("receipt_number"),
        _whole("position"),
        _words("day"),
        *_recorded(),
        _key("receipt_print", "receipt_number", "position"),
        *_checks("receipt_print", position_counts="position >= 1", day_is_day="day LIKE '____-__-__'"),
        _refers("receipt_print", ["receipt_number"], "receipt", ["number"]),
    )


def _books() -> None:
    _table(
        "journal_entry",
        _whole("number"),
        _words("day"),
        _words("memo"),
        _words("document"),
        _words("hash"),
        *_recorded(),
        _key("journal_entry", "number"),
        *_checks(
            "journal_entry",
            memo_filled="memo <> ''",
            day_is_day="day LIKE '____-__-__'",
            hash_whole="length(hash) = 64",
            number_counts="number >= 1",
        ),
    )
    _index("journal_entry", "day")
    _index("journal_entry", "document")
    _table(
        "journal_posting",
        _whole("entry_number"),
        _whole("position"),
        _words("account"),
        _cents("amount"),
        _key("journal_posting", "entry_number", "position"),
        *_known(
            "journal_posting",
            account=("receivable", "cash", "card clearing", "bank", "sales", "shipping income", "sales tax payable"),
        ),
        *_checks("journal_posting", amount_not_zero="amount <> 0"),
        _refers("journal_posting", ["entry_number"], "journal_entry", ["number"]),
    )


def _stock() -> None:
    _table(
        "stock_movement",
        _whole("number"),
        _words("day"),
        _words("kind"),
        _words("item_code"),
        _whole("quantity"),
        _cents("unit_cost"),
        _words("reason"),
        _whole("order_number", empty=True),
        _words("note"),
        *_recorded(),
        _key("stock_movement", "number"),
        *_known("stock_movement", kind=("frame", "accessory"), reason=("opening", "received", "sold", "adjusted")),
        *_checks(
            "stock_movement",
            quantity_moves="quantity <> 0",
            unit_cost_not_negative="unit_cost >= 0",
            day_is_day="day LIKE '____-__-__'",
        ),
        _refers("stock_movement", ["order_number"], "shop_order", ["number"]),
    )
    _index("stock_movement", "kind", "item_code", "day")
    _index("stock_movement", "order_number")
    _table(
        "stock_level",
        _words("kind"),
        _words("item_code"),
        _whole("on_hand"),
        _cents("last_cost"),
        _key("stock_level", "kind", "item_code"),
        *_known("stock_level", kind=("frame", "accessory")),
        *_checks("stock_level", last_cost_not_negative="last_cost >= 0"),
    )
